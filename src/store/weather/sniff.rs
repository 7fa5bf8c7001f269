//! Which format a weather file is in, from its first bytes.

use std::fmt;

use super::{history, table};

/// The formats that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WeatherFormat {
    /// One line a day under a header.
    DailyCsv,
    /// By-station CSV of the global historical daily archive.
    StationCsv,
    /// Fixed-width `.dly` of the same archive.
    StationDly,
    /// Our packed history.
    History,
    /// One line an hour under a header.
    HourlyCsv,
    /// Typical meteorological year, third edition.
    Tmy3,
    /// A table of days, understood column by column.
    Table,
    /// A table of hours or minutes, understood column by column.
    TableOfHours,
}

impl WeatherFormat {
    /// Whether it holds hours rather than days.
    pub const fn is_hourly(self) -> bool {
        matches!(self, Self::HourlyCsv | Self::Tmy3 | Self::TableOfHours)
    }
}

impl fmt::Display for WeatherFormat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::DailyCsv => "daily CSV",
            Self::StationCsv => "daily station CSV",
            Self::StationDly => "daily station file of fixed width",
            Self::History => "packed daily history",
            Self::HourlyCsv => "hourly CSV",
            Self::Tmy3 => "hourly typical year (TMY3)",
            Self::Table => "table of days",
            Self::TableOfHours => "table of hours",
        })
    }
}

/// Files of no recognisable kind are taken for daily CSV, whose reader then says what it misses.
pub(super) fn format_of(head: &[u8]) -> WeatherFormat {
    if head.starts_with(&history::MAGIC) {
        return WeatherFormat::History;
    }
    let head = head.strip_prefix(table::BYTE_ORDER_MARK).unwrap_or(head);
    let mut lines = head
        .split(|&b| b == b'\n')
        .filter(|line| !line.starts_with(b"#"));
    let first = lines.next().unwrap_or_default();
    if is_dly(first) {
        return WeatherFormat::StationDly;
    }
    if lines
        .next()
        .is_some_and(|second| second.trim_ascii_start().starts_with(b"Date (MM/DD/YYYY)"))
    {
        return WeatherFormat::Tmy3;
    }
    let names = table::split_header(first);
    let has = |name: &str| names.iter().any(|n| n.eq_ignore_ascii_case(name));
    // The archive's order form has the same names without the columns of attributes, in whole
    // degrees of either scale: only the attributes mark the raw tenths.
    if has("STATION") && has("DATE") && (has("TMAX_ATTRIBUTES") || has("TMIN_ATTRIBUTES")) {
        return WeatherFormat::StationCsv;
    }
    let hourly = names.iter().any(|name| super::hourly_header::is_time(name)) && !has("date");
    if hourly {
        WeatherFormat::HourlyCsv
    } else {
        WeatherFormat::DailyCsv
    }
}

/// Eleven characters of identifier, year, month, element of four capitals or digits.
fn is_dly(line: &[u8]) -> bool {
    let part = |from: usize, to: usize| line.get(from..to).unwrap_or_default();
    let digits = |bytes: &[u8]| !bytes.is_empty() && bytes.iter().all(u8::is_ascii_digit);
    let capitals = |bytes: &[u8]| {
        !bytes.is_empty()
            && bytes
                .iter()
                .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
    };
    line.len() > 26
        && part(0, 11)
            .iter()
            .all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'))
        && digits(part(11, 17))
        && capitals(part(17, 21))
}
