//! The archive of past weather on a local server: answers in its published shape, and everything
//! that can go wrong with them.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use barewood::store::forecast::fetch::history::{
    self, History, HistoryConfig, HistoryError, Step, rounded,
};
use barewood::store::forecast::fetch::{FetchConfig, Place};
use chrono::{DateTime, Datelike, Days, NaiveDate, Utc};

use super::server::{Answer, Server, ok, reply, status};
use super::tls::{CERTIFICATE, TlsServer};

const GENEVA: Place = Place {
    latitude: 42.876_9,
    longitude: -76.992_8,
    elevation_m: Some(150.0),
};

fn now() -> DateTime<Utc> {
    "2002-02-10T15:00:00Z".parse().unwrap()
}

/// The head of an answer, as the archive writes it.
fn head(latitude: f64, longitude: f64, hourly: bool) -> String {
    let (kind, columns) = if hourly {
        ("Hourly", "YEAR,MO,DY,HR,T2M,RH2M,WS10M,WD10M,PRECTOTCORR")
    } else {
        ("Daily", "YEAR,DOY,T2M_MIN,T2M_MAX,PRECTOTCORR,WS10M,RH2M")
    };
    format!(
        "-BEGIN HEADER-\r\nNASA/POWER Source Native Resolution {kind} Data \r\n\
         Location: latitude  {latitude}   longitude {longitude} \r\n\
         elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 250.0 meters\r\n\
         The value for missing source data that cannot be computed or is outside of the sources availability range: -999 \r\n\
         parameter(s): \r\nT2M_MIN MERRA-2 Temperature at 2 Meters Minimum (C) \r\n-END HEADER-\r\n{columns}\r\n"
    )
}

fn daily_until(last: &str, latitude: f64) -> String {
    let last: NaiveDate = last.parse().unwrap();
    let first: NaiveDate = "1981-01-01".parse().unwrap();
    let mut text = head(latitude, -77.0, false);
    for date in first.iter_days().take_while(|d| *d <= last) {
        // The last days are not there yet: the archive says so by its sign for missing.
        let (low, high) = if date + Days::new(3) > last {
            (-999.0, -999.0)
        } else {
            (-5.0, 5.0)
        };
        let _ = write!(
            text,
            "{},{},{low},{high},0.0,3.1,80.0\r\n",
            date.year(),
            date.ordinal()
        );
    }
    text
}

fn hourly_of(year: i32, last: &str) -> String {
    let last: NaiveDate = last.parse().unwrap();
    let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap();
    let mut text = head(42.9, -77.0, true);
    for date in first.iter_days().take_while(|d| *d <= last) {
        for hour in 0..24 {
            let _ = write!(
                text,
                "{},{},{},{hour},{},80.0,3.1,220.0,0.1\r\n",
                date.year(),
                date.month(),
                date.day(),
                f64::from(hour) / 2.0 - 4.0
            );
        }
    }
    text
}

fn fetch_to(
    folder: &Path,
    server: &Server,
    hours: bool,
) -> (Result<History, HistoryError>, Vec<Step>) {
    fetch_from(folder, &server.base, None, hours)
}

fn fetch_from(
    folder: &Path,
    base: &str,
    certificate: Option<&[u8]>,
    hours: bool,
) -> (Result<History, HistoryError>, Vec<Step>) {
    let usual = HistoryConfig::new(hours);
    let config = HistoryConfig {
        between: Duration::from_millis(5),
        fetch: FetchConfig {
            base_url: base.to_owned(),
            own_certificate: certificate.map(<[u8]>::to_vec),
            connect_timeout: Duration::from_millis(500),
            total_timeout: Duration::from_millis(2500),
            attempts: 2,
            pause: Duration::from_millis(5),
            ..usual.fetch.clone()
        },
        ..usual
    };
    let mut told = Vec::new();
    let fetched = history::fetch(
        &config,
        GENEVA,
        "America/New_York".parse().unwrap(),
        folder,
        now(),
        &AtomicBool::new(false),
        &mut |step| told.push(step),
    );
    (fetched, told)
}

fn refused(answer: Answer) -> String {
    let server = Server::start(|_| vec![answer]);
    let folder = tempfile::tempdir().unwrap();
    let said = fetch_to(folder.path(), &server, false).0.unwrap_err();
    let kept = folder.path().join("history");
    assert!(
        !kept.exists() || std::fs::read_dir(kept).unwrap().next().is_none(),
        "what is no answer is not kept"
    );
    said.to_string()
}

#[test]
fn the_place_goes_out_rounded_and_nothing_else_does() {
    assert_eq!(rounded(GENEVA), (42.9, -77.0));
    let server = Server::start(|_| vec![ok(&daily_until("2002-02-09", 42.9), &[])]);
    let folder = tempfile::tempdir().unwrap();
    let (fetched, _) = fetch_to(folder.path(), &server, false);
    let fetched = fetched.unwrap();
    let days = fetched.days.temperatures();
    assert_eq!(days.first().to_string(), "1981-01-01");
    assert_eq!(
        days.last().unwrap().to_string(),
        "2002-02-06",
        "missing days are none"
    );
    assert_eq!(days.day("1999-07-04".parse().unwrap()), Some((-5.0, 5.0)));
    assert_eq!(fetched.cell_height_m, Some(250.0));
    let asked = server.requests();
    let wanted = "GET /api/temporal/daily/point?parameters=T2M_MIN,T2M_MAX,PRECTOTCORR,WS10M,RH2M&community=ag&longitude=-77&latitude=42.9&start=19810101&end=20020209&format=csv&time-standard=LST ";
    assert!(asked[0].starts_with(wanted), "{}", asked[0]);
    assert!(!asked[0].contains("42.87") && !asked[0].contains("76.99"));
    assert!(asked[0].to_lowercase().contains("user-agent: barewood/"));
    // The same day nobody is asked again.
    fetch_to(folder.path(), &server, false).0.unwrap();
    assert_eq!(server.requests().len(), 1);
}

