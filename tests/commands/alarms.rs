//! The calendar with its alarms, as others read it: three readers that share no code with the
//! writer, and the alarm times as an importing program works them out.

use crate::home::Home;
use std::process::Command;

/// The calendar of the practice season: its forecast has fit hours on Wed 10 Feb.
fn calendar() -> String {
    let home = Home::new();
    home.run(&["export", "ics", "--on", "2027-02-08"])
        .fine()
        .out
}

/// Events and alarms of a calendar.
type Count = (usize, usize);

fn by_calcard(text: &str) -> Count {
    use calcard::icalendar::ICalendarComponentType as Kind;
    let calcard::Entry::ICalendar(calendar) = calcard::Parser::new(text).entry() else {
        panic!("not a calendar");
    };
    let count = |kind: &Kind| {
        let all = calendar.components.iter();
        all.filter(|c| c.component_type == *kind).count()
    };
    (count(&Kind::VEvent), count(&Kind::VAlarm))
}

fn by_ical(text: &str) -> Count {
    let calendar = ical::IcalParser::new(text.as_bytes())
        .next()
        .unwrap()
        .unwrap();
    let alarms = calendar.events.iter().flat_map(|e| &e.alarms);
    for alarm in alarms.clone() {
        for name in ["ACTION", "TRIGGER", "DESCRIPTION"] {
            assert!(alarm.properties.iter().any(|p| p.name == name), "{name}");
        }
    }
    (calendar.events.len(), alarms.count())
}

fn by_vobject(text: &str) -> Count {
    let calendar = vobject::parse_component(text).unwrap();
    let events = calendar.subcomponents.iter().filter(|c| c.name == "VEVENT");
    let alarms = events.clone().flat_map(|e| &e.subcomponents);
    assert!(alarms.clone().all(|a| a.name == "VALARM"));
    (events.count(), alarms.count())
}

#[test]
fn three_readers_accept_the_calendar_with_its_alarms() {
    let text = calendar();
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    let (events, alarms) = by_calcard(&text);
    assert!(
        events > 20 && alarms > 8,
        "{events} events, {alarms} alarms"
    );
    assert_eq!(by_ical(&text), (events, alarms));
    assert_eq!(by_vobject(&text), (events, alarms));
}

/// Prints every alarm as an importing program sees it: when it rings in UTC, and for what.
const IMPORT: &str = r#"
import sys, icalendar, vobject
text = sys.stdin.read()
assert len(list(vobject.readOne(text).vevent_list)) > 20
for event in icalendar.Calendar.from_ical(text).walk("VEVENT"):
    for alarm in event.alarms.times:
        at = alarm.trigger
        at = at.astimezone(__import__("datetime").timezone.utc) if at.tzinfo else at
        print(at.strftime("%Y-%m-%d %H:%M"), alarm.alarm["DESCRIPTION"])
"#;

/// The libraries `icalendar` (7) and `vobject` of Python, where they can be had.
#[test]
fn an_import_rings_at_these_times() {
    use std::io::Write as _;
    let python = std::env::var("BAREWOOD_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let known = Command::new(&python)
        .args(["-c", "import icalendar.alarms, vobject"])
        .output();
    if !known.is_ok_and(|o| o.status.success()) {
        println!(
            "SKIPPED: {python} has no icalendar (6 or later) and vobject; BAREWOOD_PYTHON names another"
        );
        return;
    }
    let mut import = Command::new(python)
        .args(["-c", IMPORT])
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = import.stdin.take().unwrap();
    stdin.write_all(calendar().as_bytes()).unwrap();
    drop(stdin);
    let out = import.wait_with_output().unwrap();
    assert!(out.status.success());
    let out = String::from_utf8(out.stdout).unwrap();
    // Six in the evening in New York, the day before; seven in the morning of the place, whole
    // days having no zone; peaches are safe to 13 Mar.
    assert!(
        out.contains("2027-02-09 23:00 Fit hours tomorrow, 10:00 to 15:00: Copper on the cherries"),
        "{out}"
    );
    for day in ["2027-03-06 07:00", "2027-03-11 07:00"] {
        let rung = out.lines().find(|l| l.starts_with(day));
        assert!(
            rung.is_some_and(|l| l.contains("Last safe day")),
            "{day}\n{out}"
        );
    }
}

#[test]
fn the_calendar_is_kept_fresh_with_every_save() {
    let (home, _) = Home::started();
    let config = home.path().join(".config/barewood");
    std::fs::create_dir_all(&config).unwrap();
    std::fs::write(
        config.join("settings.toml"),
        "[calendar]\nfile = \"~/kept/season.ics\"\n",
    )
    .unwrap();
    let file = home.path().join("kept/season.ics");
    assert!(!file.exists());
    let season = ["--season", "season.toml", "--on", "2015-12-01"];
    let task = {
        let text = std::fs::read_to_string(home.path().join("season.toml")).unwrap();
        let at = text.find("[[task]]").unwrap();
        text[at..]
            .lines()
            .nth(1)
            .unwrap()
            .split('"')
            .nth(1)
            .unwrap()
            .to_owned()
    };
    home.run(&[&["move", &task, "2015-12-05"][..], &season].concat())
        .fine();
    let kept = std::fs::read_to_string(&file).unwrap();
    assert!(kept.contains("DTSTART;VALUE=DATE:20151205"), "{kept}");
    home.run(&[&["move", &task, "+1"][..], &season].concat())
        .fine();
    let kept = std::fs::read_to_string(&file).unwrap();
    assert!(kept.contains("DTSTART;VALUE=DATE:20151206"), "{kept}");
    // A place that cannot be written takes nothing from the save, and is told.
    std::fs::write(
        config.join("settings.toml"),
        "[calendar]\nfile = \"/proc/no/season.ics\"\n",
    )
    .unwrap();
    let ran = home.run(&[&["move", &task, "+1"][..], &season].concat());
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("The season is saved"), "{}", ran.err);
}
