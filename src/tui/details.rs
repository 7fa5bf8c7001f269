//! Everything about a task, as lines: what, where, every warning with its why.

mod window;

use super::action::Command;
use super::model::Model;
use super::text;
use super::theme::Tone;
use super::words;
use crate::domain::rules::{Level, Warning, rule};
use crate::domain::season::{Season, Task, TaskState};
use crate::domain::targets;

/// One line, before it is wrapped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// A sign in front, in its tone; further lines are indented by its width.
    pub sign: String,
    /// The sign's tone.
    pub tone: Tone,
    /// The text.
    pub text: String,
    /// Is it a heading?
    pub head: bool,
}

impl Row {
    /// A heading.
    pub fn head(text: impl Into<String>) -> Self {
        Self {
            sign: String::new(),
            tone: Tone::Plain,
            text: text.into(),
            head: true,
        }
    }

    /// Plain text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::signed("", Tone::Plain, text)
    }

    /// Text behind a sign.
    pub fn signed(sign: &str, tone: Tone, text: impl Into<String>) -> Self {
        Self {
            sign: sign.to_owned(),
            tone,
            text: text.into(),
            head: false,
        }
    }

    /// A line laid out already: its blanks stay, and it is cut instead of wrapped.
    pub fn verbatim(text: impl Into<String>) -> Self {
        Self::signed(&text.into(), Tone::Plain, "")
    }

    /// A blank line.
    pub fn gap() -> Self {
        Self::text("")
    }
}

/// The tone of a warning's sign.
pub fn tone(level: Level) -> Tone {
    match level {
        Level::Stop => Tone::Stop,
        Level::Caution => Tone::Caution,
        Level::Note => Tone::Note,
    }
}

/// The rows wrapped to so many columns: sign, its tone, text, heading or not.
pub fn wrapped(rows: &[Row], columns: usize) -> Vec<Row> {
    let mut out = Vec::new();
    for row in rows {
        let indent = text::width(&row.sign);
        let lines = text::wrap(
            &text::clean_lines(&row.text),
            columns.saturating_sub(indent).max(8),
        );
        for (i, line) in lines.into_iter().enumerate() {
            // The tone is the sign's: a reversed one would show on the blanks below it.
            let (sign, tone) = if i == 0 {
                (row.sign.clone(), row.tone)
            } else {
                (" ".repeat(indent), Tone::Plain)
            };
            out.push(Row {
                sign,
                tone,
                text: line,
                head: row.head,
            });
        }
    }
    out
}

fn target_name(season: &Season, id: &crate::domain::season::TargetId) -> String {
    targets::find(season, id).map_or_else(|| id.to_string(), |view| view.name().to_owned())
}

/// What is in the tank; a rate that is its label's is marked so.
pub fn mix(season: &Season, task: &Task, of_label: &str) -> Vec<String> {
    task.mix
        .iter()
        .map(|part| {
            let material = season.material(&part.material);
            let name = material.map_or(part.material.as_str(), |m| m.name.as_str());
            match (part.rate, material.and_then(|m| m.label.rate)) {
                (Some(rate), _) => format!("{name}, {rate}"),
                (None, Some(rate)) => format!("{name}, {rate}{of_label}"),
                (None, None) => format!("{name}, rate not known"),
            }
        })
        .collect()
}

/// The names of what a task is against.
pub fn targets_of(season: &Season, task: &Task) -> Vec<String> {
    task.targets
        .iter()
        .map(|t| target_name(season, t))
        .collect()
}

/// A warning behind the sign and word of its level.
fn told(level: Level, words: &str) -> Row {
    signed(level, format!("{}: {words}", level.words()))
}

fn signed(level: Level, words: String) -> Row {
    Row::signed(
        &format!("{} ", words::level_sign(level)),
        tone(level),
        words,
    )
}

