//! Which column holds what, from its name in the languages weather files come in.
//!
//! A name is cut into words; accents of Latin letters go, other scripts stay. A unit is read only
//! where it is written: a column without one is asked about, never guessed.

use super::words::{
    CJK, CLOCKS, DAYS_OF_YEAR, DEWS, ELSEWHERE, FLAGS, GUSTS, HEIGHTS, HIGHS, HOURS, HUMIDITIES,
    LATITUDES, LONGITUDES, LOWS, MEANS, MINUTES, MONTH_DAYS, MONTHS, RAINS, RUNNING, STATIONS,
    TEMPERATURES, WHENS, WIND_FROM, WINDS, YEARS,
};
use crate::domain::climate::temperature::TemperatureScale::{self, Celsius, Fahrenheit};

/// Where the clock of a column of times stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    Nothing,
    Utc,
    /// Standard time of the place, all year.
    Standard,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Meaning {
    /// A day, a time, or both: the cells tell.
    When(Said),
    Year,
    Month,
    /// Of the month.
    Day,
    DayOfYear,
    Hour(Said),
    Minute,
    Low(Option<TemperatureScale>),
    High(Option<TemperatureScale>),
    /// Mean of the day or of the hour.
    Mean(Option<TemperatureScale>),
    Temp(Option<TemperatureScale>),
    Dew(Option<TemperatureScale>),
    Humidity,
    /// Metres a second per unit, where the name tells.
    Wind(Option<f64>),
    Gust(Option<f64>),
    WindFrom,
    /// Millimetres per unit, where the name tells.
    Rain(Option<f64>),
    Station,
    Latitude,
    Longitude,
    Height,
    /// Not used.
    Other,
}

/// Lower case, without the accents of Latin letters.
pub(super) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'à'..='å' | 'ā' | 'ă' | 'ą' => folded.push('a'),
            'ç' | 'ć' | 'č' => folded.push('c'),
            'ď' | 'đ' => folded.push('d'),
            'è'..='ë' | 'ē' | 'ė' | 'ę' | 'ě' => folded.push('e'),
            'ì'..='ï' | 'ī' | 'į' | 'ı' => folded.push('i'),
            'ł' => folded.push('l'),
            'ñ' | 'ń' | 'ň' => folded.push('n'),
            'ò'..='ö' | 'ø' | 'ō' | 'ő' => folded.push('o'),
            'ř' => folded.push('r'),
            'ś' | 'š' | 'ş' | 'ș' => folded.push('s'),
            'ť' | 'ț' => folded.push('t'),
            'ù'..='ü' | 'ū' | 'ů' | 'ű' => folded.push('u'),
            'ý' | 'ÿ' => folded.push('y'),
            'ź' | 'ż' | 'ž' => folded.push('z'),
            'æ' => folded.push_str("ae"),
            'ß' => folded.push_str("ss"),
            // Combining marks: the accent of a letter written in two characters.
            '\u{300}'..='\u{36f}' => {}
            _ => folded.push(c),
        }
    }
    folded
}

