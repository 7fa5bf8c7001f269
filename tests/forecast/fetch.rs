//! Fetching from a real server: the good day, and every bad one.

use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use barewood::store::forecast::ForecastError;
use barewood::store::forecast::fetch::{
    self, FetchConfig, FetchError, Fetched, Origin, Place, Progress, Service, cached,
};
use chrono::{DateTime, Utc};

use super::formats::{GRIDPOINT, TIMESERIES};
use super::server::{Answer, Server, ok, reply, status};

const SEATTLE: Place = Place {
    latitude: 47.449_96,
    longitude: -122.309_3,
    elevation_m: Some(130.0),
};

fn now() -> DateTime<Utc> {
    "2026-02-10T08:31:00Z".parse().unwrap()
}

fn config(server: &Server, service: Service) -> FetchConfig {
    FetchConfig {
        base_url: server.base.clone(),
        connect_timeout: Duration::from_millis(500),
        total_timeout: Duration::from_millis(700),
        most_bytes: 200_000,
        attempts: 3,
        pause: Duration::from_millis(10),
        ..FetchConfig::of(service, "a grower")
    }
}

fn fetch_to(folder: &Path, config: &FetchConfig) -> (Result<Fetched, FetchError>, Vec<Progress>) {
    let mut told = Vec::new();
    let called_off = AtomicBool::new(false);
    let fetched = fetch::fetch(config, SEATTLE, folder, now(), &called_off, &mut |p| {
        told.push(p);
    });
    (fetched, told)
}

fn norway(answers: Vec<Answer>) -> (Server, FetchConfig, tempfile::TempDir) {
    let server = Server::start(|_| answers);
    let config = config(&server, Service::Norwegian);
    (server, config, tempfile::tempdir().unwrap())
}

#[test]
fn a_point_leads_to_its_grid_and_the_second_time_straight_to_it() {
    let server = Server::start(|base| {
        vec![
            ok(
                &format!(
                    r#"{{"properties":{{"forecastGridData":"{base}/gridpoints/AAA/10,20"}}}}"#
                ),
                &[],
            ),
            ok(
                GRIDPOINT,
                &[
                    ("Last-Modified", "Tue, 10 Feb 2026 05:31:00 GMT"),
                    ("ETag", "\"v1\""),
                ],
            ),
            status(304, &[]),
        ]
    });
    let config = config(&server, Service::UsNational);
    let folder = tempfile::tempdir().unwrap();
    let (first, told) = fetch_to(folder.path(), &config);
    let first = first.unwrap();
    assert_eq!(
        (first.origin.clone(), first.received),
        (Origin::Fresh, now())
    );
    assert_eq!(first.age(now()).num_minutes(), 180);
    assert!(
        told.iter()
            .any(|p| matches!(p, Progress::Reading { bytes } if *bytes == GRIDPOINT.len() as u64))
    );
    let (second, _) = fetch_to(folder.path(), &config);
    let second = second.unwrap();
    assert_eq!(second.origin, Origin::Unchanged);
    assert_eq!(second.forecast, first.forecast);
    let asked = server.requests();
    assert_eq!(asked.len(), 3);
    assert!(
        asked[0].starts_with("GET /points/47.45,-122.3093 HTTP/1.1"),
        "{}",
        asked[0]
    );
    assert!(
        asked[0].to_lowercase().contains("user-agent: barewood/"),
        "{}",
        asked[0]
    );
    assert!(asked[1].starts_with("GET /gridpoints/AAA/10,20 "));
    assert!(asked[2].starts_with("GET /gridpoints/AAA/10,20 "));
    let third = asked[2].to_lowercase();
    assert!(
        third.contains("if-none-match: \"v1\"")
            && third.contains("if-modified-since: tue, 10 feb 2026"),
        "{third}"
    );
}

#[test]
fn the_other_service_is_asked_for_the_place_with_its_height() {
    let (server, config, folder) = norway(vec![ok(TIMESERIES, &[])]);
    let (fetched, _) = fetch_to(folder.path(), &config);
    assert_eq!(fetched.unwrap().forecast.series.len(), 9);
    let asked = server.requests();
    let wanted =
        "GET /weatherapi/locationforecast/2.0/complete?lat=47.45&lon=-122.3093&altitude=130 ";
    assert!(asked[0].starts_with(wanted), "{}", asked[0]);
    assert!(!asked[0].to_lowercase().contains("if-none-match"));
}