/// Everything.
pub fn full(model: &Model, task: &Task) -> Vec<Row> {
    let season = &model.season;
    let today = model.today;
    let kind = words::capital(&task.kind.key().replace('-', " "));
    let mut rows = vec![Row::text(match task.state {
        TaskState::Planned => format!(
            "{kind}, planned for {}, {}. Lane: {}.",
            words::full_day(task.date),
            words::away_long(task.date, today),
            task.lane.words(),
        ),
        _ => format!(
            "{kind}, {}. Lane: {}.",
            words::state(&task.state),
            task.lane.words(),
        ),
    })];
    rows.extend(
        task.why
            .as_ref()
            .map(|why| Row::signed("Reason: ", Tone::Head, why.as_str())),
    );
    rows.extend(window::rows(model, task));
    let blocks: Vec<String> = season
        .blocks_of(task)
        .map(|b| format!("{} ({})", b.name, b.species.words()))
        .collect();
    let progress = season.progress(task);
    let head = if progress.is_partly() {
        "Blocks still to do: "
    } else {
        "Blocks: "
    };
    rows.push(Row::signed(head, Tone::Head, blocks.join(", ")));
    if progress.is_partly() {
        for part in season.done_parts(task) {
            let names: Vec<&str> = part.blocks.iter().map(|b| b.name.as_str()).collect();
            let record = part
                .record
                .map_or_else(String::new, |r| format!(" (record {})", r.id));
            let said = format!(
                "{}: {}{record}",
                words::full_day(part.day),
                names.join(", ")
            );
            rows.push(Row::signed("Done: ", Tone::Head, said));
        }
    }
    if !task.targets.is_empty() {
        let names: Vec<String> = task
            .targets
            .iter()
            .map(|t| target_name(season, t))
            .collect();
        rows.push(Row::signed("Against: ", Tone::Head, names.join(", ")));
    }
    for part in mix(season, task, " (label rate)") {
        rows.push(Row::signed("In the tank: ", Tone::Head, part));
    }
    if let Some(volume) = task.volume {
        rows.push(Row::signed(
            "Spray volume: ",
            Tone::Head,
            volume.to_string(),
        ));
    }
    warnings(model, task, &mut rows);
    fit_hours(model, task, &mut rows);
    swell(model, task, &mut rows);
    if let Some(notes) = &task.notes {
        rows.extend([Row::gap(), Row::head("Notes"), Row::text(notes.as_str())]);
    }
    if !task.moved.is_empty() {
        rows.extend([Row::gap(), Row::head("Moved")]);
        for moved in task.moved.iter().rev() {
            let why = if moved.why.is_empty() {
                String::new()
            } else {
                format!(": {}", moved.why)
            };
            rows.push(Row::text(format!(
                "on {} from {} to {}{why}",
                words::full_day(moved.on),
                words::full_day(moved.from),
                words::full_day(moved.to)
            )));
        }
    }
    rows
}

fn warnings(model: &Model, task: &Task, rows: &mut Vec<Row>) {
    let found: Vec<&Warning> = model.outlook.warnings_of(&task.id).collect();
    rows.push(Row::gap());
    if found.is_empty() {
        let words = if model.estimates.is_none() {
            "Working out when buds will swell; warnings follow."
        } else {
            "No warnings."
        };
        rows.push(Row::text(words));
    }
    for warning in found {
        rows.push(told(warning.level, &warning.message));
        rows.push(Row::signed(
            "   Do:     ",
            Tone::Head,
            warning.todo.as_str(),
        ));
        rows.push(Row::signed(
            "   Why:    ",
            Tone::Plain,
            warning.why.as_str(),
        ));
        rows.push(Row::signed(
            "   Source: ",
            Tone::Plain,
            warning.source.line(),
        ));
    }
    for quiet in &task.quiet {
        let title = rule(&quiet.rule).map_or(quiet.rule.as_str(), |r| r.title);
        rows.push(Row::text(format!(
            "Muted on {}: {title}. Your reason: {}",
            words::full_day(quiet.on),
            quiet.why
        )));
    }
}

/// The next windows in the hours known.
fn fit_hours(model: &Model, task: &Task, rows: &mut Vec<Row>) {
    let Some(fits) = &model.fits else { return };
    let key = model.keymap.first(Command::ShowHours);
    rows.extend([
        Row::gap(),
        Row::head(format!("Fit hours ({key} shows them all)")),
    ]);
    let Some(standing) = model.outlook.standing(&task.id) else {
        return;
    };
    if standing.stretches.is_empty() {
        rows.push(Row::text(standing.hours.words(fits.air())));
    }
    for window in standing.stretches.iter().take(3) {
        rows.push(Row::signed(
            &format!("{} ", window.grade.letter()),
            Tone::Plain,
            format!("{}: {}", window.grade.words(), window.words(fits.air())),
        ));
    }
}

fn swell(model: &Model, task: &Task, rows: &mut Vec<Row>) {
    let Some(estimates) = &model.estimates else {
        return;
    };
    rows.extend([Row::gap(), Row::head("Swell on its blocks")]);
    let tolerance = model.season.orchard.tolerance.fraction();
    for block in model.season.blocks_of(task) {
        let Some(estimate) = estimates.of(&block.id) else {
            continue;
        };
        let guard = block.guard_days.unwrap_or(model.season.orchard.guard_days);
        let safe = estimate.swell.last_safe(tolerance, guard);
        rows.push(Row::text(format!(
            "{}: swell about {}, 8 in 10. Last safe day {}. Chance of swell by the planned day: {}.",
            block.name,
            words::range(&estimate.swell),
            words::weekday_day(safe),
            words::percent(estimate.swell.chance_by(task.date)),
        )));
    }
}
