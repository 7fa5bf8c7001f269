//! How things look. Meaning lies in words and signs; a look only underlines it.
//!
//! Colour is a ground under a word or sign and never the ink of words, so that it reads the same
//! on a dark, a light and an unknown terminal (the tests work it out for usual palettes). Ink in
//! colour is for graphics alone: curtains, hours, the line of today. Colours are the terminal's
//! own eight, so that its owner's palette rules; a terminal of 256 or 16 million colours is sent
//! the same ones. A widget names a tone, never a colour.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Tone {
    /// Plain text.
    #[default]
    Plain,
    /// A title or heading.
    Head,
    /// What is chosen.
    Chosen,
    /// A key's name.
    Key,
    /// The sign or word of a stop.
    Stop,
    /// The sign or word of a caution, or of a window that is closing.
    Caution,
    /// The sign of a note.
    Note,
    /// Done, safe, saved.
    Good,
    /// What a completion would add; what stands in an empty field.
    Faint,
    /// Today's date.
    Today,
    /// The line of today through a chart.
    TodayLine,
    /// A last safe day.
    Safe,
    /// Likely dates: the shades of a curtain.
    Band,
    /// Fit hours, best days.
    Fit,
    /// Frames, rails, floors: never something to be read.
    Frame,
}

impl Tone {
    /// Every tone.
    pub const ALL: [Self; 15] = [
        Self::Plain,
        Self::Head,
        Self::Chosen,
        Self::Key,
        Self::Stop,
        Self::Caution,
        Self::Note,
        Self::Good,
        Self::Faint,
        Self::Today,
        Self::TodayLine,
        Self::Safe,
        Self::Band,
        Self::Fit,
        Self::Frame,
    ];
}

/// What the terminal writes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ground {
    /// Dark.
    Dark,
    /// Light.
    Light,
    /// Nobody said: what is sent reads on both.
    Unknown,
}

/// Which family of looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Look {
    /// Few accents, colour as a ground.
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
    /// Colours may be sent, for this ground; none at all otherwise.
    pub colour: Option<Ground>,
    /// The terminal has sixteen colours, a bright white among them.
    pub sixteen: bool,
    /// The family of looks.
    pub look: Look,
}

impl Theme {
    /// The style of a tone.
    pub fn style(self, tone: Tone) -> Style {
        match (self.look, self.colour) {
            (Look::Calm, Some(ground)) => self.coloured(tone, ground),
            (Look::Calm, None) => Style::new().add_modifier(calm(tone)),
            (Look::Contrast, _) => Style::new().add_modifier(strong(tone)),
            (Look::Plain, _) => Style::new().add_modifier(bare(tone)),
        }
    }

    /// Grounds under words, ink for graphics. Black on a ground is never bold: bold black is grey
    /// where bold means bright.
    fn coloured(self, tone: Tone, ground: Ground) -> Style {
        let plain = Style::new();
        let white = if self.sixteen {
            Color::White
        } else {
            Color::Gray
        };
        match tone {
            Tone::Stop => plain.fg(white).bg(Color::Red).add_modifier(Modifier::BOLD),
            Tone::Safe => plain.fg(white).bg(Color::Blue).add_modifier(Modifier::BOLD),
            Tone::Caution => plain.fg(Color::Black).bg(Color::Yellow),
            Tone::Today => plain.fg(Color::Black).bg(Color::Cyan),
            Tone::TodayLine => plain.fg(Color::Cyan),
            Tone::Band => plain.fg(Color::Magenta),
            // On white the green of most palettes is too pale for a thin block.
            Tone::Fit if ground == Ground::Light => plain.fg(Color::Blue),
            Tone::Fit => plain.fg(Color::Green),
            _ => plain.add_modifier(calm(tone)),
        }
    }
}

fn calm(tone: Tone) -> Modifier {
    match tone {
        Tone::Plain | Tone::Note | Tone::Good | Tone::Band | Tone::Fit | Tone::TodayLine => {
            Modifier::empty()
        }
        Tone::Head | Tone::Key => Modifier::BOLD,
        Tone::Caution | Tone::Safe => Modifier::BOLD.union(Modifier::UNDERLINED),
        Tone::Chosen | Tone::Today => Modifier::REVERSED,
        Tone::Stop => Modifier::BOLD.union(Modifier::REVERSED),
        Tone::Faint => Modifier::UNDERLINED,
        Tone::Frame => Modifier::DIM,
    }
}

