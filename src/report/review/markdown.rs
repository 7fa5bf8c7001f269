//! The review as Markdown.

use super::lines;
use crate::domain::records::{self, Flaw};
use crate::domain::review::Review;
use crate::domain::season::Season;
use std::fmt::Write;

/// The review as Markdown (`CommonMark`, with a table for the estimates).
pub fn markdown(season: &Season, review: &Review) -> String {
    let mut out = format!("# {}\n", escaped(&lines::headline(season, review)));
    list(
        &mut out,
        "Done",
        review.finished.iter().map(lines::finished),
    );
    list(&mut out, "Moved", review.moved.iter().map(lines::moved));
    let overdue = review
        .overdue
        .iter()
        .map(|t| lines::overdue(t, review.today));
    let next = review.next.iter().map(|t| lines::next(t, review.today));
    list(&mut out, "Due", overdue.chain(next));
    let risks = review.risks.iter().map(|r| {
        let new = if r.is_new { "NEW " } else { "" };
        format!("{new}{}", r.warning.line())
    });
    let gone = review
        .cleared
        .iter()
        .map(|w| format!("gone: {}", w.message));
    list(&mut out, "At risk", risks.chain(gone));
    swell(&mut out, review);
    for line in review.around.ground.lines() {
        let _ = writeln!(out, "\n{}", escaped(&line));
    }
    list(
        &mut out,
        "Noted",
        review.readings.iter().map(|r| lines::reading(season, r)),
    );
    match &review.around.windows {
        None => out.push_str("\n## Fit hours\n\nNo hourly forecast.\n"),
        Some(windows) => list(&mut out, "Fit hours", windows.iter().map(lines::window)),
    }
    list(
        &mut out,
        "Closing windows",
        review.closing.iter().map(|c| {
            let left = lines::closing(c);
            format!(
                "{} on {}: {left} [{}]",
                c.name,
                c.block_name,
                c.source.line()
            )
        }),
    );
    let reentry = review.reentry.iter().map(|s| {
        let names = lines::names(season, &s.blocks);
        format!("{names}: {}", s.standing.words())
    });
    list(&mut out, "Re-entry", reentry);
    let short = review.around.short.iter().map(|s| s.words.clone());
    list(&mut out, "Short", short);
    let flaws = review.flaws.iter().map(Flaw::words);
    let incomplete = review
        .incomplete
        .iter()
        .map(|i| format!("incomplete: {}", i.words));
    let head = records::head_of(season).map(|head| format!("head {head}"));
    list(&mut out, "Records", flaws.chain(incomplete).chain(head));
    let look = review
        .look
        .iter()
        .map(|l| format!("{}: {} [{}]", l.what, l.how, l.source.line()));
    list(&mut out, "Look at in the orchard", look);
    out.push_str("\nPlan only. The label decides.\n");
    out
}

fn list(out: &mut String, title: &str, items: impl Iterator<Item = String>) {
    let _ = write!(out, "\n## {title}\n\n");
    let mut any = false;
    for item in items {
        let _ = writeln!(out, "- {}", escaped(&item));
        any = true;
    }
    if !any {
        out.push_str("Nothing.\n");
    }
}

fn swell(out: &mut String, review: &Review) {
    out.push_str("\n## Swell\n\n");
    if review.swell.is_empty() {
        out.push_str("No estimate.\n");
        return;
    }
    out.push_str("Middle, with the days between which it falls four times in five.\n\n");
    out.push_str("| block | then | now | last safe day | why |\n|---|---|---|---|---|\n");
    for (name, change) in lines::grouped(&review.swell) {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} |",
            escaped(&name),
            change.then.map_or_else(String::new, lines::range),
            lines::range(change.now),
            change.last_safe,
            lines::causes(change).unwrap_or_default(),
        );
    }
}

/// Keeps a foreign text from becoming markup.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#' | '&' => {
                out.push('\\');
                out.push(c);
            }
            c if crate::domain::harmless::steers(c) => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
