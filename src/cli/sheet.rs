//! `sheet`: sheets for others, in their language.

use super::args::{SheetArgs, SheetWhat};
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::mix;
use crate::domain::season::{RecordId, Task};
use crate::report::sheet::{self, Page, Words};
use crate::store::disk::{Disk as _, RealDisk};
use std::io::Write;
use std::path::Path;

/// No table of words is larger.
const MOST_BYTES: u64 = 1 << 20;

/// Prints a sheet.
pub fn run(at: &At, args: &SheetArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    if matches!(args.what, SheetWhat::Words) {
        write!(out, "{}", Words::to_fill_in())?;
        return Ok(Exit::Fine);
    }
    let words = words(&args.language)?;
    let page = page(at, args, &words)?;
    if args.html {
        write!(out, "{}", page.html())?;
    } else {
        write!(out, "{}", page.text())?;
    }
    if !page.fits() {
        writeln!(super::told(), "The sheet is longer than one printed page.")?;
    }
    Ok(Exit::Fine)
}

fn page(at: &At, args: &SheetArgs, words: &Words) -> Result<Page, Failure> {
    let opened = at.look()?;
    let season = &opened.season;
    Ok(match &args.what {
        SheetWhat::Mix { task: id } => {
            let task = task(&opened, id)?;
            let made = mix::sheet(season, task, Some(&opened.estimates), opened.today);
            sheet::mix(words, season, task, &made)
        }
        SheetWhat::Reentry { id } => {
            let record = RecordId::from(id.as_str());
            match season.records.iter().find(|r| r.id == record) {
                Some(record) => sheet::of_record(words, season, record),
                None => sheet::of_task(words, season, task(&opened, id)?),
            }
        }
        SheetWhat::Neighbour { task: id } => sheet::neighbour(words, season, task(&opened, id)?),
        SheetWhat::Wall | SheetWhat::Words => {
            sheet::wall(words, season, &opened.estimates, opened.today)
        }
    })
}

fn task<'a>(opened: &'a Opened, id: &str) -> Result<&'a Task, Failure> {
    let id = opened.task_id(id)?;
    let task = opened.season.task(&id);
    task.ok_or_else(|| Failure::Input(format!("There is no task '{id}'.")))
}

/// The words of a language that came along, or of a table of the reader's own.
fn words(language: &str) -> Result<Words, Failure> {
    if let Some(words) = Words::of(language) {
        return Ok(words);
    }
    let wrong = |why: String| Failure::Input(format!("--language {language}: {why}"));
    let bytes = RealDisk.read(Path::new(language), MOST_BYTES).map_err(|_| {
        wrong("not a language that came along (en, es), and not a file that can be read; write your own table with: barewood sheet words".to_owned())
    })?;
    let text = String::from_utf8(bytes).map_err(|_| wrong("it is not UTF-8 text".to_owned()))?;
    Words::read(&text).map_err(|e| wrong(e.to_string()))
}
