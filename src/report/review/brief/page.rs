//! Lines of sixty columns, and sections of so many of them.

use super::COLUMNS;
use unicode_width::UnicodeWidthStr;

pub(super) fn cut(line: &str) -> String {
    let mut text = String::new();
    for c in line
        .chars()
        .filter(|c| !crate::domain::harmless::steers(*c))
    {
        let with = format!("{text}{c}");
        if with.width() > COLUMNS {
            break;
        }
        text = with;
    }
    text.push('\n');
    text
}

/// A text broken at sixty columns, later lines deeper in.
pub(super) fn broken(item: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut line = " ".to_owned();
    for word in item.split_whitespace() {
        if line.width() + 1 + word.width() > COLUMNS && line.trim() != "" {
            all.push(std::mem::replace(&mut line, "   ".to_owned()));
        }
        line.push(' ');
        line.push_str(word);
    }
    all.push(line);
    all.iter().map(|l| cut(l)).collect()
}

/// A section in so many lines; what finds no room is counted.
pub(super) fn section(out: &mut String, name: &str, items: &[String], most: usize) {
    if items.is_empty() {
        return;
    }
    out.push_str(&cut(name));
    let all: Vec<Vec<String>> = items.iter().map(|i| broken(i)).collect();
    let total: usize = all.iter().map(Vec::len).sum();
    // One line less where the rest must be counted; long items are then cut to a line each.
    let mut room = most.saturating_sub(1);
    let mut left_out = 0;
    let in_full = total < most;
    for lines in all {
        let lines: Vec<String> = if in_full {
            lines
        } else {
            lines.into_iter().take(1).collect()
        };
        if lines.len() > room {
            left_out += 1;
            continue;
        }
        room -= lines.len();
        out.push_str(&lines.concat());
    }
    if left_out > 0 {
        out.push_str(&cut(&format!("  and {left_out} more lines behind")));
    }
}
