//! Every warning, as text and JSON.

use crate::domain::outlook::Outlook;
use crate::domain::season::Season;
use serde_json::json;
use std::fmt::Write;

/// `{"on","warnings":[{rule,level,task,block,message,why,source}]}`. Stable.
pub fn json(outlook: &Outlook) -> serde_json::Result<String> {
    let warnings: Vec<_> = outlook
        .warnings
        .iter()
        .map(|w| {
            json!({
                "rule": w.rule,
                "level": w.level.words(),
                "task": w.task.as_ref().map(|t| t.as_str()),
                "block": w.block.as_ref().map(|b| b.as_str()),
                "message": w.message,
                "why": w.why,
                "source": w.source.line(),
            })
        })
        .collect();
    serde_json::to_string_pretty(&json!({ "on": outlook.today.to_string(), "warnings": warnings }))
}

/// The same as text.
pub fn text(season: &Season, outlook: &Outlook) -> String {
    let mut out = String::new();
    for w in &outlook.warnings {
        let task = w.task.as_ref().and_then(|id| season.task(id));
        let about = task.map_or_else(String::new, |t| {
            format!("{} {} ({}): ", t.date, t.title, t.id)
        });
        out.push_str(&super::wrap::wrapped(
            &format!("{}: {about}{}", w.level.words().to_uppercase(), w.message),
            0,
        ));
        out.push_str(&super::wrap::wrapped(&format!("why: {}", w.why), 4));
        out.push_str(&super::wrap::wrapped(&format!("do: {}", w.todo), 4));
        out.push_str(&super::wrap::wrapped(
            &format!("source: {} [{}]", w.source.line(), w.rule),
            4,
        ));
    }
    if outlook.warnings.is_empty() {
        let _ = writeln!(out, "Nothing to warn of on {}.", outlook.today);
    }
    out
}
