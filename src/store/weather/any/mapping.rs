//! Which column of a found table is what: by options first, then by form, then by name, then by
//! what the cells hold. What cannot be settled is asked, never guessed.

use super::ask::{Ask, Question};
use super::find::{Found, is_number};
use super::forms::{Degrees, Hints};
use super::names::{self, Meaning, Said};
use super::{ImportOptions, dates};
use crate::domain::climate::temperature::TemperatureScale;
use crate::store::weather::problem::shown;

/// A column of temperatures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Degree {
    pub column: usize,
    pub degrees: Option<Degrees>,
}

/// A column with a factor to our unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scaled {
    pub column: usize,
    pub factor: f64,
}

/// Where the day of a row stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DayAt {
    Column(usize),
    Parts {
        year: usize,
        month: usize,
        day: usize,
    },
    OfYear {
        year: usize,
        day: usize,
    },
}

/// Where the time of a row stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ClockAt {
    /// In the cell of the day.
    WithDay,
    Column(usize),
    Hour {
        hour: usize,
        minute: Option<usize>,
    },
    None,
}

/// A table understood.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    pub day: DayAt,
    pub clock: ClockAt,
    pub said: Said,
    pub low: Option<Degree>,
    pub high: Option<Degree>,
    pub temp: Option<Degree>,
    pub dew: Option<Degree>,
    pub humidity: Option<usize>,
    pub wind: Option<Scaled>,
    pub gust: Option<Scaled>,
    pub wind_from: Option<usize>,
    pub rain: Option<Scaled>,
    /// A column of rain whose unit nothing names yet, and whether it follows that of the
    /// temperatures: inches beside °F, millimetres beside °C.
    pub rain_open: Option<(usize, bool)>,
    /// The column of rain counts up through the day.
    pub rain_runs: bool,
    pub station: Option<usize>,
    pub place: [Option<usize>; 3],
    /// Indices of columns that hold marks of quality "1 suspect, 9 missing".
    pub marks: Vec<usize>,
    pub unused: Vec<String>,
}

impl Layout {
    /// The columns of temperatures.
    pub(super) fn degrees(&self) -> impl Iterator<Item = Degree> + '_ {
        [self.low, self.high, self.temp, self.dew]
            .into_iter()
            .flatten()
    }

    /// Gives every column of temperatures without a unit this one.
    pub(super) fn settle(&mut self, degrees: Degrees) {
        for column in [&mut self.low, &mut self.high, &mut self.temp, &mut self.dew]
            .into_iter()
            .flatten()
        {
            column.degrees = column.degrees.or(Some(degrees));
        }
        let factor = match degrees {
            Degrees::Fahrenheit => Some(25.4),
            Degrees::Celsius => Some(1.0),
            Degrees::Tenths => None,
        };
        if let (Some((column, true)), Some(factor)) = (self.rain_open, factor) {
            self.rain = Some(Scaled { column, factor });
            self.rain_open = None;
        }
    }
}

/// Some lines of data, for questions the names leave open.
pub(super) type Sample<'a> = Vec<Vec<&'a str>>;

fn cell<'a>(row: &[&'a str], column: usize) -> &'a str {
    row.get(column).copied().unwrap_or_default()
}

/// The column an option names: by its name, else by its number from 1.
fn asked_for(found: &Found, wanted: &str) -> Option<usize> {
    let folded = names::fold(wanted.trim());
    let by_name = found
        .names
        .iter()
        .position(|n| names::fold(n.trim()) == folded);
    by_name.or_else(|| {
        let number: usize = folded.parse().ok()?;
        (1..=found.width).contains(&number).then(|| number - 1)
    })
}

const fn of_scale(scale: Option<TemperatureScale>) -> Option<Degrees> {
    match scale {
        Some(TemperatureScale::Celsius) => Some(Degrees::Celsius),
        Some(TemperatureScale::Fahrenheit) => Some(Degrees::Fahrenheit),
        None => None,
    }
}

