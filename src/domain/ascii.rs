//! Text for terminals and printers that know ASCII alone.

/// A text in ASCII: what has a plain spelling gets it, the rest becomes `?`.
pub fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if c.is_ascii() => out.push(c),
            '\u{300}'..='\u{36f}' => {}
            '–' | '—' | '−' | '‐' | '‑' | '─' => out.push('-'),
            '…' => out.push_str(".."),
            '‘' | '’' | '′' => out.push('\''),
            '“' | '”' | '″' => out.push('"'),
            '×' => out.push('x'),
            '±' => out.push_str("+-"),
            '°' => out.push_str("deg "),
            '²' => out.push('2'),
            '·' | '•' | '░' => out.push('.'),
            '→' => out.push_str("->"),
            '≤' => out.push_str("<="),
            '≥' => out.push_str(">="),
            '│' => out.push('|'),
            '┌' | '┐' | '└' | '┘' | '├' | '┤' | '┬' | '┴' | '┼' | '▓' => {
                out.push('+');
            }
            '▒' => out.push(':'),
            '█' => out.push('#'),
            '▄' => out.push('='),
            '▀' => out.push('^'),
            '▌' | '▐' => out.push('*'),
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => out.push('a'),
            'è' | 'é' | 'ê' | 'ë' => out.push('e'),
            'ì' | 'í' | 'î' | 'ï' => out.push('i'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => out.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => out.push('u'),
            'ç' => out.push('c'),
            'ñ' => out.push('n'),
            'ß' => out.push_str("ss"),
            c => {
                for _ in 0..unicode_width::UnicodeWidthChar::width(c).unwrap_or(0) {
                    out.push('?');
                }
            }
        }
    }
    out
}
