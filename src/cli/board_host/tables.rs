//! Weather files brought in on the board, and the weather fetched beside it.

use super::BoardHost;
use super::keep::expand;
use crate::cli::fetch_history;
use crate::domain::season::Season;
use crate::store::forecast::fetch::history::History;
use crate::store::season_weather::{self, AddOptions};
use crate::store::weather::ImportOptions;
use crate::store::weather::any::ZoneGiven;
use crate::store::weather::any::dates::DateOrder;
use crate::store::weather::any::forms::Degrees;
use crate::tui::host::{Host as _, News, TableAnswer, TableAsk, TableSeen};

fn options(ask: &TableAsk, today: chrono::NaiveDate) -> Result<AddOptions, String> {
    let said = |key: &str| {
        ask.said
            .iter()
            .find(|(k, _)| *k == key)
            .map(|(_, v)| v.clone())
    };
    let mut import = ImportOptions {
        date_column: said("day"),
        time_column: said("time"),
        tmin_column: said("low"),
        tmax_column: said("high"),
        temp_column: said("temp"),
        dates: said("dates").as_deref().and_then(DateOrder::from_key),
        zone_text: said("zone"),
        ..ImportOptions::default()
    };
    if let Some(degrees) = said("unit").as_deref().and_then(Degrees::from_key) {
        import.set_degrees(degrees);
    }
    if let Some(zone) = said("zone") {
        import.zone = ZoneGiven::from_key(&zone)?;
    }
    Ok(AddOptions {
        import,
        anyway: ask.anyway,
        ..AddOptions::on(today)
    })
}

impl BoardHost {
    /// Looks at a weather file, or brings it in.
    pub(super) fn weather_file(
        &mut self,
        season: &Season,
        ask: &TableAsk,
    ) -> Result<TableAnswer, String> {
        let folder = self
            .session
            .as_ref()
            .map(crate::store::session::Session::folder)
            .ok_or("practice: nothing is brought in here")?;
        let clock = self.clock.running().day(chrono::Utc::now());
        let options = options(ask, self.today().max(clock))?;
        let file = expand(&ask.file)?;
        if ask.bring {
            let added = season_weather::add(season, &folder, &[file], &options)
                .map_err(|e| e.to_string())?;
            self.at.log.note(&format!("brought in: {}", added.kept_as));
            let last = added
                .account
                .lines()
                .filter(|l| l.contains("joined:") || l.contains("NOTE"))
                .map(str::trim)
                .collect::<Vec<_>>()
                .join("; ");
            let words = if last.is_empty() {
                format!("brought in, kept as {}", added.kept_as)
            } else {
                format!("brought in: {last}")
            };
            return Ok(TableAnswer::Brought(Box::new(added.season), words));
        }
        let seen =
            season_weather::see(season, &folder, &file, &options).map_err(|e| e.to_string())?;
        Ok(TableAnswer::Seen(Box::new(TableSeen {
            ask: ask.clone(),
            lines: seen.lines,
            columns: seen.columns,
            rows: seen.rows,
            asks: seen.asks,
            against: seen.against,
        })))
    }

    /// Keeps what the archive answered, for the season in view.
    pub(super) fn keep_history(&mut self, season: &Season, fetched: &History) -> News {
        let Some(folder) = self
            .session
            .as_ref()
            .map(crate::store::session::Session::folder)
        else {
            return News::Failed("practice: the weather fetched is not kept".to_owned());
        };
        match season_weather::keep_history(season, &folder, fetched, self.today()) {
            Ok(kept) => {
                let words = fetch_history::told(season, fetched, &kept.corrected).join("; ");
                self.at.log.note(&words);
                News::Brought(Box::new(kept.season), words)
            }
            Err(why) => News::Failed(why.to_string()),
        }
    }
}
