//! What this terminal can show, chosen once at start from the environment.
//! Nothing is asked of the terminal itself: a mute one would keep us waiting.

use crate::tui::theme::Theme;

/// Colours or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Colour {
    /// As the environment says.
    #[default]
    Auto,
    /// In any case.
    Always,
    /// Not at all.
    Never,
}

/// How the board is to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// How things look.
    pub theme: Theme,
    /// Wrap each frame so that the terminal shows it at once (mode 2026).
    pub sync: bool,
    /// Mouse reports from the start.
    pub mouse: bool,
    /// The speed of a slow line in bits a second, where it was told.
    pub line: Option<u32>,
    /// Keep a watcher that gives the terminal back if we crash.
    pub watcher: bool,
}

/// Looks up a variable of the environment.
pub type Lookup<'a> = &'a dyn Fn(&str) -> Option<String>;

impl Setting {
    /// From flags and environment. `ascii` and `colour` are what flags say.
    pub fn choose(lookup: Lookup<'_>, ascii: bool, colour: Colour) -> Self {
        Self {
            theme: Theme {
                ascii: ascii || !is_utf8(lookup),
                colour: is_coloured(lookup, colour),
            },
            sync: lookup("BAREWOOD_SYNC").is_some_and(|v| v == "1"),
            mouse: false,
            line: None,
            watcher: true,
        }
    }
}

/// Why there can be no board here, with what to use instead.
pub fn refusal(lookup: Lookup<'_>, output_is_terminal: bool) -> Option<String> {
    let instead = "use 'barewood due', 'barewood check' or 'barewood swell' for plain text";
    if !output_is_terminal {
        return Some(format!("the board needs a terminal to draw on; {instead}"));
    }
    match lookup("TERM").as_deref() {
        None | Some("") => Some(format!(
            "TERM is not set, so nothing is known of this terminal; {instead}"
        )),
        Some("dumb") => Some(format!(
            "this terminal (TERM=dumb) cannot show a board; {instead}"
        )),
        Some(_) => None,
    }
}

/// The first of these that is set and not empty decides, as POSIX has it.
fn is_utf8(lookup: Lookup<'_>) -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
        .iter()
        .find_map(|name| lookup(name).filter(|v| !v.is_empty()));
    let locale = locale.unwrap_or_default().to_lowercase();
    locale.contains("utf-8") || locale.contains("utf8")
}

/// `NO_COLOR` counts if it is not empty; a flag wins.
fn is_coloured(lookup: Lookup<'_>, colour: Colour) -> bool {
    match colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            let unwanted = lookup("NO_COLOR").is_some_and(|v| !v.is_empty());
            // Terminals of these families know no colour at all.
            let term = lookup("TERM").unwrap_or_default();
            let plain = ["vt52", "vt100", "vt102", "vt220", "mono"];
            !unwanted
                && !plain
                    .iter()
                    .any(|p| term == *p || term.ends_with("-mono") || term.ends_with("-m"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn choose(pairs: &[(&str, &str)]) -> Theme {
        let lookup = |name: &str| {
            pairs
                .iter()
                .find(|(n, _)| *n == name)
                .map(|(_, v)| (*v).to_owned())
        };
        Setting::choose(&lookup, false, Colour::Auto).theme
    }

    #[test]
    fn the_effective_locale_decides_on_ascii() {
        assert!(choose(&[]).ascii);
        assert!(choose(&[("LANG", "C")]).ascii);
        assert!(!choose(&[("LANG", "de_CH.UTF-8")]).ascii);
        assert!(choose(&[("LANG", "C.UTF-8"), ("LC_ALL", "C")]).ascii);
        assert!(!choose(&[("LANG", "C"), ("LC_ALL", ""), ("LC_CTYPE", "C.utf8")]).ascii);
    }

    #[test]
    fn no_color_counts_if_not_empty() {
        assert!(choose(&[("TERM", "xterm"), ("NO_COLOR", "")]).colour);
        assert!(!choose(&[("TERM", "xterm"), ("NO_COLOR", "1")]).colour);
        assert!(!choose(&[("TERM", "vt100")]).colour);
        let always = Setting::choose(
            &|n| (n == "NO_COLOR").then(|| "1".into()),
            false,
            Colour::Always,
        );
        assert!(always.theme.colour);
    }

    #[test]
    fn says_where_no_board_can_be() {
        let term = |value: &'static str| move |n: &str| (n == "TERM").then(|| value.to_owned());
        assert!(refusal(&term("xterm"), false).is_some());
        assert!(refusal(&term("dumb"), true).is_some());
        assert!(refusal(&|_| None, true).is_some());
        assert_eq!(refusal(&term("linux"), true), None);
    }
}
