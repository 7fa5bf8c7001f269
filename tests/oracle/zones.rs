//! Every clock beside that of `chrono-tz`, which has the IANA database in an older edition and reads
//! and keeps it in its own way; beyond its tables, beside itself: the Gregorian calendar comes
//! round every 400 years, and with it any rule of weekdays.

use barewood::domain::zone::Zone;
use chrono::{
    DateTime, Datelike, Days, MappedLocalTime, NaiveDate, NaiveDateTime, Offset, TimeDelta,
    TimeZone,
};
use chrono_tz::{IANA_TZDB_VERSION, TZ_VARIANTS, Tz};

const YEARS: std::ops::Range<i32> = 1950..2046;

/// What newer editions of the database changed: zones, and the years that are not compared. Seen
/// by comparing 2025b with 2026f; British Columbia and Alberta are told of in the database's own
/// mailing list too (lists.iana.org/hyperkitty/list/tz@iana.org, March to May 2026).
const NEWER: [(&str, std::ops::Range<i32>); 11] = [
    // Clocks that stay where they are from autumn 2026 on.
    ("America/Vancouver Canada/Pacific", 2026..2100),
    (
        "America/Edmonton America/Inuvik America/Yellowknife Canada/Mountain",
        2026..2100,
    ),
    (
        "America/Winnipeg America/Rainy_River Canada/Central",
        2026..2100,
    ),
    ("Africa/Casablanca Africa/El_Aaiun", 2026..2100),
    // One winter.
    ("America/Havana Cuba", 2026..2028),
    // The hour of the change.
    ("Europe/Chisinau Europe/Tiraspol", 2022..2100),
    // The past, better known.
    (
        "America/Tijuana America/Ensenada America/Santa_Isabel Mexico/BajaNorte",
        1950..1977,
    ),
    ("EST5EDT CST6CDT MST7MDT PST8PDT", 1950..1967),
    ("America/Bogota", 1992..1993),
    ("Asia/Tehran Iran", 1979..1980),
    (BRAZIL, 1965..1967),
];

const BRAZIL: &str = "America/Araguaina America/Bahia America/Belem America/Boa_Vista \
    America/Campo_Grande America/Cuiaba America/Eirunepe America/Fortaleza America/Maceio \
    America/Manaus America/Noronha America/Porto_Acre America/Porto_Velho America/Recife \
    America/Rio_Branco America/Santarem America/Sao_Paulo Brazil/Acre Brazil/DeNoronha \
    Brazil/East Brazil/West";

fn changed_since(name: &str, year: i32) -> bool {
    let named = |names: &str| names.split_whitespace().any(|n| n == name);
    NEWER
        .iter()
        .any(|(names, years)| years.contains(&year) && named(names))
}

fn zone(name: &str) -> Zone {
    name.parse().unwrap()
}

fn time(text: &str) -> NaiveDateTime {
    text.parse().unwrap()
}

fn offset<Z: TimeZone>(zone: &Z, utc: NaiveDateTime) -> i32 {
    zone.offset_from_utc_datetime(&utc).fix().local_minus_utc()
}

fn local<Z: TimeZone>(zone: &Z, at: NaiveDateTime) -> MappedLocalTime<i32> {
    zone.offset_from_local_datetime(&at)
        .map(|o| o.fix().local_minus_utc())
}

/// The second at which the offset is no longer the one at `before`.
fn change(zone: Zone, mut before: NaiveDateTime, mut after: NaiveDateTime) -> NaiveDateTime {
    let first = offset(&zone, before);
    while after - before > TimeDelta::seconds(1) {
        let middle = before + TimeDelta::seconds((after - before).num_seconds() / 2);
        if offset(&zone, middle) == first {
            before = middle;
        } else {
            after = middle;
        }
    }
    after
}

fn same_around(ours: Zone, theirs: Tz, at: NaiveDateTime) {
    for seconds in [-1, 0, 1] {
        let at = at + TimeDelta::seconds(seconds);
        assert_eq!(offset(&ours, at), offset(&theirs, at), "{ours} at {at} UTC");
    }
    let (before, after) = (offset(&ours, at - TimeDelta::seconds(1)), offset(&ours, at));
    for shown in [before, after, i32::midpoint(before, after)] {
        for seconds in [-1, 0, 1] {
            let clock = at + TimeDelta::seconds(i64::from(shown) + seconds);
            assert_eq!(
                local(&ours, clock),
                local(&theirs, clock),
                "{ours} at {clock} by the clock"
            );
        }
    }
}

