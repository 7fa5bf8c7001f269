//! The ribbon of the year: tasks in their lanes, and the days swell is likely.

use super::scale::{Days, LEFT, RIGHT, WIDTH};
use super::{SeasonPage, escaped};
use crate::domain::phenology::stage::Stage;
use crate::domain::review::{Range, stage_date};
use crate::domain::season::{Block, Lane, Season, TaskId, TaskState};
use chrono::{NaiveDate, TimeDelta};
use std::fmt::Write;

const TOP: f64 = 24.0;
const LANE_HEIGHT: f64 = 46.0;
const ROW_HEIGHT: f64 = 20.0;
const RADIUS: f64 = 9.0;

/// The tasks in the order in which ribbon and table number them: by day.
pub(super) fn numbered(season: &Season) -> Vec<&TaskId> {
    let mut tasks: Vec<_> = season.tasks.iter().collect();
    tasks.sort_by(|a, b| a.day().cmp(&b.day()).then_with(|| a.id.cmp(&b.id)));
    tasks.into_iter().map(|t| &t.id).collect()
}

/// The ribbon as SVG.
pub(super) fn svg(page: &SeasonPage<'_>) -> String {
    let days = span(page);
    let rows: Vec<(&Block, Range, NaiveDate)> = page
        .season
        .blocks
        .iter()
        .filter_map(|block| {
            let date = stage_date(page.estimates, &block.id, Stage::Swell)?;
            let guard = block.guard_days.unwrap_or(page.season.orchard.guard_days);
            let tolerance = page.season.orchard.tolerance.fraction();
            Some((block, Range::of(date), date.last_safe(tolerance, guard)))
        })
        .collect();
    let lanes_end = TOP + 3.0 * LANE_HEIGHT;
    let bottom = lanes_end + 8.0 + ROW_HEIGHT * rows.len() as f64;
    let height = bottom + 40.0;
    let mut out = format!(
        "<svg viewBox=\"0 0 {WIDTH:.0} {height:.0}\" role=\"img\" aria-labelledby=\"ribbon-title ribbon-desc\">\n<title id=\"ribbon-title\">Ribbon of the dormant year</title>\n<desc id=\"ribbon-desc\">Tasks by number in three lanes from left to right by day; below, for every block, the days between which swell falls four times in five, its middle, and the last safe day. The same is told in the tables.</desc>\n"
    );
    out.push_str(&days.draw(page.outlook.today, TOP, bottom));
    for (i, lane) in Lane::ALL.into_iter().enumerate() {
        let y = TOP + LANE_HEIGHT * i as f64;
        let _ = writeln!(
            out,
            "<line class=\"axis\" x1=\"{LEFT}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\"/><text x=\"0\" y=\"{:.1}\">{}</text>",
            y + LANE_HEIGHT,
            WIDTH - RIGHT,
            y + LANE_HEIGHT,
            y + LANE_HEIGHT / 2.0 + 4.0,
            escaped(lane.words())
        );
        out.push_str(&marks(page, days, lane, y));
    }
    for (i, (block, range, safe)) in rows.iter().enumerate() {
        let y = lanes_end + 8.0 + ROW_HEIGHT * i as f64;
        out.push_str(&swell_row(days, block, *range, *safe, y));
    }
    let _ = writeln!(
        out,
        "<text class=\"small\" x=\"{LEFT}\" y=\"{:.1}\">open circle: planned; full: done; crossed: left out; band: swell four times in five, line: its middle; triangle: last safe day</text>\n</svg>",
        bottom + 30.0
    );
    out
}

/// From before leaf drop and the first task to after the last likely swell.
fn span(page: &SeasonPage<'_>) -> Days {
    let season = page.season;
    let drop = season
        .dates
        .leaf_drop_seen
        .unwrap_or(season.dates.leaf_drop_expected);
    let tasks = || season.tasks.iter().map(crate::domain::season::Task::day);
    let swell = season
        .blocks
        .iter()
        .filter_map(|b| stage_date(page.estimates, &b.id, Stage::Swell).map(|d| Range::of(d).p90));
    let first = tasks().fold(drop, NaiveDate::min);
    let last = tasks().chain(swell).fold(drop, NaiveDate::max);
    Days::new(first - TimeDelta::days(7), last + TimeDelta::days(14))
}

/// The marks of a lane; one that would lie on its neighbour goes lower.
fn marks(page: &SeasonPage<'_>, days: Days, lane: Lane, top: f64) -> String {
    let mut out = String::new();
    let mut right_edge = [f64::MIN; 2];
    for (i, id) in numbered(page.season).into_iter().enumerate() {
        let Some(task) = page.season.task(id).filter(|t| t.lane == lane) else {
            continue;
        };
        let x = days.x(task.day());
        let level = usize::from(right_edge[0] > x - RADIUS);
        if let Some(edge) = right_edge.get_mut(level) {
            *edge = x + RADIUS + 1.0;
        }
        let y = top + RADIUS + 3.0 + 22.0 * level as f64;
        let (class, text) = match task.state {
            TaskState::Planned | TaskState::Skipped(_) => ("planned", ""),
            TaskState::Done(_) => ("done", " done-text"),
        };
        let _ = write!(
            out,
            "<g><title>{}</title><circle class=\"{class}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{RADIUS}\"/><text class=\"small{text}\" x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            escaped(&format!("{}: {}", task.day(), task.title)),
            y + 3.5,
            i + 1
        );
        if let TaskState::Skipped(_) = task.state {
            let r = RADIUS * 0.9;
            let _ = write!(
                out,
                "<line class=\"skipped\" x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\"/>",
                x - r,
                y + r,
                x + r,
                y - r
            );
        }
        out.push_str("</g>\n");
    }
    out
}

fn swell_row(days: Days, block: &Block, range: Range, safe: NaiveDate, y: f64) -> String {
    let (x10, x50, x90) = (days.x(range.p10), days.x(range.p50), days.x(range.p90));
    let name: String = block.name.chars().take(22).collect();
    let (mid, xs) = (y + ROW_HEIGHT / 2.0, days.x(safe));
    format!(
        "<g><title>{}</title><text class=\"small\" x=\"0\" y=\"{:.1}\">{}</text><rect class=\"band\" x=\"{x10:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/><line class=\"middle\" x1=\"{x50:.1}\" y1=\"{:.1}\" x2=\"{x50:.1}\" y2=\"{:.1}\"/><polygon class=\"safe\" points=\"{:.1},{:.1} {:.1},{:.1} {xs:.1},{:.1}\"/></g>\n",
        escaped(&format!(
            "{}: swell {} ({} to {}), last safe day {safe}",
            block.name, range.p50, range.p10, range.p90
        )),
        mid + 4.0,
        escaped(&name),
        y + 3.0,
        (x90 - x10).max(1.0),
        ROW_HEIGHT - 6.0,
        y + 1.0,
        y + ROW_HEIGHT - 1.0,
        xs - 4.0,
        mid - 4.0,
        xs + 4.0,
        mid - 4.0,
        mid + 4.0,
    )
}
