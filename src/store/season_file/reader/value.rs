//! Getters for single values and lists of values.

use super::{Kind, Section, nearest};
use crate::domain::units::{UnitError, plain_number, shown};
use chrono::{Datelike, NaiveDate, NaiveDateTime, NaiveTime};
use std::ops::RangeInclusive;
use std::str::FromStr;
use toml::Spanned;
use toml::de::DeValue;

/// The years a plan may speak of.
const YEARS: RangeInclusive<i32> = 1900..=2200;

fn type_words(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Reads a civil day written `2027-01-03`; says what is wrong and what to write.
pub(in super::super) fn day_in(text: &str) -> Result<NaiveDate, (String, String)> {
    const EXAMPLE: &str = "write the day as 2027-01-03";
    let text = text.trim();
    let mut parts = text.split('-');
    let mut number = |digits: usize| {
        parts
            .next()
            .filter(|p| p.len() == digits && p.bytes().all(|b| b.is_ascii_digit()))
            .and_then(|p| p.parse::<u32>().ok())
    };
    let (Some(year), Some(month), Some(day), None) =
        (number(4), number(2), number(2), parts.next())
    else {
        return Err((
            format!("'{}' is not a day", shown(text)),
            EXAMPLE.to_owned(),
        ));
    };
    let year = year as i32;
    if !YEARS.contains(&year) {
        return Err((
            format!(
                "the year {year} is outside {}–{}",
                YEARS.start(),
                YEARS.end()
            ),
            EXAMPLE.to_owned(),
        ));
    }
    let Some(first) = NaiveDate::from_ymd_opt(year, month, 1) else {
        return Err((
            format!("'{}' has no month {month}", shown(text)),
            "write a month from 01 to 12".to_owned(),
        ));
    };
    first.with_day(day).ok_or_else(|| {
        let last = u32::from(first.num_days_in_month());
        (
            format!("{} does not exist", shown(text)),
            format!("write a day from 01 to {last} for that month"),
        )
    })
}

fn moment_in(text: &str) -> Result<NaiveDateTime, (String, String)> {
    const EXAMPLE: &str = "write local time as 2027-01-03T14:30:00";
    let text = text.trim();
    let Some((day, time)) = text.split_once(['T', 't', ' ']) else {
        return Err((
            format!("'{}' has no time of day", shown(text)),
            EXAMPLE.to_owned(),
        ));
    };
    let day = day_in(day)?;
    ["%H:%M:%S%.f", "%H:%M"]
        .iter()
        .find_map(|f| NaiveTime::parse_from_str(time, f).ok())
        .map(|t| day.and_time(t))
        .ok_or_else(|| {
            (
                format!("'{}' is not a local time of day", shown(time)),
                EXAMPLE.to_owned(),
            )
        })
}

impl<'r, 't> Section<'r, 't> {
    pub(in super::super) fn wrong_type(
        &self,
        key: &str,
        value: &Spanned<DeValue<'t>>,
        belongs: &str,
    ) {
        self.complain(
            key,
            value.span(),
            format!("{} where {belongs} belongs", type_words(value.get_ref())),
            format!("write {belongs}"),
        );
    }

    fn text_of(&self, key: &str, value: &'r Spanned<DeValue<'t>>) -> Option<&'r str> {
        if let DeValue::String(text) = value.get_ref() {
            return Some(text.as_ref());
        }
        self.complain(
            key,
            value.span(),
            format!("{} where text belongs", type_words(value.get_ref())),
            format!(
                "write \"{}\" in quotes",
                shown(self.reader.raw(&value.span()))
            ),
        );
        None
    }

    pub(in super::super) fn text(&self, key: &'static str) -> Option<String> {
        let value = self.value(key)?;
        self.text_of(key, value).map(str::to_owned)
    }

    /// An id: text that is not empty.
    pub(in super::super) fn id(&self, kind: Kind) -> String {
        let text = self.text("id");
        if let Some(id) = &text {
            if id.trim().is_empty() {
                self.complain_at("id", "an empty id", "write a short name in quotes");
            } else {
                self.give(kind, "id", id);
            }
        }
        self.need("id", text, String::new(), "\"a-short-name\"")
    }

    pub(in super::super) fn flag(&self, key: &'static str) -> bool {
        let Some(value) = self.value(key) else {
            return false;
        };
        if let DeValue::Boolean(flag) = value.get_ref() {
            return *flag;
        }
        self.wrong_type(key, value, "true or false, without quotes");
        false
    }

    fn number_of(&self, key: &str, value: &Spanned<DeValue<'t>>) -> Option<f64> {
        let number: f64 = match value.get_ref() {
            DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix())
                .ok()
                .map_or(f64::INFINITY, |n| n as f64),
            DeValue::Float(n) => n.as_str().parse().unwrap_or(f64::NAN),
            other => {
                self.complain(
                    key,
                    value.span(),
                    format!("{} where a number belongs", type_words(other)),
                    "write a number without quotes",
                );
                return None;
            }
        };
        if !number.is_finite() || number.abs() > 1e12 {
            self.complain(
                key,
                value.span(),
                format!(
                    "'{}' is not an ordinary number",
                    shown(self.reader.raw(&value.span()))
                ),
                "write a number such as 12.5",
            );
            return None;
        }
        // Minus zero is zero.
        Some(number + 0.0)
    }

    fn in_range(
        &self,
        key: &str,
        value: &Spanned<DeValue<'t>>,
        range: &RangeInclusive<f64>,
    ) -> Option<f64> {
        let number = self.number_of(key, value)?;
        if range.contains(&number) {
            return Some(number);
        }
        let (low, high) = (plain_number(*range.start()), plain_number(*range.end()));
        self.complain(
            key,
            value.span(),
            format!("{} is outside {low} to {high}", plain_number(number)),
            format!("write a number from {low} to {high}"),
        );
        None
    }

    pub(in super::super) fn number(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        self.in_range(key, self.value(key)?, &range)
    }

    pub(in super::super) fn numbers(
        &self,
        key: &'static str,
        range: &RangeInclusive<f64>,
    ) -> Vec<f64> {
        self.items(key)
            .iter()
            .filter_map(|v| self.in_range(key, v, range))
            .collect()
    }

    /// A list of numbers in which a word may stand where none is known.
    pub(in super::super) fn numbers_or<T>(
        &self,
        key: &'static str,
        range: &RangeInclusive<f64>,
        word: &str,
        of: impl Fn(Option<f64>) -> T,
    ) -> Vec<T> {
        let is_word = |v: &Spanned<DeValue<'_>>| matches!(v.get_ref(), DeValue::String(text) if text.trim().eq_ignore_ascii_case(word));
        self.items(key)
            .iter()
            .filter_map(|v| {
                if is_word(v) {
                    return Some(of(None));
                }
                self.in_range(key, v, range).map(|n| of(Some(n)))
            })
            .collect()
    }

    fn whole_of(
        &self,
        key: &str,
        value: &Spanned<DeValue<'t>>,
        range: &RangeInclusive<u32>,
    ) -> Option<u32> {
        let bounds = f64::from(*range.start())..=f64::from(*range.end());
        let number = self.in_range(key, value, &bounds)?;
        if number.fract() == 0.0 {
            return Some(number as u32);
        }
        self.complain(
            key,
            value.span(),
            format!("{} is not a whole number", plain_number(number)),
            format!("write {}", plain_number(number.floor())),
        );
        None
    }

    pub(in super::super) fn whole(
        &self,
        key: &'static str,
        range: RangeInclusive<u32>,
    ) -> Option<u32> {
        self.whole_of(key, self.value(key)?, &range)
    }

    pub(in super::super) fn wholes(
        &self,
        key: &'static str,
        range: &RangeInclusive<u32>,
    ) -> Vec<u32> {
        self.items(key)
            .iter()
            .filter_map(|v| self.whole_of(key, v, range))
            .collect()
    }

    /// A BBCH stage, 0 to 99.
    pub(in super::super) fn bbch(&self, key: &'static str) -> Option<u8> {
        self.whole(key, 0..=99)
            .and_then(|stage| u8::try_from(stage).ok())
    }

    /// BBCH stages by the owner's words.
    pub(in super::super) fn bbch_of(&self, key: &str, value: &Spanned<DeValue<'t>>) -> Option<u8> {
        self.whole_of(key, value, &(0..=99))
            .and_then(|stage| u8::try_from(stage).ok())
    }

    fn quantity_of<T: FromStr<Err = UnitError>>(
        &self,
        key: &str,
        value: &'r Spanned<DeValue<'t>>,
    ) -> Option<T> {
        if matches!(value.get_ref(), DeValue::Integer(_) | DeValue::Float(_)) {
            let raw = shown(self.reader.raw(&value.span()));
            let example = match "".parse::<T>() {
                Err(UnitError::NoNumber { example, .. }) => format!("\"{example}\""),
                Err(UnitError::UnknownUnit { known, .. }) => known,
                _ => "the number and its unit in quotes".to_owned(),
            };
            self.complain(
                key,
                value.span(),
                format!("{raw} without its unit"),
                format!("write for instance {example}"),
            );
            return None;
        }
        let text = self.text_of(key, value)?;
        match text.parse() {
            Ok(quantity) => Some(quantity),
            Err(error) => {
                let message = error.to_string();
                let (what, fix) = message.split_once("; ").unwrap_or((&message, ""));
                self.complain(key, value.span(), what, fix);
                None
            }
        }
    }

    /// A quantity with its unit.
    pub(in super::super) fn quantity<T: FromStr<Err = UnitError>>(
        &self,
        key: &'static str,
    ) -> Option<T> {
        self.quantity_of(key, self.value(key)?)
    }

    pub(in super::super) fn quantities<T: FromStr<Err = UnitError>>(
        &self,
        key: &'static str,
    ) -> Vec<T> {
        self.items(key)
            .iter()
            .filter_map(|v| self.quantity_of(key, v))
            .collect()
    }

    /// One word of a closed list.
    pub(in super::super) fn word<T>(
        &self,
        key: &'static str,
        what: &str,
        known: &[&str],
        read: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        self.word_of(key, self.value(key)?, what, known, &read)
    }

    pub(in super::super) fn words<T>(
        &self,
        key: &'static str,
        what: &str,
        known: &[&str],
        read: impl Fn(&str) -> Option<T>,
    ) -> Vec<T> {
        self.items(key)
            .iter()
            .filter_map(|v| self.word_of(key, v, what, known, &read))
            .collect()
    }

    fn word_of<T>(
        &self,
        key: &str,
        value: &'r Spanned<DeValue<'t>>,
        what: &str,
        known: &[&str],
        read: &impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let text = self.text_of(key, value)?;
        read(text).or_else(|| {
            let near = nearest(text, known.iter().copied());
            let list = || format!("write one of: {}", known.join(", "));
            self.complain(
                key,
                value.span(),
                format!("'{}' is no {what} known here", shown(text)),
                near.map_or_else(list, |k| format!("did you mean \"{k}\"?")),
            );
            None
        })
    }

    fn day_of(&self, key: &str, value: &'r Spanned<DeValue<'t>>) -> Option<NaiveDate> {
        let text = match value.get_ref() {
            DeValue::Datetime(_) => self.reader.raw(&value.span()),
            DeValue::String(text) => text.as_ref(),
            _ => {
                self.wrong_type(key, value, "a day such as 2027-01-03");
                return None;
            }
        };
        day_in(text)
            .map_err(|(what, fix)| self.complain(key, value.span(), what, fix))
            .ok()
    }

    pub(in super::super) fn day(&self, key: &'static str) -> Option<NaiveDate> {
        self.day_of(key, self.value(key)?)
    }

    pub(in super::super) fn days(&self, key: &'static str) -> Vec<NaiveDate> {
        self.items(key)
            .iter()
            .filter_map(|v| self.day_of(key, v))
            .collect()
    }

    /// A local day and time of day.
    pub(in super::super) fn moment(&self, key: &'static str) -> Option<NaiveDateTime> {
        let value = self.value(key)?;
        let text = match value.get_ref() {
            DeValue::Datetime(_) => self.reader.raw(&value.span()),
            DeValue::String(text) => text.as_ref(),
            _ => {
                self.wrong_type(key, value, "a local time such as 2027-01-03T14:30:00");
                return None;
            }
        };
        moment_in(text)
            .map_err(|(what, fix)| self.complain(key, value.span(), what, fix))
            .ok()
    }

    /// The items of a list; one value alone is taken as a list of one.
    fn items(&self, key: &'static str) -> &'r [Spanned<DeValue<'t>>] {
        match self.value(key) {
            None => &[],
            Some(value) => match value.get_ref() {
                DeValue::Array(items) => items,
                _ => std::slice::from_ref(value),
            },
        }
    }

    pub(in super::super) fn texts(&self, key: &'static str) -> Vec<String> {
        self.items(key)
            .iter()
            .filter_map(|v| self.text_of(key, v).map(str::to_owned))
            .collect()
    }

    /// A name that must be given elsewhere in the file.
    pub(in super::super) fn reference(&self, kind: Kind, key: &'static str) -> Option<String> {
        let value = self.value(key)?;
        let text = self.text_of(key, value)?;
        self.uses(kind, key, text, value.span());
        Some(text.to_owned())
    }

    pub(in super::super) fn references(&self, kind: Kind, key: &'static str) -> Vec<String> {
        self.items(key)
            .iter()
            .filter_map(|v| {
                let text = self.text_of(key, v)?;
                self.uses(kind, key, text, v.span());
                Some(text.to_owned())
            })
            .collect()
    }
}
