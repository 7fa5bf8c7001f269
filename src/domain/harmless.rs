//! Foreign text that does no harm where it is shown.

/// Would this character move a cursor, hide text, or turn the direction of writing? Names and
/// notes come from files and from the clipboard: such characters never reach a screen, a message
/// or a report.
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}