/// The words of a name: "maxDailyTemp (°F)" becomes max, daily, temp, degf.
pub(super) fn words(name: &str) -> Vec<String> {
    let mut spaced = String::with_capacity(name.len() + 8);
    let mut before = ' ';
    for c in name.chars().take(160) {
        match c {
            '°' | 'º' | '˚' => spaced.push_str(" deg"),
            '℃' => spaced.push_str(" degc "),
            '℉' => spaced.push_str(" degf "),
            '%' => spaced.push_str(" percent "),
            _ => {
                if c.is_uppercase() && before.is_lowercase() {
                    spaced.push(' ');
                }
                spaced.push(c);
            }
        }
        before = c;
    }
    let folded = fold(&spaced);
    let mut words: Vec<String> = Vec::new();
    for word in folded.split(|c: char| !c.is_alphanumeric()) {
        match word {
            "" => {}
            // "deg C", "degrees F", "grados C"
            "c" | "f"
                if words.last().is_some_and(|w| {
                    matches!(
                        w.as_str(),
                        "deg" | "degree" | "degrees" | "grad" | "grados" | "gradi" | "degres"
                    )
                }) =>
            {
                words.pop();
                words.push(format!("deg{word}"));
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// The scale of a name, and the words without it.
pub(super) fn take_scale(words: &mut Vec<String>) -> Option<TemperatureScale> {
    let sure = |word: &str| match word {
        "degc" | "celsius" | "centigrade" | "celcius" => Some(Celsius),
        "degf" | "fahrenheit" | "farenheit" => Some(Fahrenheit),
        _ => None,
    };
    if let Some(at) = words.iter().position(|w| sure(w).is_some()) {
        let scale = words.get(at).and_then(|w| sure(w));
        words.retain(|w| sure(w).is_none());
        return scale;
    }
    let scale = match words.last().map(String::as_str)? {
        "c" => Celsius,
        "f" => Fahrenheit,
        _ => return None,
    };
    words.pop();
    Some(scale)
}

/// Metres a second in the unit a name carries.
fn wind_unit(words: &[String]) -> Option<f64> {
    let has = |w: &str| words.iter().any(|x| x == w);
    let pair = |a: &str, b: &str| words.windows(2).any(|w| w[0] == a && w[1].starts_with(b));
    if has("ms") || has("mps") || has("m/s") || pair("m", "s") || pair("mp", "s") {
        Some(1.0)
    } else if has("kmh") || has("kph") || has("kmph") || has("kmhr") || pair("km", "h") {
        Some(1.0 / 3.6)
    } else if has("mph") || pair("mi", "h") || pair("mp", "h") {
        Some(0.447_04)
    } else if has("kn") || has("kt") || has("kts") || has("knots") || has("knot") || has("sknt") {
        Some(1852.0 / 3600.0)
    } else {
        None
    }
}

/// Millimetres in the unit a name carries.
fn rain_unit(words: &[String]) -> Option<f64> {
    let has = |w: &str| words.iter().any(|x| x == w);
    if has("mm") || has("millimeters") || has("millimetres") || has("millimeter") {
        Some(1.0)
    } else if has("cm") {
        Some(10.0)
    } else if has("in") || has("inch") || has("inches") {
        Some(25.4)
    } else {
        None
    }
}

fn any(words: &[String], list: &[&str]) -> bool {
    words.iter().any(|w| list.contains(&w.as_str()))
}

/// Whether a word is, begins or ends with one of the long words of a list.
fn compound(words: &[String], list: &[&str]) -> bool {
    words.iter().any(|w| {
        list.iter()
            .filter(|l| l.len() >= 4)
            .any(|l| w.starts_with(l) || w.ends_with(l))
    })
}

/// What a column holds, from its name alone.
pub(super) fn recognise(name: &str) -> Meaning {
    if let Some(meaning) = far_east(name) {
        return meaning;
    }
    let mut words = words(name);
    if words.is_empty() {
        return Meaning::Other;
    }
    if let Some(code) = code(&words) {
        return code;
    }
    if any(&words, FLAGS) {
        return Meaning::Other;
    }
    let joined = words.concat();
    let said = said(&words);
    if any(&words, RAINS) || compound(&words, RAINS) {
        return if any(&words, RUNNING) {
            Meaning::Other
        } else {
            Meaning::Rain(rain_unit(&words))
        };
    }
    if any(&words, ELSEWHERE) || compound(&words, ELSEWHERE) {
        return Meaning::Other;
    }
    if any(&words, DEWS) || compound(&words, DEWS) {
        let scale = take_scale(&mut words);
        let extreme = any(&words, LOWS) || any(&words, HIGHS);
        return if extreme {
            Meaning::Other
        } else {
            Meaning::Dew(scale)
        };
    }
    if any(&words, HUMIDITIES) || compound(&words, HUMIDITIES) {
        let extreme = any(&words, LOWS) || any(&words, HIGHS);
        return if extreme {
            Meaning::Other
        } else {
            Meaning::Humidity
        };
    }
    if any(&words, GUSTS) || compound(&words, GUSTS) {
        return if any(&words, WIND_FROM) {
            Meaning::Other
        } else {
            Meaning::Gust(wind_unit(&words))
        };
    }
    if any(&words, WINDS) || compound(&words, WINDS) {
        return if any(&words, WIND_FROM) {
            Meaning::WindFrom
        } else if any(&words, HIGHS) || any(&words, CLOCKS) || any(&words, &["run"]) {
            Meaning::Other
        } else {
            Meaning::Wind(wind_unit(&words))
        };
    }
    if any(&words, LATITUDES) {
        return Meaning::Latitude;
    }
    if any(&words, LONGITUDES) {
        return Meaning::Longitude;
    }
    temperature(&mut words, &joined).unwrap_or_else(|| time(&words, said))
}

/// Extremes and means of the air, and the air itself.
fn temperature(words: &mut Vec<String>, joined: &str) -> Option<Meaning> {
    let scale = take_scale(words);
    // When it was coldest is no temperature: "Time of Min", "Uhrzeit Tmax".
    let about_time = any(words, CLOCKS);
    let temp = any(words, TEMPERATURES)
        || words.iter().any(|w| {
            w.starts_with("temp") && !matches!(w.as_str(), "temps" | "template" | "temporary")
                || w.ends_with("temp")
                || w.ends_with("temperatur")
                || w.ends_with("temperature")
        });
    let min_in = |w: &str| {
        LOWS.contains(&w)
            || w.starts_with("mintemp")
            || w.starts_with("minim")
            || (w.starts_with("temp") && w.ends_with("min"))
            || w.ends_with("minimum")
            || w.starts_with("tagesmin")
    };
    let max_in = |w: &str| {
        HIGHS.contains(&w)
            || w.starts_with("maxtemp")
            || w.starts_with("maxim")
            || (w.starts_with("temp") && w.ends_with("max"))
            || w.ends_with("maximum")
            || w.starts_with("tagesmax")
    };
    let (low, high) = (
        words.iter().any(|w| min_in(w)),
        words.iter().any(|w| max_in(w)),
    );
    let mean = any(words, MEANS);
    if about_time && (temp || low || high) && !words.iter().any(|w| w.starts_with("temp")) {
        return Some(Meaning::Other);
    }
    match (low, high) {
        (true, true) => return Some(Meaning::Other),
        (true, false) => return Some(Meaning::Low(scale)),
        (false, true) => return Some(Meaning::High(scale)),
        _ => {}
    }
    if temp {
        let glued = match joined {
            "tempf" | "outtempf" | "tempoutf" => Some(Fahrenheit),
            "tempc" | "outtempc" | "tempoutc" => Some(Celsius),
            _ => None,
        };
        let scale = scale.or(glued);
        return Some(if mean {
            Meaning::Mean(scale)
        } else {
            Meaning::Temp(scale)
        });
    }
    None
}

/// Columns that place a row in time, and the station.
fn time(words: &[String], said: Said) -> Meaning {
    let only = |list: &[&str]| words.iter().all(|w| list.contains(&w.as_str()));
    if any(words, DAYS_OF_YEAR) || words.join(" ").contains("day of year") {
        return Meaning::DayOfYear;
    }
    if any(words, YEARS) && words.len() <= 2 {
        return Meaning::Year;
    }
    if only(MONTHS) {
        return Meaning::Month;
    }
    if only(MONTH_DAYS) {
        return Meaning::Day;
    }
    if words.first().is_some_and(|w| HOURS.contains(&w.as_str())) {
        return Meaning::Hour(said);
    }
    if only(MINUTES) {
        return Meaning::Minute;
    }
    if any(words, WHENS) || any(words, CLOCKS) || compound(words, WHENS) {
        return Meaning::When(said);
    }
    if said == Said::Utc && words.len() == 1 {
        return Meaning::When(said);
    }
    if any(words, STATIONS) && words.len() <= 4 {
        return Meaning::Station;
    }
    if any(words, HEIGHTS) {
        return Meaning::Height;
    }
    Meaning::Other
}

fn said(words: &[String]) -> Said {
    if any(words, &["utc", "gmt", "ut", "zulu", "epoch", "unix"]) {
        Said::Utc
    } else if any(
        words,
        &["lst", "lstd", "est", "cst", "mst", "pst", "mez", "cet"],
    ) {
        Said::Standard
    } else {
        Said::Nothing
    }
}

/// Short names that are codes rather than words.
fn code(words: &[String]) -> Option<Meaning> {
    let mut bare: Vec<String> = words.to_vec();
    let scale = take_scale(&mut bare);
    let [one] = bare.as_slice() else {
        return match bare
            .iter()
            .map(String::as_str)
            .collect::<Vec<_>>()
            .as_slice()
        {
            ["t2m", "min"] | ["2m", "tmin"] => Some(Meaning::Low(scale)),
            ["t2m", "max"] | ["2m", "tmax"] => Some(Meaning::High(scale)),
            ["temp" | "temperature", "2m"] | ["tt", "tu"] | ["t", "out"] => {
                Some(Meaning::Temp(scale))
            }
            ["rf", "tu"] => Some(Meaning::Humidity),
            _ => None,
        };
    };
    Some(match one.as_str() {
        "tmin" | "tn" | "tnk" | "tmn" | "tasmin" | "lotemp" | "lowtemp" => Meaning::Low(scale),
        "tmax" | "tx" | "txk" | "tmx" | "tasmax" | "hitemp" | "hightemp" => Meaning::High(scale),
        "tavg" | "tm" | "tmk" | "tmean" | "tg" | "tmoy" => Meaning::Mean(scale),
        "t2m" | "t" | "tair" | "ta" | "tdry" | "drybulb" => Meaning::Temp(scale),
        "tmpf" => Meaning::Temp(Some(Fahrenheit)),
        "tmpc" => Meaning::Temp(Some(Celsius)),
        "dwpf" | "dewptf" | "dewpointf" => Meaning::Dew(Some(Fahrenheit)),
        "dwpc" | "dewptc" => Meaning::Dew(Some(Celsius)),
        "td" | "dewp" | "dwpt" => Meaning::Dew(scale),
        "rh" | "rh2m" | "relh" | "relhum" | "hurs" => Meaning::Humidity,
        "drct" | "wdir" | "winddir" | "wd10m" => Meaning::WindFrom,
        "sknt" => Meaning::Wind(Some(1852.0 / 3600.0)),
        "p01i" | "dailyrainin" => Meaning::Rain(Some(25.4)),
        "p01m" => Meaning::Rain(Some(1.0)),
        "dt" | "epoch" | "unixtime" => Meaning::When(Said::Utc),
        "valid" | "aaaammjj" | "yyyymmdd" | "aaaammjjhh" => Meaning::When(Said::Nothing),
        "tminf" | "tempminf" => Meaning::Low(Some(Fahrenheit)),
        "tmaxf" | "tempmaxf" => Meaning::High(Some(Fahrenheit)),
        "tminc" => Meaning::Low(Some(Celsius)),
        "tmaxc" => Meaning::High(Some(Celsius)),
        _ => return None,
    })
}

/// Chinese, Japanese, Korean: words are not spaced, so they are looked for inside the name.
fn far_east(name: &str) -> Option<Meaning> {
    if name.is_ascii() || !name.chars().any(|c| c >= '\u{3040}') {
        return None;
    }
    let has = |list: &[&str]| list.iter().any(|w| name.contains(w));
    let mut latin = words(name);
    // The unit may be glued to the word before it: 最高気温(℃).
    let scale = take_scale(&mut latin);
    let extreme = (has(CJK.low), has(CJK.high));
    Some(if has(CJK.flags) {
        Meaning::Other
    } else if has(CJK.rain) {
        if extreme.1 || has(CJK.clock) {
            Meaning::Other
        } else {
            Meaning::Rain(rain_unit(&latin))
        }
    } else if has(CJK.elsewhere) {
        Meaning::Other
    } else if has(CJK.temp) {
        match extreme {
            _ if has(CJK.clock) => Meaning::Other,
            (true, false) => Meaning::Low(scale),
            (false, true) => Meaning::High(scale),
            _ if has(CJK.mean) => Meaning::Mean(scale),
            _ => Meaning::Temp(scale),
        }
    } else if has(CJK.humidity) {
        if extreme.0 || extreme.1 {
            Meaning::Other
        } else {
            Meaning::Humidity
        }
    } else if has(CJK.wind) {
        if extreme.1 || has(CJK.from) {
            Meaning::Other
        } else {
            Meaning::Wind(wind_unit(&latin))
        }
    } else if has(CJK.date) {
        Meaning::When(Said::Nothing)
    } else if name.trim() == "年" || name.trim() == "년" {
        Meaning::Year
    } else if name.trim() == "月" || name.trim() == "월" {
        Meaning::Month
    } else if name.trim() == "日" || name.trim() == "일" {
        Meaning::Day
    } else if name.trim() == "時" || name.trim() == "시" {
        Meaning::Hour(Said::Nothing)
    } else if has(CJK.clock) {
        Meaning::When(Said::Nothing)
    } else {
        return None;
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_many_files() {
        use Meaning::{
            Day, DayOfYear, Dew, Gust, Height, High, Hour, Humidity, Latitude, Low, Mean, Minute,
            Month, Other, Rain, Station, Temp, When, Wind, WindFrom, Year,
        };
        let (c, f) = (Some(Celsius), Some(Fahrenheit));
        for (name, meaning) in [
            ("Date", When(Said::Nothing)),
            ("Date/Time (LST)", When(Said::Standard)),
            ("time(UTC)", When(Said::Utc)),
            ("Datum", When(Said::Nothing)),
            ("Timestamp", When(Said::Nothing)),
            ("MESS_DATUM", When(Said::Nothing)),
            ("AAAAMMJJ", When(Said::Nothing)),
            ("年月日", When(Said::Nothing)),
            ("일시", When(Said::Nothing)),
            ("Fecha", When(Said::Nothing)),
            ("Year", Year),
            ("MO", Month),
            ("DY", Day),
            ("yday", DayOfYear),
            ("DOY", DayOfYear),
            ("Hour (PST)", Hour(Said::Standard)),
            ("HH", Hour(Said::Nothing)),
            ("Minute", Minute),
            ("Max Temp (°C)", High(c)),
            ("Max Temp Flag", Other),
            ("tmin (deg c)", Low(c)),
            ("tmax (degrees F)", High(f)),
            ("TXK", High(None)),
            ("TNK", Low(None)),
            ("TGK", Other),
            ("TX", High(None)),
            ("QTX", Other),
            ("HTN", Other),
            ("Maximum temperature (Degree C)", High(c)),
            ("最高気温(℃)", High(c)),
            ("最低気温(℃) 品質情報", Other),
            ("최저기온(°C)", Low(c)),
            ("최저기온 시각(hhmi)", Other),
            ("Température minimale (°C)", Low(c)),
            ("Temperatura máxima", High(None)),
            ("Temp. min.", Low(None)),
            ("Tagesminimum", Low(None)),
            ("Minimitemperatura", Low(None)),
            ("Nejvyšší teplota", High(None)),
            ("High", High(None)),
            ("Low Temp - °F", Low(f)),
            ("T2M_MIN", Low(None)),
            ("T2M", Temp(None)),
            ("tempf", Temp(f)),
            ("Outdoor Temperature (°F)", Temp(f)),
            ("Indoor Temperature(°F)", Other),
            ("Feels Like (°F)", Other),
            ("Lufttemperatur", Temp(None)),
            ("Soil Temp (F)", Other),
            ("Wind Chill - °F", Other),
            ("Avg Air Temp (F)", Mean(f)),
            ("temperature_2m_max (°C)", High(c)),
            ("Dew Point (°F)", Dew(f)),
            ("Humidity (%)", Humidity),
            ("Wind Speed (mph)", Wind(Some(0.447_04))),
            ("wind_speed_10m (km/h)", Wind(Some(1.0 / 3.6))),
            ("Wind Direction (°)", WindFrom),
            ("Wind Gust (m/s)", Gust(Some(1.0))),
            ("Precip. Accum. (in)", Rain(Some(25.4))),
            ("Precip Rate (in/hr)", Other),
            ("Niederschlag (mm)", Rain(Some(1.0))),
            ("Total Precip (mm)", Rain(Some(1.0))),
            ("PRCP", Rain(None)),
            ("Station Name", Station),
            ("LATITUDE", Latitude),
            ("ALTI", Height),
            ("Sea Level Pressure (hPa)", Other),
            ("Solar", Other),
            ("", Other),
        ] {
            assert_eq!(recognise(name), meaning, "{name}");
        }
    }
}