#[test]
fn hours_come_year_by_year_and_a_fetch_broken_off_goes_on() {
    let server = Server::start(|_| {
        vec![
            ok(&daily_until("2002-02-09", 42.9), &[]),
            ok(&hourly_of(2002, "2002-02-09"), &[]),
            status(429, &[("Retry-After", "0")]),
            status(429, &[("Retry-After", "0")]),
            ok(&hourly_of(2001, "2001-12-31"), &[]),
        ]
    });
    let folder = tempfile::tempdir().unwrap();
    let (first, told) = fetch_to(folder.path(), &server, true);
    let first = first.unwrap();
    assert_eq!(first.hours.len(), 1, "2001 was refused for now");
    assert!(
        first.lacking[0].contains("hours of 2001"),
        "{:?}",
        first.lacking
    );
    let parts: Vec<_> = told
        .iter()
        .filter_map(|s| match s {
            Step::Part { number, of, .. } => Some((*number, *of)),
            Step::Net(_) => None,
        })
        .collect();
    assert_eq!(parts, [(1, 3), (2, 3), (3, 3)]);
    let second = fetch_to(folder.path(), &server, true).0.unwrap();
    assert_eq!(second.hours.len(), 2);
    assert!(second.lacking.is_empty());
    assert_eq!(
        second.hours[0].first().to_string(),
        "2001-01-01 00:00:00 UTC"
    );
    assert_eq!(second.hours[0].len(), 365 * 24);
    assert_eq!(server.requests().len(), 5, "only what was lacking is asked");
}

#[test]
fn a_refusal_comes_with_the_words_of_the_archive() {
    let said = refused(Answer::Whole(reply(
        422,
        "{\"messages\":[\"The end date is in the future\"]}",
        &[],
    )));
    assert!(
        said.contains("422") && said.contains("end date is in the future"),
        "{said}"
    );
    let said = refused(status(429, &[("Retry-After", "0")]));
    assert!(said.contains("429"), "{said}");
    let said = refused(status(500, &[]));
    assert!(said.contains("500"), "{said}");
}

#[test]
fn what_is_no_answer_of_this_place_and_time_is_not_taken() {
    let whole = daily_until("2002-02-09", 42.9);
    let portal = "<!DOCTYPE html><html><body>Welcome! Please sign in.</body></html>";
    let (top, _) = whole.split_at(whole.len() / 3);
    let years_missing = whole
        .replace("1981,", "-999,")
        .replace("\r\n1982,", "\r\n-999,");
    for (body, words) in [
        (portal.to_owned(), "web page"),
        (String::new(), "empty"),
        (top.to_owned(), "cut off, or years are missing"),
        (years_missing, "cannot be used"),
        (daily_until("2002-02-09", 47.9), "km away"),
        (hourly_of(2002, "2002-02-09"), "no days"),
        (
            "date,tmin_c,tmax_c\n1981-01-01,1,2\n1981-01-02,1,2\n".to_owned(),
            "not one of this archive",
        ),
        (daily_until("2002-03-09", 42.9), "beyond what was asked"),
    ] {
        let said = refused(ok(&body, &[]));
        assert!(said.contains(words), "{words}: {said}");
        assert!(said.lines().count() < 4 && said.len() < 500, "{said}");
    }
    let elsewhere = refused(Answer::Whole(reply(
        302,
        "",
        &[("Location", "https://portal.example/login")],
    )));
    assert!(elsewhere.contains("portal.example"), "{elsewhere}");
    let mut cut = reply(200, &whole, &[]);
    cut.truncate(cut.len() - 5000);
    let said = refused(Answer::Whole(cut));
    assert!(said.contains("cannot be reached"), "{said}");
}

/// Over TLS, with a certificate that is trusted and with one that is not.
#[test]
fn a_server_with_tls_is_asked_and_one_nobody_trusts_is_not() {
    let server = TlsServer::start(vec![reply(200, &daily_until("2002-02-09", 42.9), &[])]);
    let folder = tempfile::tempdir().unwrap();
    let (fetched, _) = fetch_from(folder.path(), &server.base, Some(CERTIFICATE), false);
    let days = fetched.unwrap().days;
    assert_eq!(days.temperatures().first().to_string(), "1981-01-01");
    assert_eq!(server.asked.lock().unwrap().len(), 1);
    let empty = tempfile::tempdir().unwrap();
    let (refused, _) = fetch_from(empty.path(), &server.base, None, false);
    assert!(refused.is_err(), "a certificate nobody vouches for");
    assert_eq!(
        server.asked.lock().unwrap().len(),
        1,
        "and nothing was sent to it"
    );
}
