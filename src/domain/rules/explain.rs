//! "Why?": a warning told in full.

use super::{Warning, rule};

/// A warning in a few lines: what the rule looks at, the numbers used, what
/// to do, and where the rule comes from.
pub fn explain(warning: &Warning) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    if let Some(rule) = rule(warning.rule) {
        lines.push(("rule", format!("{} ({})", rule.title, rule.id)));
        lines.push(("looks at", rule.about.to_owned()));
    }
    lines.push((
        "found",
        format!("{}: {}", warning.level.words(), warning.message),
    ));
    for (title, text) in [("numbers", &warning.why), ("to do", &warning.todo)] {
        if !text.is_empty() {
            lines.push((title, text.clone()));
        }
    }
    lines.push(("source", warning.source.line()));
    lines
}
