//! How things look. Meaning lies in words and signs; a look only underlines it.
//!
//! Nothing paints a background; the chosen line is reversed. Colours are the
//! terminal's own eight foreground colours, so that its owner's palette rules,
//! and a terminal of 256 or 16 million colours is sent the same ones. No one of
//! the eight reads well on both a dark and a light ground (the tests work it
//! out for usual palettes), so colours are sent only where the ground is known,
//! and only those that read well on it.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Tone {
    /// Plain text.
    #[default]
    Plain,
    /// A title or heading.
    Head,
    /// The chosen line.
    Chosen,
    /// A key's name.
    Key,
    /// The sign of a stop.
    Stop,
    /// The sign of a caution.
    Caution,
    /// The sign of a note.
    Note,
    /// Done, safe, saved.
    Good,
    /// What a completion would add; what stands in an empty field.
    Faint,
    /// The band of likely dates.
    Band,
}

/// What the terminal writes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ground {
    /// Dark.
    Dark,
    /// Light.
    Light,
}

/// Which family of looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Look {
    /// Few accents, colour where it reads well.
    #[default]
    Calm,
    /// The terminal's own two colours, everything that matters bold, underlined or reversed.
    Contrast,
    /// Nothing but the chosen line stands out.
    Plain,
}

/// The looks of one terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Theme {
    /// Only ASCII may be sent.
    pub ascii: bool,
    /// Colours may be sent, for this ground; none at all otherwise. Without
    /// colour only modifiers are used, since a library or terminal may reset
    /// both together.
    pub colour: Option<Ground>,
    /// The family of looks.
    pub look: Look,
}

impl Theme {
    /// The style of a tone.
    pub fn style(self, tone: Tone) -> Style {
        let (modifier, colour) = match self.look {
            Look::Calm => (calm(tone), self.colour.and_then(|g| accent(tone, g))),
            Look::Contrast => (strong(tone), None),
            Look::Plain => (bare(tone), None),
        };
        let style = Style::new().add_modifier(modifier);
        match colour {
            Some(colour) => style.fg(colour),
            None => style,
        }
    }
}

fn calm(tone: Tone) -> Modifier {
    match tone {
        Tone::Plain | Tone::Note | Tone::Good => Modifier::empty(),
        Tone::Head | Tone::Key | Tone::Caution | Tone::Band => Modifier::BOLD,
        Tone::Chosen | Tone::Stop => Modifier::REVERSED,
        Tone::Faint => Modifier::UNDERLINED,
    }
}

fn strong(tone: Tone) -> Modifier {
    match tone {
        Tone::Plain => Modifier::empty(),
        Tone::Key | Tone::Note | Tone::Good | Tone::Band => Modifier::BOLD,
        Tone::Head | Tone::Caution => Modifier::BOLD | Modifier::UNDERLINED,
        Tone::Chosen | Tone::Stop => Modifier::BOLD | Modifier::REVERSED,
        Tone::Faint => Modifier::UNDERLINED,
    }
}

fn bare(tone: Tone) -> Modifier {
    match tone {
        Tone::Chosen => Modifier::REVERSED,
        // A completion is no text of the grower's: it may not look like it.
        Tone::Faint => Modifier::UNDERLINED,
        _ => Modifier::empty(),
    }
}

/// The colour of a tone on a ground. Bold may mean bright where it is shown, so
/// a colour is bold only if its bright sister reads as well.
fn accent(tone: Tone, ground: Ground) -> Option<Color> {
    match (ground, tone) {
        (Ground::Dark, Tone::Caution) => Some(Color::Cyan),
        (Ground::Dark, Tone::Good) => Some(Color::Green),
        (Ground::Light, Tone::Stop) => Some(Color::Red),
        _ => None,
    }
}

pub use crate::domain::ascii::ascii;

#[cfg(test)]
mod tests {
    use super::*;

    const TONES: [Tone; 10] = [
        Tone::Plain,
        Tone::Head,
        Tone::Chosen,
        Tone::Key,
        Tone::Stop,
        Tone::Caution,
        Tone::Note,
        Tone::Good,
        Tone::Faint,
        Tone::Band,
    ];
    const LOOKS: [Look; 3] = [Look::Calm, Look::Contrast, Look::Plain];

    #[test]
    fn without_colour_no_colour_is_set() {
        for tone in TONES {
            for look in LOOKS {
                let theme = Theme {
                    look,
                    ..Theme::default()
                };
                assert_eq!((theme.style(tone).fg, theme.style(tone).bg), (None, None));
            }
        }
    }

    #[test]
    fn nothing_paints_a_background_and_colour_changes_nothing_else() {
        for tone in TONES {
            for ground in [Ground::Dark, Ground::Light] {
                let theme = Theme {
                    colour: Some(ground),
                    ..Theme::default()
                };
                let style = theme.style(tone);
                assert_eq!(style.bg, None);
                assert_eq!(
                    style.add_modifier,
                    Theme::default().style(tone).add_modifier
                );
            }
        }
    }

    #[test]
    fn high_contrast_has_no_colour_and_loses_no_accent() {
        let theme = Theme {
            colour: Some(Ground::Dark),
            look: Look::Contrast,
            ascii: false,
        };
        for tone in TONES {
            let (strong, calm) = (theme.style(tone), Theme::default().style(tone));
            assert_eq!(strong.fg, None);
            assert!(strong.add_modifier.contains(calm.add_modifier));
        }
    }

