//! The calendar, read by a parser that shares no code with its writer.

use crate::orchard::{day, estimates, full, season, time};
use crate::{NASTY, busy};
use barewood::domain::outlook::outlook_with;
use barewood::domain::records::finish;
use barewood::domain::season::{Season, TaskId, TaskState, edit};
use barewood::report::calendar::{CalendarOf, ics};
use calcard::icalendar::{ICalendar, ICalendarComponent, ICalendarProperty};
use calcard::{Entry, Parser};
use chrono::{DateTime, Utc};
use std::collections::BTreeSet;

fn made() -> DateTime<Utc> {
    "2027-02-01T08:00:00Z".parse().unwrap()
}

fn text(season: &Season) -> String {
    after(season, None)
}

/// The calendar of a season after an earlier one.
fn after(season: &Season, before: Option<&str>) -> String {
    let estimates = estimates(season, "2027-03-10");
    ics(&CalendarOf {
        season,
        estimates: &estimates,
        outlook: &outlook_with(season, &estimates, None, made().date_naive()),
        fits: None,
        made: made(),
        before,
    })
}

/// Parses, and checks that no line was passed over: the parser's own strict mode refuses
/// every calendar that has events in it, so lines are counted instead.
fn parsed(text: &str) -> ICalendar {
    let mut parser = Parser::new(text);
    let calendar = match parser.entry() {
        Entry::ICalendar(calendar) => calendar,
        other => panic!("not a calendar: {other:?}"),
    };
    assert!(matches!(parser.entry(), Entry::Eof), "something follows it");
    let lines = text.replace("\r\n ", "").matches("\r\n").count();
    let entries: usize = calendar.components.iter().map(|c| c.entries.len()).sum();
    assert_eq!(lines, entries + 2 * calendar.components.len());
    calendar
}

fn events(calendar: &ICalendar) -> Vec<&ICalendarComponent> {
    calendar
        .components
        .iter()
        .filter(|c| c.component_type.is_event())
        .collect()
}

fn value(event: &ICalendarComponent, property: &ICalendarProperty) -> String {
    let entry = event
        .property(property)
        .unwrap_or_else(|| panic!("no {property:?}"));
    let value = entry.values.first().unwrap();
    match value.as_partial_date_time() {
        Some(d) => {
            let date = format!(
                "{:04}-{:02}-{:02}",
                d.year.unwrap(),
                d.month.unwrap(),
                d.day.unwrap()
            );
            match (d.hour, d.minute) {
                (Some(h), Some(m)) => format!(
                    "{date} {h:02}:{m:02}{}",
                    if d.has_zone() { "Z" } else { "" }
                ),
                _ => date,
            }
        }
        None => value.as_text().unwrap_or_default().to_owned(),
    }
}

fn find<'a>(calendar: &'a ICalendar, summary: &str) -> &'a ICalendarComponent {
    events(calendar)
        .into_iter()
        .find(|e| value(e, &ICalendarProperty::Summary).starts_with(summary))
        .unwrap_or_else(|| panic!("no event {summary}"))
}

fn span(calendar: &ICalendar, summary: &str) -> (String, String) {
    let event = find(calendar, summary);
    (
        value(event, &ICalendarProperty::Dtstart),
        value(event, &ICalendarProperty::Dtend),
    )
}

// RFC 5545: 3.1 (lines of at most 75 octets, CR LF), 3.6.1 (UID, DTSTAMP; DTEND of a day
// is the day after), 3.8.4.7 (a UID is unique in the file).
#[test]
fn keeps_to_the_standard() {
    let text = text(&busy());
    assert!(text.ends_with("\r\n"));
    assert!(!text.replace("\r\n", "").contains(['\r', '\n']));
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    let calendar = parsed(&text);
    let events = events(&calendar);
    // Three tasks, one re-entry, two blocks with a window and a last safe day each.
    assert_eq!(events.len(), 3 + 1 + 4);
    let mut uids = BTreeSet::new();
    for event in &events {
        assert!(uids.insert(event.uid().unwrap().to_owned()), "UID twice");
        assert_eq!(
            value(event, &ICalendarProperty::Dtstamp),
            "2027-02-01 08:00Z"
        );
        let start = value(event, &ICalendarProperty::Dtstart);
        let end = value(event, &ICalendarProperty::Dtend);
        assert!(start < end, "{start} {end}");
    }
}

