//! What this terminal can show, chosen once at start from the environment.
//! Nothing is asked of the terminal at start: a mute one would keep us waiting.

use crate::tui::theme::{Ground, Look, Theme};

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

/// What the flags and the owner's settings ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wish {
    /// ASCII in any case.
    pub ascii: bool,
    /// Colours or not.
    pub colour: Colour,
    /// What the terminal writes on, where the owner says so.
    pub ground: Option<Ground>,
    /// The family of looks.
    pub look: Look,
    /// Mouse reports from the start.
    pub mouse: bool,
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
    /// From flags, settings and environment.
    pub fn choose(lookup: Lookup<'_>, wish: Wish) -> Self {
        Self {
            theme: Theme {
                ascii: wish.ascii || !is_utf8(lookup),
                colour: coloured(lookup, wish),
                sixteen: has_sixteen(lookup),
                look: wish.look,
            },
            sync: lookup("BAREWOOD_SYNC").is_some_and(|v| v == "1"),
            mouse: wish.mouse,
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

/// The ground to choose shades for; `None` where no colours are to be sent. Colour is a ground
/// under words, so it needs no known ground. `NO_COLOR` counts if it is not empty; what the owner
/// asked for wins.
fn coloured(lookup: Lookup<'_>, wish: Wish) -> Option<Ground> {
    let ground = wish.ground.or_else(|| ground(lookup));
    let ground = ground.or(Some(Ground::Unknown));
    match wish.colour {
        Colour::Always => ground,
        Colour::Never => None,
        Colour::Auto => {
            let unwanted = lookup("NO_COLOR").is_some_and(|v| !v.is_empty());
            // Terminals of these families know no colour at all.
            let term = lookup("TERM").unwrap_or_default();
            let plain = ["vt52", "vt100", "vt102", "vt220", "mono"];
            let can = !plain
                .iter()
                .any(|p| term == *p || term.ends_with("-mono") || term.ends_with("-m"));
            ground.filter(|_| can && !unwanted)
        }
    }
}

/// Families of terminals with eight colours alone; nearly all others have sixteen.
fn has_sixteen(lookup: Lookup<'_>) -> bool {
    let term = lookup("TERM").unwrap_or_default();
    let eight = ["ansi", "cons25", "xterm-color", "screen", "vt320", "vt420"];
    !eight.contains(&term.as_str()) && !term.starts_with("sun")
}

/// The ground as far as the environment tells: some terminals set `COLORFGBG` to the numbers of
/// text and ground, and the console of Linux is dark.
fn ground(lookup: Lookup<'_>) -> Option<Ground> {
    let said = lookup("COLORFGBG").unwrap_or_default();
    let number = said.rsplit(';').next().and_then(|n| n.parse::<u8>().ok());
    match number {
        Some(0..=6 | 8) => Some(Ground::Dark),
        Some(7 | 9..=15) => Some(Ground::Light),
        _ => (lookup("TERM").as_deref() == Some("linux")).then_some(Ground::Dark),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wished(pairs: &[(&str, &str)], wish: Wish) -> Theme {
        let lookup = |name: &str| {
            pairs
                .iter()
                .find(|(n, _)| *n == name)
                .map(|(_, v)| (*v).to_owned())
        };
        Setting::choose(&lookup, wish).theme
    }

    fn choose(pairs: &[(&str, &str)]) -> Theme {
        wished(pairs, Wish::default())
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
    fn no_color_counts_if_not_empty_and_what_was_asked_for_wins() {
        let dark = ("COLORFGBG", "15;0");
        let colour = |pairs: &[(&str, &str)]| choose(pairs).colour;
        assert_eq!(
            colour(&[("TERM", "xterm"), ("NO_COLOR", ""), dark]),
            Some(Ground::Dark)
        );
        assert_eq!(colour(&[("TERM", "xterm"), ("NO_COLOR", "1"), dark]), None);
        assert_eq!(colour(&[("TERM", "vt100"), dark]), None);
        for (asked, got) in [
            (Colour::Always, Some(Ground::Unknown)),
            (Colour::Never, None),
        ] {
            let wish = Wish {
                colour: asked,
                ..Wish::default()
            };
            assert_eq!(wished(&[("NO_COLOR", "1")], wish).colour, got);
            let console = got.map(|_| Ground::Dark);
            assert_eq!(wished(&[("TERM", "linux")], wish).colour, console);
        }
    }

    #[test]
    fn an_unknown_ground_has_colours_that_read_on_both() {
        let colour = |pairs: &[(&str, &str)]| choose(pairs).colour;
        assert_eq!(colour(&[("TERM", "xterm-256color")]), Some(Ground::Unknown));
        assert_eq!(colour(&[("TERM", "linux")]), Some(Ground::Dark));
        for (said, ground) in [
            ("15;0", Some(Ground::Dark)),
            ("0;default;15", Some(Ground::Light)),
            ("0;7", Some(Ground::Light)),
            ("15;8", Some(Ground::Dark)),
            ("default;default", Some(Ground::Unknown)),
            ("", Some(Ground::Unknown)),
        ] {
            assert_eq!(colour(&[("COLORFGBG", said)]), ground, "{said}");
        }
        let wish = Wish {
            ground: Some(Ground::Light),
            ..Wish::default()
        };
        assert_eq!(
            wished(&[("COLORFGBG", "15;0")], wish).colour,
            Some(Ground::Light)
        );
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