/// The unit the cells of a column carry: "44 °F".
fn unit_in_cells(sample: &Sample<'_>, column: usize) -> Option<Degrees> {
    let ends = |sign: &[&str]| {
        let filled: Vec<&str> = sample
            .iter()
            .map(|r| cell(r, column))
            .filter(|c| is_number(c))
            .collect();
        !filled.is_empty()
            && filled
                .iter()
                .all(|c| sign.iter().any(|s| c.trim_end().ends_with(s)))
    };
    if ends(&["°F", "ºF", " F", "℉"]) {
        Some(Degrees::Fahrenheit)
    } else if ends(&["°C", "ºC", " C", "℃"]) {
        Some(Degrees::Celsius)
    } else {
        None
    }
}

/// What the caller says besides the options.
pub(super) struct Around<'a> {
    pub hints: Hints,
    pub by_form: &'a [Option<Meaning>],
    /// What the lines around the table say of the scale of all its temperatures.
    pub said_degrees: Option<Degrees>,
    /// What the lines above the table say a single column of temperatures is.
    pub single: Option<Single>,
}

/// One column of temperatures a day: the lines above say which of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Single {
    Low,
    High,
}

/// Lays out a table, or tells what has to be asked.
#[allow(clippy::too_many_lines)]
pub(super) fn layout(
    found: &Found,
    sample: &Sample<'_>,
    around: &Around<'_>,
    options: &ImportOptions,
    asks: &mut Vec<Ask>,
) -> Option<Layout> {
    let meanings: Vec<Meaning> = (0..found.width)
        .map(|i| {
            around.by_form.get(i).copied().flatten().unwrap_or_else(|| {
                found
                    .names
                    .get(i)
                    .map_or(Meaning::Other, |n| names::recognise(n))
            })
        })
        .collect();
    let named = |column: usize| {
        found
            .names
            .get(column)
            .filter(|n| !n.is_empty())
            .map_or_else(|| format!("column {}", column + 1), |n| shown(n.as_bytes()))
    };
    let all = |test: &dyn Fn(&Meaning) -> bool| -> Vec<usize> {
        (0..meanings.len())
            .filter(|&i| meanings.get(i).is_some_and(test))
            .collect()
    };
    let given = |option: Option<&String>, question: Question, asks: &mut Vec<Ask>| {
        let wanted = option?;
        let column = asked_for(found, wanted);
        if column.is_none() {
            let known: Vec<String> = (0..found.width).map(named).take(30).collect();
            asks.push(Ask::new(
                question,
                format!("there is no column '{}'", shown(wanted.as_bytes())),
                format!("the columns are: {}", known.join(", ")),
            ));
        }
        column
    };
    let asked_day = given(options.date_column.as_ref(), Question::Day, asks);
    let asked_time = given(options.time_column.as_ref(), Question::Time, asks);
    let asked_low = given(options.tmin_column.as_ref(), Question::Low, asks);
    let asked_high = given(options.tmax_column.as_ref(), Question::High, asks);
    let asked_temp = given(options.temp_column.as_ref(), Question::Temp, asks);

    // Days and times.
    let days_in = |column: usize, tenths: usize| {
        let filled: Vec<&str> = sample
            .iter()
            .map(|r| cell(r, column))
            .filter(|c| !c.is_empty())
            .collect();
        !filled.is_empty()
            && filled.iter().filter(|c| dates::when(c).is_some()).count() * 10
                >= filled.len() * tenths
    };
    let holds_day = |column: usize| days_in(column, 8);
    let holds_time = |column: usize| {
        let filled: Vec<&str> = sample
            .iter()
            .map(|r| cell(r, column))
            .filter(|c| !c.is_empty())
            .collect();
        !filled.is_empty() && filled.iter().all(|c| dates::clock(c).is_some())
    };
    let whens = all(&|m| matches!(m, Meaning::When(_)));
    let first = |test: &dyn Fn(&Meaning) -> bool| all(test).first().copied();
    let (year, month, day) = (
        first(&|m| *m == Meaning::Year),
        first(&|m| *m == Meaning::Month),
        first(&|m| *m == Meaning::Day),
    );
    let of_year = first(&|m| *m == Meaning::DayOfYear);
    // Under a name that means a day, lines of sums may make up half of the rows.
    let day_columns: Vec<usize> = whens.iter().copied().filter(|&c| days_in(c, 5)).collect();
    // A day the record stands for beats the bounds of its measurement.
    let stands_for = (0..found.width).find(|&c| {
        let words = names::words(found.names.get(c).map_or("", String::as_str));
        words.iter().any(|w| w == "representativt") && holds_day(c)
    });
    let by_content = || {
        let mut found_days =
            (0..found.width).filter(|&c| holds_day(c) && !is_plain_number(sample, c));
        let one = found_days.next();
        if found_days.next().is_some() {
            None
        } else {
            one
        }
    };
    let day_at = asked_day
        .or(stands_for)
        .or_else(|| day_columns.first().copied())
        .map(DayAt::Column)
        .or(match (year, month, day, of_year) {
            (Some(year), Some(month), Some(day), _) => Some(DayAt::Parts { year, month, day }),
            (Some(year), _, _, Some(day)) => Some(DayAt::OfYear { year, day }),
            _ => None,
        })
        .or_else(|| by_content().map(DayAt::Column));
    let clock_column = asked_time.or_else(|| {
        whens
            .iter()
            .copied()
            .find(|&c| Some(DayAt::Column(c)) != day_at && holds_time(c))
    });
    let hour = first(&|m| matches!(m, Meaning::Hour(_)));
    let day_has_time = match day_at {
        Some(DayAt::Column(c)) => sample
            .iter()
            .filter_map(|r| dates::when(cell(r, c)))
            .any(|w| w.clock.is_some_and(|k| k.seconds != 0)),
        _ => false,
    };
    let clock = if day_has_time {
        ClockAt::WithDay
    } else if let Some(column) = clock_column {
        ClockAt::Column(column)
    } else if let Some(hour) = hour {
        ClockAt::Hour {
            hour,
            minute: first(&|m| *m == Meaning::Minute),
        }
    } else {
        ClockAt::None
    };
    let mut said = around.hints.clock.unwrap_or(Said::Nothing);
    let clock_said = |column: usize| match meanings.get(column) {
        Some(Meaning::When(said) | Meaning::Hour(said)) => *said,
        _ => Said::Nothing,
    };
    for column in match (day_at, clock) {
        (_, ClockAt::Hour { hour, .. }) => vec![hour],
        (_, ClockAt::Column(c)) | (Some(DayAt::Column(c)), _) => vec![c],
        _ => Vec::new(),
    } {
        if clock_said(column) != Said::Nothing {
            said = clock_said(column);
        }
    }

    // Temperatures.
    let degrees_of = |column: usize, scale: Option<TemperatureScale>| Degree {
        column,
        degrees: of_scale(scale)
            .or(around.hints.degrees)
            .or_else(|| unit_in_cells(sample, column))
            .or(options.degrees())
            .or(around.said_degrees),
    };
    let scale_of = |column: usize| {
        let mut words = names::words(found.names.get(column).map_or("", String::as_str));
        names::take_scale(&mut words)
    };
    let values_in = |column: &usize| {
        sample.iter().any(|r| {
            is_number(cell(r, *column)) || (around.hints.coded && cell(r, *column).contains(','))
        }) || sample.iter().all(|r| cell(r, *column).is_empty())
    };
    let pick = |asked: Option<usize>,
                question: Question,
                test: &dyn Fn(&Meaning) -> bool,
                asks: &mut Vec<Ask>| {
        if let Some(column) = asked {
            return Some(degrees_of(column, scale_of(column)));
        }
        let mut columns = all(test);
        columns.retain(values_in);
        // The same name again, as archives repeat it for marks: the first holds the values.
        let same = |a: usize, b: usize| found.names.get(a) == found.names.get(b);
        if let [one, rest @ ..] = columns.as_slice()
            && rest.iter().all(|&c| same(*one, c))
        {
            columns.truncate(1);
        }
        match columns.as_slice() {
            [] => None,
            [column] => {
                let scale = match meanings.get(*column) {
                    Some(
                        Meaning::Low(s) | Meaning::High(s) | Meaning::Temp(s) | Meaning::Dew(s),
                    ) => *s,
                    _ => None,
                };
                Some(degrees_of(*column, scale))
            }
            several => {
                let list: Vec<String> = several.iter().map(|&c| named(c)).collect();
                asks.push(Ask::new(
                    question,
                    format!(
                        "{} columns could be the {}",
                        several.len(),
                        question.words()
                    ),
                    format!(
                        "name one of them with {}: {}",
                        question.option(),
                        list.join(" | ")
                    ),
                ));
                None
            }
        }
    };
    let mut low = pick(
        asked_low,
        Question::Low,
        &|m| matches!(m, Meaning::Low(_)),
        asks,
    );
    let mut high = pick(
        asked_high,
        Question::High,
        &|m| matches!(m, Meaning::High(_)),
        asks,
    );
    let need_temp =
        clock != ClockAt::None || around.single.is_some() || low.is_none() && high.is_none();
    let mut temp = if need_temp {
        pick(
            asked_temp,
            Question::Temp,
            &|m| matches!(m, Meaning::Temp(_)),
            asks,
        )
    } else {
        asked_temp.map(|c| degrees_of(c, scale_of(c)))
    };
    if temp.is_none() && clock != ClockAt::None && low.is_none() && high.is_none() {
        temp = pick(
            None,
            Question::Temp,
            &|m| matches!(m, Meaning::Mean(_)),
            asks,
        );
    }
    match around.single.filter(|_| clock == ClockAt::None) {
        Some(Single::Low) if low.is_none() => low = temp.take(),
        Some(Single::High) if high.is_none() => high = temp.take(),
        _ => {}
    }
    let side = |test: &dyn Fn(&Meaning) -> bool| all(test).into_iter().find(values_in);
    let dew = if clock == ClockAt::None {
        None
    } else {
        side(&|m| matches!(m, Meaning::Dew(_))).map(|c| {
            let scale = match meanings.get(c) {
                Some(Meaning::Dew(s)) => *s,
                _ => None,
            };
            degrees_of(c, scale)
        })
    };
    let any_degrees = [low, high, temp]
        .into_iter()
        .flatten()
        .find_map(|d| d.degrees);
    let follow = |us: f64, metric: f64| {
        around
            .hints
            .follows_scale
            .then_some(match any_degrees {
                Some(Degrees::Fahrenheit) => Some(us),
                Some(Degrees::Celsius) => Some(metric),
                _ => None,
            })
            .flatten()
    };
    let factor = |column: Option<usize>, form: Option<f64>| -> Option<Scaled> {
        let column = column?;
        let named = match meanings.get(column) {
            Some(Meaning::Rain(f) | Meaning::Wind(f) | Meaning::Gust(f)) => *f,
            _ => None,
        };
        named.or(form).map(|factor| Scaled { column, factor })
    };
    let rain_column = side(&|m| matches!(m, Meaning::Rain(_)));
    let rain = factor(rain_column, around.hints.rain_mm.or(follow(25.4, 1.0)));
    let rain_open = rain_column
        .filter(|_| rain.is_none())
        .map(|column| (column, around.hints.follows_scale));
    let rain_runs = rain.is_some_and(|r| {
        let words = names::words(found.names.get(r.column).map_or("", String::as_str));
        clock != ClockAt::None
            && words.iter().any(|w| {
                matches!(
                    w.as_str(),
                    "daily" | "day" | "today" | "accum" | "accumulated" | "total" | "dailyrainin"
                )
            })
    });
    let wind_form = around.hints.wind_ms.or(follow(0.447_04, 1.0));
    let wind = factor(side(&|m| matches!(m, Meaning::Wind(_))), wind_form);
    let gust = factor(
        side(&|m| matches!(m, Meaning::Gust(_))),
        around.hints.wind_ms,
    );
    let marks = (0..found.width)
        .filter(|&i| {
            found
                .names
                .get(i)
                .is_some_and(|n| names::fold(n.trim()).starts_with("q_"))
        })
        .collect();
    let one = |test: &dyn Fn(&Meaning) -> bool| all(test).first().copied();
    let Some(day_at) = day_at else {
        let known: Vec<String> = (0..found.width).map(named).take(30).collect();
        asks.push(Ask::new(
            Question::Day,
            "no column holds days that can be read".to_owned(),
            format!("name it with --date-column: {}", known.join(" | ")),
        ));
        return None;
    };
    let has_day = low.is_some() || high.is_some();
    let asked_already = asks
        .iter()
        .any(|a| matches!(a.question, Question::Low | Question::High | Question::Temp));
    if !has_day && temp.is_none() && !asked_already {
        let known: Vec<String> = (0..found.width).map(named).take(30).collect();
        asks.push(Ask::new(
            Question::Low,
            "no column for the temperatures was found".to_owned(),
            format!(
                "name them with --tmin and --tmax, or --temp: {}",
                known.join(" | ")
            ),
        ));
    }
    if temp.is_some() && !has_day && clock == ClockAt::None {
        asks.push(Ask::new(
            Question::Low,
            "there is one temperature a day; the minimum and the maximum are needed".to_owned(),
            "bring in a file with both, or hours; or name the columns with --tmin and --tmax"
                .to_owned(),
        ));
    }
    let used: Vec<usize> = [low, high, temp, dew]
        .into_iter()
        .flatten()
        .map(|d| d.column)
        .chain([rain, wind, gust].into_iter().flatten().map(|s| s.column))
        .collect();
    let measured = |m: &Meaning| {
        matches!(
            m,
            Meaning::Low(_)
                | Meaning::High(_)
                | Meaning::Mean(_)
                | Meaning::Temp(_)
                | Meaning::Dew(_)
                | Meaning::Rain(_)
                | Meaning::Wind(_)
                | Meaning::Gust(_)
                | Meaning::Other
        )
    };
    let unused = (0..found.width)
        .filter(|i| !used.contains(i) && meanings.get(*i).is_some_and(measured))
        .filter(|i| {
            found
                .names
                .get(*i)
                .is_some_and(|n| !n.is_empty() && n != "-")
        })
        .map(named)
        .take(50)
        .collect();
    Some(Layout {
        day: day_at,
        clock,
        said,
        low,
        high,
        temp,
        dew,
        humidity: side(&|m| *m == Meaning::Humidity),
        wind,
        gust,
        wind_from: side(&|m| *m == Meaning::WindFrom),
        rain,
        rain_open,
        rain_runs,
        station: one(&|m| *m == Meaning::Station),
        place: [
            one(&|m| *m == Meaning::Latitude),
            one(&|m| *m == Meaning::Longitude),
            one(&|m| *m == Meaning::Height),
        ],
        marks,
        unused,
    })
}

/// Eight digits may be a number as well as a day: alone they do not make a column of days.
fn is_plain_number(sample: &Sample<'_>, column: usize) -> bool {
    sample.iter().map(|r| cell(r, column)).all(|c| {
        c.bytes().all(|b| b.is_ascii_digit())
            && !(c.len() == 8 && (c.starts_with("19") || c.starts_with("20")))
    })
}