#[test]
fn days_and_times_are_where_they_should_be() {
    let mut s = busy();
    s.tasks[2].hour = Some(10);
    let calendar = parsed(&text(&s));
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(
        span(&calendar, "First copper (done)"),
        pair("2026-12-01", "2026-12-02")
    );
    // New York is five hours behind UTC in winter.
    assert_eq!(
        span(&calendar, "Second copper"),
        pair("2027-02-24 15:00Z", "2027-02-24 16:00Z")
    );
    // Sprayed until 11:00, 24 h by the label; dry was seen an hour after that.
    assert_eq!(
        span(&calendar, "Keep out: Peach row"),
        pair("2026-12-01 16:00Z", "2026-12-02 17:00Z")
    );
    // P10 to P90, both days in.
    assert_eq!(
        span(&calendar, "Buds of Peach row"),
        pair("2027-03-02", "2027-03-19")
    );
    let left_out = find(&calendar, "Prune (left out)");
    assert_eq!(
        value(left_out, &ICalendarProperty::Status).to_uppercase(),
        "CANCELLED"
    );
    let about = value(
        find(&calendar, "Last safe day"),
        &ICalendarProperty::Description,
    );
    assert!(
        about.contains("2027-03-10, 2027-03-02 to 2027-03-18"),
        "{about}"
    );
}

#[test]
fn names_stay_while_things_change() {
    let uids = |s: &Season| -> BTreeSet<String> {
        events(&parsed(&text(s)))
            .iter()
            .map(|e| e.uid().unwrap().to_owned())
            .collect()
    };
    let s = season();
    let planned = uids(&s);
    let moved = edit::move_task(
        &s,
        &TaskId::from("prune"),
        day("2027-01-25"),
        day("2027-01-19"),
        "snow",
    )
    .unwrap();
    let done = edit::set_state(
        &moved,
        &TaskId::from("prune"),
        TaskState::Done(day("2027-01-25")),
    )
    .unwrap();
    assert_eq!(uids(&done), planned);
    // The end of re-entry is a new record, but the same entry in the calendar.
    let sprayed = finish(
        &s,
        full(&s, "first-copper", "2026-12-01"),
        day("2026-12-01"),
    )
    .unwrap();
    let mut of_busy = uids(&busy());
    let of_sprayed = uids(&sprayed.season);
    assert_eq!(of_sprayed.len(), of_busy.len());
    assert!(of_sprayed.is_subset(&of_busy));
    // Another orchard, and another season, have other names.
    let mut other = busy();
    other.orchard.name = "South Slope".to_owned();
    of_busy.extend(uids(&other));
    other.season = "2027-28".to_owned();
    of_busy.extend(uids(&other));
    assert_eq!(of_busy.len(), 3 * of_sprayed.len());
}

#[test]
fn foreign_texts_survive_folding_and_escaping() {
    let mut s = season();
    let long = format!("{NASTY}\r\nsecond line {}", "x".repeat(200));
    s.tasks[1].title = NASTY.to_owned();
    s.tasks[1].notes = Some(long.clone());
    s.orchard.name = format!("{}\nBEGIN:VTODO", "Nord, Hang; 漢字".repeat(8));
    let text = text(&s);
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    let calendar = parsed(&text);
    assert!(
        calendar
            .components
            .iter()
            .all(|c| !c.component_type.is_todo())
    );
    let name = format!(
        "{}, dormant season 2026-27",
        s.orchard.name.replace('\n', " ")
    );
    for property in calendar.components[0]
        .entries
        .iter()
        .filter(|e| e.name.as_str() == "NAME" || e.name.as_str() == "X-WR-CALNAME")
    {
        assert_eq!(property.values[0].as_text(), Some(name.as_str()));
    }
    let event = find(&calendar, "=cmd(1)");
    assert_eq!(value(event, &ICalendarProperty::Summary), NASTY);
    let about = value(event, &ICalendarProperty::Description);
    assert!(about.contains(&long.replace("\r\n", "\n")), "{about}");
}