fn strong(tone: Tone) -> Modifier {
    match tone {
        Tone::Plain | Tone::Frame => Modifier::empty(),
        Tone::Key | Tone::Note | Tone::Good | Tone::Band | Tone::Fit | Tone::TodayLine => {
            Modifier::BOLD
        }
        Tone::Head | Tone::Caution | Tone::Safe => Modifier::BOLD.union(Modifier::UNDERLINED),
        Tone::Chosen | Tone::Stop | Tone::Today => Modifier::BOLD.union(Modifier::REVERSED),
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

pub use crate::domain::ascii::ascii;

#[cfg(test)]
mod tests {
    use super::*;

    const LOOKS: [Look; 3] = [Look::Calm, Look::Contrast, Look::Plain];
    const GROUNDS: [Ground; 3] = [Ground::Dark, Ground::Light, Ground::Unknown];

    fn calm_on(ground: Ground) -> Theme {
        Theme {
            colour: Some(ground),
            sixteen: true,
            ..Theme::default()
        }
    }

    #[test]
    fn without_colour_no_colour_is_set() {
        for tone in Tone::ALL {
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
    fn ink_in_colour_is_for_graphics_and_words_stand_on_a_ground() {
        let graphics = [Tone::TodayLine, Tone::Band, Tone::Fit];
        for tone in Tone::ALL {
            for ground in GROUNDS {
                let style = calm_on(ground).style(tone);
                if graphics.contains(&tone) {
                    assert!(style.fg.is_some() && style.bg.is_none(), "{tone:?}");
                } else {
                    assert_eq!(style.fg.is_some(), style.bg.is_some(), "{tone:?}");
                }
                if style.fg == Some(Color::Black) {
                    assert!(!style.add_modifier.contains(Modifier::BOLD), "{tone:?}");
                }
            }
        }
    }

    #[test]
    fn what_has_a_colour_stands_out_without_it_too() {
        for tone in Tone::ALL {
            let coloured = calm_on(Ground::Unknown).style(tone);
            if coloured.bg.is_some() {
                assert!(!Theme::default().style(tone).add_modifier.is_empty());
            }
        }
    }

    #[test]
    fn high_contrast_has_no_colour_and_loses_no_accent() {
        let theme = Theme {
            look: Look::Contrast,
            ..calm_on(Ground::Dark)
        };
        for tone in Tone::ALL.into_iter().filter(|t| *t != Tone::Frame) {
            let (strong, calm) = (theme.style(tone), Theme::default().style(tone));
            assert_eq!((strong.fg, strong.bg), (None, None));
            assert!(strong.add_modifier.contains(calm.add_modifier), "{tone:?}");
        }
    }

    /// A palette: the eight colours, then bright white.
    type Palette = (&'static str, [u32; 8], u32);

    #[rustfmt::skip]
    /// Usual palettes as their programs ship them; all values from memory.
    const PALETTES: [Palette; 6] = [
        ("xterm", [0x00_0000, 0xcd_0000, 0x00_cd00, 0xcd_cd00, 0x00_00ee, 0xcd_00cd, 0x00_cdcd, 0xe5_e5e5], 0xff_ffff),
        ("console", [0x00_0000, 0xaa_0000, 0x00_aa00, 0xaa_5500, 0x00_00aa, 0xaa_00aa, 0x00_aaaa, 0xaa_aaaa], 0xff_ffff),
        ("desktop", [0x2e_3436, 0xcc_0000, 0x4e_9a06, 0xc4_a000, 0x34_65a4, 0x75_507b, 0x06_989a, 0xd3_d7cf], 0xee_eeec),
        ("modern", [0x0c_0c0c, 0xc5_0f1f, 0x13_a10e, 0xc1_9c00, 0x00_37da, 0x88_1798, 0x3a_96dd, 0xcc_cccc], 0xf2_f2f2),
        ("laptop", [0x00_0000, 0xc2_3621, 0x25_bc24, 0xad_ad27, 0x49_2ee1, 0xd3_38d3, 0x33_bbc8, 0xcb_cccd], 0xe9_ebeb),
        ("client", [0x00_0000, 0xbb_0000, 0x00_bb00, 0xbb_bb00, 0x00_00bb, 0xbb_00bb, 0x00_bbbb, 0xbb_bbbb], 0xff_ffff),
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

    fn rgb((_, eight, bright): &Palette, colour: Color) -> u32 {
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
        match NAMED.iter().position(|c| *c == colour) {
            Some(place) => eight[place],
            None => *bright,
        }
    }

    #[test]
    fn contrast_is_worked_out_as_published() {
        assert!((contrast(0xff_ffff, 0x00_0000) - 21.0).abs() < 1e-9);
        // The grey that just passes on white.
        assert!((contrast(0x76_7676, 0xff_ffff) - 4.54).abs() < 0.01);
    }

    /// Words on a ground: 4.5 in nearly every palette (WCAG 2.1), and nowhere under the 3 that
    /// the same standard asks for bold or graphics.
    #[test]
    fn every_word_reads_on_its_ground_in_usual_palettes() {
        let (mut pairs, mut passed) = (0, 0);
        for palette in &PALETTES {
            for tone in Tone::ALL {
                let style = calm_on(Ground::Unknown).style(tone);
                let (Some(ink), Some(ground)) = (style.fg, style.bg) else {
                    continue;
                };
                let ratio = contrast(rgb(palette, ink), rgb(palette, ground));
                assert!(ratio >= 3.0, "{tone:?} in {}: {ratio:.2}", palette.0);
                pairs += 1;
                passed += usize::from(ratio >= 4.5);
            }
        }
        assert!(passed * 10 >= pairs * 8, "{passed} of {pairs}");
    }

    #[test]
    fn no_colour_reads_as_ink_on_every_ground() {
        // Why colour is a ground: as ink the best of the six falls below 4.5 somewhere.
        for colour in [
            Color::Red,
            Color::Green,
            Color::Yellow,
            Color::Blue,
            Color::Magenta,
            Color::Cyan,
        ] {
            let worst = PALETTES
                .iter()
                .flat_map(|p| [0x00_0000, 0xff_ffff].map(|g| contrast(rgb(p, colour), g)))
                .fold(f64::INFINITY, f64::min);
            assert!(worst < 4.5, "{colour}: {worst}");
        }
    }

    #[test]
    fn ascii_keeps_columns_where_it_can() {
        assert_eq!(ascii("Zürich – 桃"), "Zurich - ??");
        assert_eq!(ascii("e\u{301}"), "e");
        assert_eq!(ascii("├──]░▒▓█ ▌_▄█ │"), "+--].:+# *_=# |");
    }
}