#[test]
fn what_is_kept_is_shown_without_asking_and_with_its_age() {
    let (server, config, folder) = norway(vec![ok(TIMESERIES, &[])]);
    assert_eq!(cached(folder.path(), &config, SEATTLE), None);
    fetch_to(folder.path(), &config).0.unwrap();
    let kept = cached(folder.path(), &config, SEATTLE).unwrap();
    assert_eq!(kept.received, now());
    assert_eq!(server.requests().len(), 1);
    let elsewhere = Place {
        latitude: 50.0,
        ..SEATTLE
    };
    assert_eq!(cached(folder.path(), &config, elsewhere), None);
}

#[test]
fn a_server_in_trouble_is_asked_again_after_a_pause() {
    let (server, config, folder) = norway(vec![
        status(503, &[("Retry-After", "0")]),
        status(500, &[]),
        ok(TIMESERIES, &[]),
    ]);
    let (fetched, told) = fetch_to(folder.path(), &config);
    assert_eq!(fetched.unwrap().origin, Origin::Fresh);
    assert_eq!(server.requests().len(), 3);
    let pauses: Vec<u64> = told
        .iter()
        .filter_map(|p| match p {
            Progress::Waiting { millis, .. } => Some(*millis),
            _ => None,
        })
        .collect();
    assert_eq!(
        pauses,
        [0, 20],
        "the service's own pause, then the doubled one"
    );
}

#[test]
fn it_gives_up_after_the_attempts_allowed_and_falls_back_on_what_is_kept() {
    let (server, config, folder) = norway(vec![ok(TIMESERIES, &[]), status(502, &[])]);
    fetch_to(folder.path(), &config).0.unwrap();
    let (fetched, _) = fetch_to(folder.path(), &config);
    let fetched = fetched.unwrap();
    assert!(
        matches!(&fetched.origin, Origin::Kept(why) if why.contains("502")),
        "{:?}",
        fetched.origin
    );
    assert_eq!(server.requests().len(), 1 + 3);
    let empty = tempfile::tempdir().unwrap();
    assert!(matches!(
        fetch_to(empty.path(), &config).0,
        Err(FetchError::Status(502))
    ));
}

#[test]
fn a_refusal_is_not_repeated() {
    for code in [400, 403, 404] {
        let (server, config, folder) = norway(vec![status(code, &[])]);
        assert!(
            matches!(fetch_to(folder.path(), &config).0, Err(FetchError::Status(c)) if c == code)
        );
        assert_eq!(server.requests().len(), 1);
    }
    let (server, config, folder) = norway(vec![status(429, &[]), ok(TIMESERIES, &[])]);
    assert!(fetch_to(folder.path(), &config).0.is_ok());
    assert_eq!(server.requests().len(), 2);
}

#[test]
fn slow_and_dripping_answers_end_in_time() {
    let head = b"HTTP/1.1 200 OK\r\nContent-Length: 100000\r\n\r\n{".to_vec();
    for answer in [
        Answer::After(Duration::from_secs(20), reply(200, TIMESERIES, &[])),
        Answer::Drip(head, 50),
        Answer::Drip(b"HTTP/1.1 200 OK\r\nX-Slow: ".to_vec(), 50),
    ] {
        let (_server, mut config, folder) = norway(vec![answer]);
        config.attempts = 2;
        let began = Instant::now();
        let fetched = fetch_to(folder.path(), &config).0;
        assert!(
            matches!(fetched, Err(FetchError::Network(_))),
            "{fetched:?}"
        );
        assert!(
            began.elapsed() < Duration::from_secs(4),
            "{:?}",
            began.elapsed()
        );
    }
}