    /// A palette: ground, text, the eight colours, their bright sisters.
    type Palette = (&'static str, Ground, u32, u32, [u32; 8], [u32; 8]);

    #[rustfmt::skip]
    const XTERM: [u32; 8] = [
        0x00_0000, 0xcd_0000, 0x00_cd00, 0xcd_cd00, 0x00_00ee, 0xcd_00cd, 0x00_cdcd, 0xe5_e5e5,
    ];
    const XTERM_BRIGHT: [u32; 8] = [
        0x7f_7f7f, 0xff_0000, 0x00_ff00, 0xff_ff00, 0x5c_5cff, 0xff_00ff, 0x00_ffff, 0xff_ffff,
    ];
    const CONSOLE: [u32; 8] = [
        0x00_0000, 0xaa_0000, 0x00_aa00, 0xaa_5500, 0x00_00aa, 0xaa_00aa, 0x00_aaaa, 0xaa_aaaa,
    ];
    const CONSOLE_BRIGHT: [u32; 8] = [
        0x55_5555, 0xff_5555, 0x55_ff55, 0xff_ff55, 0x55_55ff, 0xff_55ff, 0x55_ffff, 0xff_ffff,
    ];
    const SOLAR: [u32; 8] = [
        0x07_3642, 0xdc_322f, 0x85_9900, 0xb5_8900, 0x26_8bd2, 0xd3_3682, 0x2a_a198, 0xee_e8d5,
    ];
    const SOLAR_BRIGHT: [u32; 8] = [
        0x00_2b36, 0xcb_4b16, 0x58_6e75, 0x65_7b83, 0x83_9496, 0x6c_71c4, 0x93_a1a1, 0xfd_f6e3,
    ];
    const DESKTOP: [u32; 8] = [
        0x2e_3436, 0xcc_0000, 0x4e_9a06, 0xc4_a000, 0x34_65a4, 0x75_507b, 0x06_989a, 0xd3_d7cf,
    ];
    const DESKTOP_BRIGHT: [u32; 8] = [
        0x55_5753, 0xef_2929, 0x8a_e234, 0xfc_e94f, 0x72_9fcf, 0xad_7fa8, 0x34_e2e2, 0xee_eeec,
    ];

    #[rustfmt::skip]
    /// Usual palettes; all values from memory.
    const PALETTES: [Palette; 7] = [
        ("xterm, dark", Ground::Dark, 0x00_0000, 0xe5_e5e5, XTERM, XTERM_BRIGHT),
        ("xterm, light", Ground::Light, 0xff_ffff, 0x00_0000, XTERM, XTERM_BRIGHT),
        ("console", Ground::Dark, 0x00_0000, 0xaa_aaaa, CONSOLE, CONSOLE_BRIGHT),
        ("muted, dark", Ground::Dark, 0x00_2b36, 0x83_9496, SOLAR, SOLAR_BRIGHT),
        ("muted, light", Ground::Light, 0xfd_f6e3, 0x65_7b83, SOLAR, SOLAR_BRIGHT),
        ("desktop, dark", Ground::Dark, 0x00_0000, 0xd3_d7cf, DESKTOP, DESKTOP_BRIGHT),
        ("desktop, light", Ground::Light, 0xff_ffff, 0x2e_3436, DESKTOP, DESKTOP_BRIGHT),
    ];

    /// Relative luminance, WCAG 2.1.
    fn luminance(rgb: u32) -> f64 {
        let part = |shift: u32| {
            let v = f64::from(rgb >> shift & 0xff) / 255.0;
            if v <= 0.04045 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(16) + 0.7152 * part(8) + 0.0722 * part(0)
    }

    /// Contrast ratio, WCAG 2.1.
    fn contrast(a: u32, b: u32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn place(colour: Color) -> usize {
        const NAMED: [Color; 8] = [
            Color::Black,
            Color::Red,
            Color::Green,
            Color::Yellow,
            Color::Blue,
            Color::Magenta,
            Color::Cyan,
            Color::Gray,
        ];
        NAMED.iter().position(|c| *c == colour).unwrap()
    }

    #[test]
    fn contrast_is_reckoned_as_published() {
        assert!((contrast(0xff_ffff, 0x00_0000) - 21.0).abs() < 1e-9);
        // The grey that just passes on white.
        assert!((contrast(0x76_7676, 0xff_ffff) - 4.54).abs() < 0.01);
    }

    #[test]
    fn every_colour_reads_well_on_its_ground_bright_or_not() {
        let mut coloured = 0;
        for (name, ground, under, text, colours, bright) in PALETTES {
            // WCAG 2.1 asks for 4.5. A palette whose own text has less cannot give more: there
            // a colour must read no worse than the text its owner chose.
            let least = 4.5_f64.min(contrast(text, under));
            for tone in TONES {
                let theme = Theme {
                    colour: Some(ground),
                    ..Theme::default()
                };
                let style = theme.style(tone);
                let Some(colour) = style.fg else { continue };
                coloured += 1;
                let mut shown = vec![colours[place(colour)]];
                if style.add_modifier.contains(Modifier::BOLD) {
                    shown.push(bright[place(colour)]);
                }
                for rgb in shown {
                    let ratio = contrast(rgb, under);
                    assert!(
                        ratio >= least,
                        "{tone:?} on {name}: {ratio:.2}, {least:.2} wanted"
                    );
                }
            }
        }
        assert_eq!(coloured, 11);
    }

    #[test]
    fn no_colour_reads_well_on_every_ground() {
        // Why the ground must be known: the best of the eight falls below 4.5 somewhere.
        for colour in 0..8 {
            let worst = PALETTES
                .iter()
                .map(|(_, _, under, _, colours, _)| contrast(colours[colour], *under))
                .fold(f64::INFINITY, f64::min);
            assert!(worst < 4.5, "{colour}: {worst}");
        }
    }

    #[test]
    fn ascii_keeps_columns_where_it_can() {
        assert_eq!(ascii("Zürich – 桃"), "Zurich - ??");
        assert_eq!(ascii("e\u{301}"), "e");
    }
}
