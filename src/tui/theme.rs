//! How things look. Meaning lies in words and signs; a look only underlines it.
//!
//! Colours are the terminal's own eight foreground colours, so that its owner's
//! palette rules, and they stand on signs, never on the words one must read.
//! Nothing paints a background; the chosen line is reversed. Without colour
//! only modifiers are used, since the terminal may reset them together.

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

/// The looks of one terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Theme {
    /// Only ASCII may be sent.
    pub ascii: bool,
    /// Colours may be sent.
    pub colour: bool,
}

impl Theme {
    /// The style of a tone.
    pub fn style(self, tone: Tone) -> Style {
        let plain = Style::new();
        let tinted = |colour: Color, modifier: Modifier| {
            if self.colour {
                plain.fg(colour).add_modifier(modifier)
            } else {
                plain.add_modifier(modifier)
            }
        };
        match tone {
            Tone::Plain => plain,
            Tone::Head | Tone::Key => plain.add_modifier(Modifier::BOLD),
            Tone::Chosen => plain.add_modifier(Modifier::REVERSED),
            Tone::Stop => tinted(Color::Red, Modifier::BOLD),
            Tone::Caution => tinted(Color::Yellow, Modifier::BOLD),
            Tone::Note => tinted(Color::Cyan, Modifier::empty()),
            Tone::Good => tinted(Color::Green, Modifier::empty()),
            Tone::Faint => plain.add_modifier(Modifier::UNDERLINED),
            Tone::Band => tinted(Color::Green, Modifier::BOLD),
        }
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

    #[test]
    fn without_colour_no_colour_is_set() {
        for tone in TONES {
            let style = Theme::default().style(tone);
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }

    #[test]
    fn nothing_paints_a_background() {
        let theme = Theme {
            colour: true,
            ..Theme::default()
        };
        for tone in TONES {
            assert_eq!(theme.style(tone).bg, None);
        }
    }

    #[test]
    fn ascii_keeps_columns_where_it_can() {
        assert_eq!(ascii("Zürich – 桃"), "Zurich - ??");
        assert_eq!(ascii("e\u{301}"), "e");
    }
}