#[test]
fn a_cut_off_answer_is_no_answer() {
    let mut cut = reply(200, TIMESERIES, &[]);
    cut.truncate(cut.len() - 300);
    let (server, config, folder) = norway(vec![
        Answer::Whole(cut.clone()),
        Answer::Whole(cut),
        ok(TIMESERIES, &[]),
    ]);
    assert_eq!(
        fetch_to(folder.path(), &config).0.unwrap().origin,
        Origin::Fresh
    );
    assert_eq!(server.requests().len(), 3);
    for garbage in [
        "",
        "\r\n\r\n",
        "SSH-2.0-x\r\n",
        "HTTP/1.1 abc\r\n\r\n",
        "HTTP/9.9 200 OK\r\n\r\n",
    ] {
        let (_server, config, folder) = norway(vec![Answer::Whole(garbage.as_bytes().to_vec())]);
        assert!(fetch_to(folder.path(), &config).0.is_err(), "{garbage:?}");
    }
}

#[test]
fn a_huge_answer_is_cut_at_the_limit_whatever_it_says_of_its_length() {
    for head in [
        "HTTP/1.1 200 OK\r\nContent-Length: 99999999999\r\n\r\n",
        "HTTP/1.1 200 OK\r\nConnection: close\r\n\r\n",
    ] {
        let (_server, config, folder) = norway(vec![Answer::Flood(head.as_bytes().to_vec())]);
        let fetched = fetch_to(folder.path(), &config).0;
        assert!(
            matches!(fetched, Err(FetchError::TooLarge(200_000))),
            "{fetched:?}"
        );
    }
}

#[test]
fn a_malformed_document_never_replaces_a_good_one() {
    for bad in [
        "<html>maintenance</html>",
        "{}",
        "{\"properties\":{\"timeseries\":[]}}",
        &TIMESERIES[..500],
    ] {
        let (_server, config, folder) = norway(vec![
            ok(TIMESERIES, &[("ETag", "\"a\"")]),
            ok(bad, &[("ETag", "\"b\"")]),
        ]);
        fetch_to(folder.path(), &config).0.unwrap();
        // The kept one is answered, with the reason; where none is kept there is none.
        let second = fetch_to(folder.path(), &config).0.unwrap();
        assert!(matches!(second.origin, Origin::Kept(_)), "{second:?}");
        assert_eq!(second.forecast.series.len(), 9);
        let kept_by = config;
        let (_server, config, empty) = norway(vec![ok(bad, &[])]);
        let alone = fetch_to(empty.path(), &config).0;
        assert!(matches!(alone, Err(FetchError::Forecast(_))), "{alone:?}");
        assert_eq!(
            cached(folder.path(), &kept_by, SEATTLE)
                .unwrap()
                .forecast
                .series
                .len(),
            9
        );
    }
}

#[test]
fn a_spoilt_note_or_document_in_the_folder_is_as_if_nothing_were_kept() {
    let (server, config, folder) = norway(vec![ok(TIMESERIES, &[("ETag", "\"a\"")])]);
    for (name, bytes) in [
        ("forecast-norway.json", &b"{\"properties\""[..]),
        ("forecast-norway.note.json", b"\xff\xfe"),
    ] {
        fetch_to(folder.path(), &config).0.unwrap();
        std::fs::write(folder.path().join(name), bytes).unwrap();
        assert_eq!(cached(folder.path(), &config, SEATTLE), None);
        let (fetched, _) = fetch_to(folder.path(), &config);
        assert_eq!(fetched.unwrap().origin, Origin::Fresh);
        let last = server.requests().pop().unwrap().to_lowercase();
        assert!(
            !last.contains("if-none-match"),
            "asked as if it were kept: {last}"
        );
    }
}

#[test]
fn redirects_are_followed_only_on_the_same_host_and_only_so_far() {
    let server = Server::start(|base| {
        vec![
            status(301, &[("Location", "/moved")]),
            status(302, &[("Location", &format!("{base}/again"))]),
            ok(TIMESERIES, &[]),
        ]
    });
    let folder = tempfile::tempdir().unwrap();
    let fetched = fetch_to(folder.path(), &config(&server, Service::Norwegian)).0;
    assert_eq!(fetched.unwrap().origin, Origin::Fresh);
    assert!(server.requests()[2].starts_with("GET /again "));

    let (server, around, folder) = norway(vec![status(302, &[("Location", "/round")])]);
    assert!(matches!(
        fetch_to(folder.path(), &around).0,
        Err(FetchError::TooManyRedirects(3))
    ));
    assert_eq!(server.requests().len(), 4);

    let other = Server::start(|_| vec![ok(TIMESERIES, &[])]);
    for to in [
        other.base.as_str(),
        "https://other.example/x",
        "//other.example/x",
        "file:///etc/passwd",
        "https://127.0.0.1/x",
    ] {
        let (_server, config, folder) = norway(vec![status(302, &[("Location", to)])]);
        let fetched = fetch_to(folder.path(), &config).0;
        let refused = matches!(
            fetched,
            Err(FetchError::ForeignHost(_) | FetchError::NoTls(_) | FetchError::Answer(_))
        );
        assert!(refused, "{to}: {fetched:?}");
    }
    assert!(other.requests().is_empty());
}