#[test]
fn a_spray_whose_end_is_not_known_blocks_whole_days() {
    let s = season();
    let mut record = full(&s, "second-copper", "2027-02-20");
    (record.started, record.ended, record.reentry_until) = (None, None, None);
    let s = finish(&s, record, day("2027-02-21")).unwrap().season;
    assert_eq!(s.records[0].reentry_until, Some(time("2027-02-21 23:59")));
    let calendar = parsed(&text(&s));
    assert_eq!(
        span(&calendar, "Keep out"),
        ("2027-02-20".to_owned(), "2027-02-22".to_owned())
    );
    let about = value(find(&calendar, "Keep out"), &ICalendarProperty::Description);
    assert!(about.contains("seen that it is dry"), "{about}");
}

fn status(event: &ICalendarComponent) -> String {
    value(event, &ICalendarProperty::Status).to_uppercase()
}

fn sequence(event: &ICalendarComponent) -> i64 {
    let entry = event.property(&ICalendarProperty::Sequence).unwrap();
    entry.values[0].as_integer().unwrap()
}

// RFC 5545, 3.8.1.11 and RFC 5546, 3.2.5: an entry that was taken back is sent once more, cancelled
// and with a higher sequence. A calendar that was imported keeps it otherwise.
#[test]
fn what_was_deleted_is_cancelled_and_stays_so() {
    let s = busy();
    let first = after(&s, None);
    let spray = |text: &str| {
        let calendar = parsed(text);
        let event = find(&calendar, "Second copper");
        (status(event), sequence(event), event.component_ids.len())
    };
    let (_, before, _) = spray(&first);
    let mut gone = s.clone();
    gone.tasks.retain(|t| t.id.as_str() != "second-copper");
    let second = after(&gone, Some(&first));
    assert_eq!(spray(&second), ("CANCELLED".to_owned(), before + 1, 0));
    assert_eq!(
        events(&parsed(&second)).len(),
        events(&parsed(&first)).len()
    );
    // Cancelled once is enough, and it is told until nobody's calendar can still hold it.
    assert_eq!(after(&gone, Some(&second)), second);
    // Undone: it is there again.
    assert_eq!(
        events(&parsed(&after(&s, Some(&second)))).len(),
        events(&parsed(&first)).len()
    );
    // Another orchard's file and what is no calendar of ours cancel nothing.
    let mut other = gone.clone();
    other.orchard.name = "South Slope".to_owned();
    for foreign in [
        after(&other, None),
        first.replace("//barewood//", "//x//"),
        "BEGIN".to_owned(),
    ] {
        assert_eq!(after(&gone, Some(&foreign)), after(&gone, None));
    }
}

// Alarms: RFC 5545, 3.6.6; a display alarm has ACTION, TRIGGER and DESCRIPTION.
#[test]
fn alarms_ring_for_the_last_safe_day_and_the_end_of_re_entry() {
    let mut s = busy();
    // The record that ended re-entry is taken out again.
    s.records.truncate(1);
    let text = text(&s).replace("\r\n ", "");
    let event = |summary: &str| {
        let all = text.split("BEGIN:VEVENT").find(|e| e.contains(summary));
        all.unwrap_or_else(|| panic!("no {summary}")).to_owned()
    };
    // 7:00 in the morning seven and two days before the day begins: 7 x 24 h - 7 h = 161 h.
    let last = event("SUMMARY:Last safe day for sprays on bare wood: Peach row");
    assert!(last.contains("TRIGGER:-PT579600S"), "{last}");
    assert!(last.contains("TRIGGER:-PT147600S"), "{last}");
    assert!(
        last.contains("in 7 days") && last.contains("in 2 days"),
        "{last}"
    );
    let keep_out = event("SUMMARY:Keep out");
    assert!(keep_out.contains("TRIGGER;RELATED=END:"), "{keep_out}");
    assert!(keep_out.contains("before anyone goes in") || keep_out.contains("seen that it is dry"));
    // Where dry was seen there is nothing to ring for, and where no spray is open neither.
    let mut quiet = busy();
    for task in &mut quiet.tasks {
        task.state = TaskState::Done(task.date);
    }
    assert!(!self::text(&quiet).contains("VALARM"));
}
