//! The plan for the wall: when buds swell, and the work of the three lanes, on one page.

use super::page::LINES;
use super::{Page, Words, begun};
use crate::domain::outlook::Estimates;
use crate::domain::phenology::stage::Stage;
use crate::domain::review::stage_date;
use crate::domain::season::{Lane, Season, TaskState};
use chrono::NaiveDate;

/// At most so many blocks; those with the earliest last safe day come first.
const MOST_BLOCKS: usize = 12;

/// The wall plan. What lies furthest from today gives way where a page cannot hold everything.
pub fn wall(words: &Words, season: &Season, estimates: &Estimates, today: NaiveDate) -> Page {
    let mut most = season.tasks.len();
    loop {
        let page = made(words, season, estimates, today, most);
        if most == 0 || page.text().lines().count() <= LINES {
            return page;
        }
        most -= 1;
    }
}

fn made(
    words: &Words,
    season: &Season,
    estimates: &Estimates,
    today: NaiveDate,
    most: usize,
) -> Page {
    let title = format!(
        "{}: {}",
        words.say("wall.title"),
        season.orchard.name.trim()
    );
    let mut page = begun(words, season, &title);
    let name = words.fill("wall.season", &[("name", &season.season)]);
    let made_on = words.fill("common.sheet_of", &[("date", &words.day(today))]);
    page.line(&format!("{name}. {made_on}."));
    swell(&mut page, words, season, estimates);
    // The work nearest to today matters most.
    let mut near: Vec<_> = season.tasks.iter().collect();
    near.sort_by_key(|t| (t.day() - today).abs());
    near.truncate(most);
    for lane in Lane::ALL {
        let mut of_lane: Vec<_> = near.iter().filter(|t| t.lane == lane).collect();
        of_lane.sort_by_key(|t| t.day());
        let all = season.tasks.iter().filter(|t| t.lane == lane).count();
        if all == 0 {
            continue;
        }
        page.head(words.say(&format!("lane.{}", lane.key())));
        for task in &of_lane {
            let (mark, state) = match task.state {
                TaskState::Planned => ("[ ]", None),
                TaskState::Done(_) => ("[x]", Some(words.say("wall.state_done"))),
                TaskState::Skipped(_) => ("[-]", Some(words.say("wall.state_skipped"))),
            };
            let state = state.map_or_else(String::new, |s| format!(" ({s})"));
            page.item(
                mark,
                &format!(
                    "{}  {}{state}",
                    words.day(task.day()),
                    words.work(&task.title)
                ),
            );
        }
        if let Some(more) = all.checked_sub(of_lane.len()).filter(|n| *n > 0) {
            page.line(&words.fill("common.more", &[("n", &more.to_string())]));
        }
    }
    page.head(words.say("common.label_decides"));
    page.line(words.say("wall.estimate"));
    page
}

fn swell(page: &mut Page, words: &Words, season: &Season, estimates: &Estimates) {
    let orchard = &season.orchard;
    let mut rows: Vec<(NaiveDate, String)> = season
        .blocks
        .iter()
        .filter_map(|block| {
            let date = stage_date(estimates, &block.id, Stage::Swell)?;
            let guard = block.guard_days.unwrap_or(orchard.guard_days);
            let safe = date.last_safe(orchard.tolerance.fraction(), guard);
            let row = words.fill(
                "wall.swell_row",
                &[
                    ("name", words.block(&block.name, block.species.words())),
                    ("date", &words.day(date.p50())),
                    ("from", &words.day(date.p10())),
                    ("to", &words.day(date.p90())),
                    ("safe", &words.day(safe)),
                ],
            );
            Some((safe, row))
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    rows.sort();
    page.head(words.say("wall.swell"));
    if estimates.ground.area {
        page.line(words.say("wall.area_weather"));
    }
    for (_, row) in rows.iter().take(MOST_BLOCKS) {
        page.item("-", row);
    }
    if let Some(more) = rows.len().checked_sub(MOST_BLOCKS).filter(|n| *n > 0) {
        page.line(&words.fill("common.more", &[("n", &more.to_string())]));
    }
}
