//! What an earlier export held and this one does not: a calendar that was imported, not
//! subscribed to, keeps an entry until it is told that it is cancelled.

use super::fold::unfolded;
use chrono::{DateTime, Utc};

/// An entry of an earlier export, line by line without its frame.
#[derive(Debug)]
struct Entry<'a> {
    uid: &'a str,
    lines: Vec<&'a str>,
}

/// The entries of the calendar `before` that are not in `now`, cancelled, as text to stand before
/// the end of the calendar. Only entries of the same orchard and season are looked at: the name
/// of the calendar says so. Anything else in the file is not ours, and is left out.
pub(super) fn cancelled(before: &str, now: &str, made: DateTime<Utc>) -> String {
    let (before, now) = (unfolded(before), unfolded(now));
    if name(&before).is_none() || name(&before) != name(&now) {
        return String::new();
    }
    let kept: Vec<&str> = entries(&now).iter().map(|e| e.uid).collect();
    let mut out = String::new();
    for entry in entries(&before) {
        if kept.contains(&entry.uid) || !entry.uid.ends_with("@barewood") {
            continue;
        }
        write(&entry, made, &mut out);
    }
    out
}

/// The name of a calendar of ours.
fn name(calendar: &str) -> Option<&str> {
    let ours = calendar
        .lines()
        .any(|l| l.starts_with("PRODID:-//barewood//"));
    let name = calendar.lines().find_map(|l| l.strip_prefix("NAME:"));
    name.filter(|_| ours)
}

fn entries(calendar: &str) -> Vec<Entry<'_>> {
    let mut all = Vec::new();
    let mut lines = calendar.lines();
    while let Some(line) = lines.next() {
        if line != "BEGIN:VEVENT" {
            continue;
        }
        let mut of_entry = Vec::new();
        let mut in_part = false;
        for line in lines.by_ref().take_while(|l| *l != "END:VEVENT") {
            // Its alarms are parts of their own: what is cancelled rings no more.
            in_part |= line.starts_with("BEGIN:");
            if !in_part {
                of_entry.push(line);
            }
            in_part &= !line.starts_with("END:");
        }
        if let Some(uid) = of_entry.iter().find_map(|l| l.strip_prefix("UID:")) {
            all.push(Entry {
                uid,
                lines: of_entry,
            });
        }
    }
    all
}

fn write(entry: &Entry<'_>, made: DateTime<Utc>, out: &mut String) {
    let is_cancelled = entry.lines.contains(&"STATUS:CANCELLED");
    let sequence = entry
        .lines
        .iter()
        .find_map(|l| l.strip_prefix("SEQUENCE:")?.parse::<u32>().ok())
        .unwrap_or(0);
    // Cancelled once is enough: a higher number each time would be a change each time.
    let sequence = sequence.saturating_add(u32::from(!is_cancelled));
    let mut line = |text: &str| {
        out.push_str(text);
        out.push_str("\r\n");
    };
    line("BEGIN:VEVENT");
    for kept in &entry.lines {
        let replaced = ["STATUS:", "SEQUENCE:", "DTSTAMP:"];
        if !replaced.iter().any(|key| kept.starts_with(key)) {
            line(kept);
        }
    }
    line("STATUS:CANCELLED");
    line(&format!("SEQUENCE:{sequence}"));
    line(&format!("DTSTAMP:{}", made.format("%Y%m%dT%H%M%SZ")));
    line("END:VEVENT");
}
