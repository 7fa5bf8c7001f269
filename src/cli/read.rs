//! `read`: what the grower read or saw.

mod photo;

use super::args::{ReadArgs, ReadWhat};
use super::season_at::{At, Opened, edit_failure};
use super::{Exit, Failure};
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Look, gauge_against, gauge_mm, gauge_words, reckoned_mm};
use crate::domain::season::{BlockId, HowMany, MaterialId, Reading, edit};
use crate::domain::units::{RainDepth, Temperature};
use crate::report::wrap::wrapped;
use std::io::Write;

/// Notes a reading and says what it did to the swell estimate.
pub fn run(at: &At, args: &ReadArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let mut told = Vec::new();
    let after = match &args.what {
        ReadWhat::DegreeDays {
            total,
            base,
            since,
            date,
            block,
            note,
        } => {
            let total: f64 = total
                .parse()
                .ok()
                .filter(|t: &f64| t.is_finite() && *t >= 0.0)
                .ok_or_else(|| {
                    Failure::Input(format!(
                        "'{total}' is no degree-day total; write a number, for instance 95"
                    ))
                })?;
            let base: Temperature = base
                .parse()
                .map_err(|e| Failure::Input(format!("--base: {e}")))?;
            let (since, date) = (opened.day(since)?, opened.day_or_today(date.as_deref())?);
            if since > date {
                return Err(Failure::Input(format!(
                    "--since {since} lies after {date}; give the day the count began"
                )));
            }
            let blocks = opened.block_ids(block)?;
            edit::add_reading(
                &opened.season,
                Reading::DegreeDays {
                    date,
                    total,
                    base,
                    since,
                    blocks,
                    note: note.clone(),
                },
            )
        }
        ReadWhat::Buds {
            bbch,
            how_many,
            date,
            block,
            note,
            photo,
            copy,
        } => {
            let bbch: u8 = bbch.parse().ok().filter(|b| *b <= 99).ok_or_else(|| {
                Failure::Input(format!(
                    "'{bbch}' is no BBCH stage; write 0 (tight) to 99, for instance 51 (swelling)"
                ))
            })?;
            let how_many = match how_many.as_deref() {
                None => HowMany::All,
                Some(text) => HowMany::from_words(text).ok_or_else(|| {
                    Failure::Input(format!(
                        "--how-many: '{text}' is not known; write all, most or first-few"
                    ))
                })?,
            };
            let (date, blocks) = (
                opened.day_or_today(date.as_deref())?,
                opened.block_ids(block)?,
            );
            let look = Look {
                date,
                bbch,
                how_many,
                blocks: &blocks,
            };
            if let Some(why) = look.refused(&opened.season, opened.today) {
                return Err(Failure::Input(why));
            }
            told = look.told(&opened.season, &opened.estimates);
            let photo = match photo {
                Some(file) if *copy => Some(photo::copied(&opened, file, date, bbch, &blocks)?),
                Some(file) => Some(file.display().to_string()),
                None => None,
            };
            edit::add_reading(
                &opened.season,
                Reading::Buds {
                    date,
                    bbch,
                    how_many,
                    blocks,
                    note: note.clone(),
                    photo,
                },
            )
        }
        ReadWhat::Rain { rain, date, note } => {
            let rain: RainDepth = rain
                .parse()
                .map_err(|e| Failure::Input(format!("{rain}: {e}")))?;
            let date = opened.day_or_today(date.as_deref())?;
            if date > opened.today {
                return Err(Failure::Input(format!(
                    "{date} has not come yet; enter rain once it has fallen"
                )));
            }
            let note = note.clone();
            let after = edit::add_reading(&opened.season, Reading::Rain { date, rain, note });
            let air = opened.fits.as_ref().map(Fits::air);
            let reckoned = |day| reckoned_mm(&opened.estimates, air, day);
            let both = gauge_against(&gauge_mm(&after), reckoned, date..=date);
            told.extend(both.map(|both| gauge_words(both, opened.season.orchard.units)));
            after
        }
        ReadWhat::LeafDrop { date, block } => {
            let date = opened.day_or_today(date.as_deref())?;
            let blocks = opened.block_ids(block)?;
            edit::leaf_drop_seen(&opened.season, &blocks, Some(date))
        }
        ReadWhat::Label { material, date } => {
            let date = opened.day_or_today(date.as_deref())?;
            edit::label_read(&opened.season, &MaterialId::from(material.as_str()), date)
                .map_err(edit_failure)?
        }
    };
    let (before, stood) = (swell_line(&opened), opened.outlook());
    opened.save(after)?;
    writeln!(out, "Noted.")?;
    for line in told {
        write!(out, "{}", wrapped(&format!("note: {line}"), 2))?;
    }
    for (was, is) in before.iter().zip(swell_line(&opened)) {
        if *was == is {
            writeln!(out, "{is} (as before)")?;
        } else {
            writeln!(
                out,
                "{is}, was {}",
                was.split_once(": ").map_or(was.as_str(), |(_, r)| r)
            )?;
        }
    }
    super::delay::write_changes(&stood, &opened.outlook(), &[], out)?;
    Ok(Exit::Fine)
}

fn swell_line(opened: &Opened) -> Vec<String> {
    let one = |id: &BlockId| {
        let date = &opened.estimates.of(id)?.swell;
        Some(format!(
            "{id}: swell {} ({} to {})",
            date.p50(),
            date.p10(),
            date.p90()
        ))
    };
    opened
        .season
        .blocks
        .iter()
        .filter_map(|b| one(&b.id))
        .collect()
}