#[test]
fn every_zone_of_the_reference_is_known_and_the_edition_is_no_older() {
    assert!(Zone::edition() >= IANA_TZDB_VERSION);
    for theirs in TZ_VARIANTS {
        let name = theirs.name();
        assert_eq!(zone(name).name(), name);
        assert_eq!(zone(&name.to_lowercase()), zone(&name.to_uppercase()));
    }
    // Whatever is offered can be chosen.
    assert!(Zone::names().all(|name| zone(name).name() == name));
}

#[test]
fn every_change_of_every_clock_falls_on_the_second_of_the_reference() {
    let mut changes = 0;
    for theirs in TZ_VARIANTS {
        let ours = zone(theirs.name());
        let mut at = NaiveDate::from_yo_opt(YEARS.start, 1).unwrap().into();
        while NaiveDateTime::year(&at) < YEARS.end {
            let next = at + TimeDelta::hours(61);
            if !changed_since(ours.name(), next.year()) {
                assert_eq!(
                    offset(&ours, next),
                    offset(&theirs, next),
                    "{ours} at {next} UTC"
                );
                if offset(&ours, at) != offset(&ours, next) {
                    same_around(ours, theirs, change(ours, at, next));
                    changes += 1;
                }
            }
            at = next;
        }
    }
    // 2.6 % of the steps: nothing was passed over by mistake.
    assert!(changes > 20_000, "{changes}");
}

#[test]
fn years_end_on_every_clock_as_in_the_reference() {
    for theirs in TZ_VARIANTS {
        let ours = zone(theirs.name());
        for year in YEARS.filter(|year| !changed_since(ours.name(), *year)) {
            for text in ["-12-31T23:59:59", "-01-01T00:00:00", "-02-28T23:59:59"] {
                let at = time(&format!("{year}{text}"));
                assert_eq!(offset(&ours, at), offset(&theirs, at), "{ours} {at}");
                assert_eq!(local(&ours, at), local(&theirs, at), "{ours} {at}");
            }
        }
    }
}

#[test]
fn rules_hold_for_centuries() {
    let turn = Days::new(146_097);
    for name in Zone::names() {
        let zone = zone(name);
        let mut at = time("2100-01-01T00:30:00");
        while at.year() < 2106 {
            let later = at + turn;
            assert_eq!(offset(&zone, at), offset(&zone, later), "{name} {later}");
            assert_eq!(local(&zone, at), local(&zone, later), "{name} {later}");
            at += TimeDelta::hours(13);
        }
    }
}

#[test]
fn the_ends_of_time_are_no_trouble() {
    for name in Zone::names() {
        let zone = zone(name);
        for at in [NaiveDateTime::MIN, NaiveDateTime::MAX] {
            let _ = zone.offset_from_utc_datetime(&at);
            let _ = zone.offset_from_local_datetime(&at);
        }
        assert!(zone.from_utc_datetime(&time("-9999-01-02T00:00:00")) < DateTime::UNIX_EPOCH);
    }
}

/// Steps of an odd length, in the south too. The laws of Lord Howe and Chatham are cited from
/// memory.
#[test]
fn clocks_change_by_half_hours_and_quarters_too() {
    let cases = [
        // Lord Howe Island: half an hour, at two in the morning (Standard Time Act 1987, NSW).
        ("Australia/Lord_Howe", "2026-10-04T01:59:59", Some(37_800)),
        ("Australia/Lord_Howe", "2026-10-04T02:15:00", None),
        ("Australia/Lord_Howe", "2026-10-04T02:30:00", Some(39_600)),
        // Chatham Islands: 12:45 and 13:45, at the moment of New Zealand (Time Act 1974).
        ("Pacific/Chatham", "2026-09-27T02:44:59", Some(45_900)),
        ("Pacific/Chatham", "2026-09-27T03:00:00", None),
        ("Pacific/Chatham", "2026-09-27T03:45:00", Some(49_500)),
        // Nepal: 5:45 all the year.
        ("Asia/Kathmandu", "2027-01-01T00:00:00", Some(20_700)),
        // Samoa left out a whole day.
        ("Pacific/Apia", "2011-12-30T12:00:00", None),
        // British Columbia keeps summer time from 2026 on (news.gov.bc.ca 2026AG0013-000209).
        ("America/Vancouver", "2026-12-24T12:00:00", Some(-25_200)),
    ];
    for (name, at, expected) in cases {
        let found = zone(name).offset_from_local_datetime(&time(at)).single();
        let seconds = found.map(|o| o.fix().local_minus_utc());
        assert_eq!(seconds, expected, "{name} {at}");
    }
}
