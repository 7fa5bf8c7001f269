//! The calendar that is kept fresh beside what the board saves.

use super::BoardHost;
use super::known::Known;
use crate::cli::kept_calendar;
use crate::domain::outlook::outlook_with;
use crate::domain::season::Season;
use crate::report::calendar::CalendarOf;
use chrono::Utc;
use std::path::PathBuf;

impl BoardHost {
    /// Writes the calendar that is kept fresh, where one is wished. What goes wrong with it is
    /// told, and takes nothing from the save.
    pub(super) fn refresh_calendar(&self, season: &Season) {
        let Some(estimates) = self.latest() else {
            return;
        };
        let now = self.clock.moment(self.clock_time());
        let fits = self.known.as_ref().and_then(Known::fits);
        let fits = fits.map(|fits| fits.renewed(season, now));
        let today = self.clock_day();
        let outlook = outlook_with(season, estimates, fits.as_ref(), today);
        let of = CalendarOf {
            season,
            estimates,
            outlook: &outlook,
            fits: fits.as_ref(),
            made: Utc::now(),
            before: None,
        };
        let put = |file: PathBuf| kept_calendar::put(&file, &kept_calendar::text(&of, Some(&file)));
        match kept_calendar::wished().map(|file| file.map(put)) {
            Ok(None | Some(Ok(()))) => {}
            Ok(Some(Err(why))) => self.beside.fail(why),
            Err(fault) => self.beside.fail(fault.to_string()),
        }
    }
}