#[test]
fn a_point_that_names_another_host_is_not_followed() {
    let other = Server::start(|_| vec![ok(GRIDPOINT, &[])]);
    let link = format!("{}/gridpoints/AAA/1,2", other.base);
    let server = Server::start(|_| {
        vec![ok(
            &format!(r#"{{"properties":{{"forecastGridData":"{link}"}}}}"#),
            &[],
        )]
    });
    let folder = tempfile::tempdir().unwrap();
    let fetched = fetch_to(folder.path(), &config(&server, Service::UsNational)).0;
    assert!(
        matches!(fetched, Err(FetchError::ForeignHost(_))),
        "{fetched:?}"
    );
    assert!(other.requests().is_empty());
    let empty = Server::start(|_| vec![ok("{}", &[])]);
    let fetched = fetch_to(folder.path(), &config(&empty, Service::UsNational)).0;
    assert!(matches!(fetched, Err(FetchError::Answer(_))), "{fetched:?}");
}

#[test]
fn nobody_listening_is_an_ordinary_failure() {
    let port = std::net::TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap()
        .port();
    let server = Server::start(|_| vec![ok(TIMESERIES, &[])]);
    let config = FetchConfig {
        base_url: format!("http://127.0.0.1:{port}"),
        ..config(&server, Service::Norwegian)
    };
    let folder = tempfile::tempdir().unwrap();
    assert!(matches!(
        fetch_to(folder.path(), &config).0,
        Err(FetchError::Network(_))
    ));
    let nowhere = Place {
        latitude: 91.0,
        ..SEATTLE
    };
    let off = AtomicBool::new(false);
    let fetched = fetch::fetch(&config, nowhere, folder.path(), now(), &off, &mut |_| {});
    assert!(matches!(fetched, Err(FetchError::Config(_))), "{fetched:?}");
}

#[test]
fn a_fetch_runs_beside_and_can_be_called_off() {
    let (_server, mut config, folder) = norway(vec![status(503, &[("Retry-After", "50")])]);
    config.attempts = 5;
    let told = Arc::new(Mutex::new(Vec::new()));
    let log = Arc::clone(&told);
    let began = Instant::now();
    let fetching = fetch::start(config, SEATTLE, folder.path().to_owned(), now(), move |p| {
        log.lock().unwrap().push(p);
    })
    .unwrap();
    assert!(
        began.elapsed() < Duration::from_millis(200),
        "starting does not wait"
    );
    while !told
        .lock()
        .unwrap()
        .iter()
        .any(|p| matches!(p, Progress::Waiting { millis: 50_000, .. }))
    {
        assert!(began.elapsed() < Duration::from_secs(5));
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(!fetching.is_finished());
    fetching.call_off();
    assert!(matches!(fetching.finish(), Err(FetchError::CalledOff)));
    assert!(began.elapsed() < Duration::from_secs(5));
}

#[test]
fn a_folder_that_cannot_be_written_costs_only_the_keeping() {
    let (_server, config, folder) = norway(vec![ok(TIMESERIES, &[])]);
    let file = folder.path().join("a-file");
    std::fs::write(&file, b"in the way").unwrap();
    let fetched = fetch_to(&file, &config).0.unwrap();
    assert_eq!(fetched.origin, Origin::Fresh);
    assert!(
        fetched
            .forecast
            .skipped
            .iter()
            .any(|s| s.contains("could not be kept"))
    );
}

#[test]
fn errors_say_what_happened_in_plain_words() {
    let error = FetchError::from(ForecastError::UnknownFormat).to_string();
    assert!(error.contains("neither"), "{error}");
    assert!(
        FetchError::ForeignHost("x".into())
            .to_string()
            .contains("does not name")
    );
}
