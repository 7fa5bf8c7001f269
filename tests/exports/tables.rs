//! The CSV files, read by a reader written from the standard, and the lists as text.

use crate::orchard::{day, full, of, season, time};
use crate::{NASTY, busy};
use barewood::domain::history;
use barewood::domain::records::{Law, finish};
use barewood::domain::review::mark;
use barewood::report::{csv_export, history as history_report, records};
use unicode_width::UnicodeWidthStr;

/// RFC 4180, section 2: records end in CR LF; a field may stand in quotes, and must where
/// it holds quotes, commas or line ends; a quote within is doubled.
fn read(text: &str) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    let mut row = Vec::new();
    let mut field = String::new();
    let mut chars = text.chars().peekable();
    let mut quoted = false;
    while let Some(c) = chars.next() {
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                field.push('"');
            }
            '"' if quoted => quoted = false,
            '"' => {
                assert!(field.is_empty(), "a quote inside a bare field");
                quoted = true;
            }
            ',' if !quoted => row.push(std::mem::take(&mut field)),
            '\r' if !quoted => {
                assert_eq!(chars.next(), Some('\n'), "a bare carriage return");
                row.push(std::mem::take(&mut field));
                rows.push(std::mem::take(&mut row));
            }
            '\n' if !quoted => panic!("a bare line feed"),
            c => field.push(c),
        }
    }
    assert!(
        !quoted && row.is_empty() && field.is_empty(),
        "the last line has no end"
    );
    rows
}

fn cell<'a>(rows: &'a [Vec<String>], row: usize, column: &str) -> &'a str {
    let index = rows[0]
        .iter()
        .position(|c| c == column)
        .unwrap_or_else(|| panic!("no column {column}"));
    &rows[row][index]
}

#[test]
fn records_stand_one_a_line_with_units_in_the_heads() {
    let rows = read(&csv_export::records(&busy()).unwrap());
    assert_eq!(rows.len(), 3);
    assert!(rows.iter().all(|r| r.len() == rows[0].len()));
    assert_eq!(cell(&rows, 1, "holds"), "no");
    assert_eq!(cell(&rows, 2, "holds"), "yes");
    assert_eq!(cell(&rows, 2, "corrects"), "r1");
    assert_eq!(cell(&rows, 1, "started"), "2026-12-01T08:00");
    assert_eq!(cell(&rows, 1, "area_ha"), "0.3");
    assert_eq!(cell(&rows, 1, "temperature_c"), "9");
    assert_eq!(cell(&rows, 1, "wind_m_per_s"), "2");
    assert_eq!(cell(&rows, 2, "reentry_seen_by"), "the grower");
    assert_eq!(cell(&rows, 1, "lacks"), "");
}

#[test]
fn materials_used_stand_one_a_line_and_only_what_holds() {
    let s = busy();
    let s = finish(
        &s,
        full(&s, "second-copper", "2027-02-24"),
        day("2027-02-24"),
    )
    .unwrap()
    .season;
    let rows = read(&csv_export::materials_used(&s).unwrap());
    assert_eq!(rows.len(), 1 + 1 + 2);
    assert_eq!(cell(&rows, 1, "record"), "r2");
    assert_eq!(cell(&rows, 1, "total"), "1.2 kg");
    assert_eq!(cell(&rows, 1, "total_kg"), "1.2");
    assert_eq!(cell(&rows, 1, "metallic_copper_percent"), "50");
    assert_eq!(cell(&rows, 1, "metallic_copper_kg_per_ha"), "2");
    assert_eq!(cell(&rows, 1, "formulation"), "WP");
    assert_eq!(cell(&rows, 1, "cost"), "24");
    // 0.5 gal = 1.892 706 L (NIST Handbook 44, appendix C).
    assert_eq!(cell(&rows, 3, "total_l"), "1.892706");
    assert_eq!(cell(&rows, 3, "total_kg"), "");
}

// Formula injection: a cell that begins with =, +, -, @, a tab or a line end is run by some
// spreadsheets (OWASP, CSV injection); an apostrophe in front makes it text. Numbers stay.
#[test]
fn no_cell_is_taken_for_a_formula_and_nothing_breaks_the_table() {
    let s = season();
    let mut record = full(&s, "first-copper", "2026-12-01");
    record.notes = Some(format!("{NASTY}\r\n\"two\", lines"));
    record.who = Some("@grower".to_owned());
    record.sky = Some("\t=1+1".to_owned());
    record.reason = Some("-2+3".to_owned());
    record.temperature = Some(of("-3 C"));
    record.materials[0].lot = Some("+4711-a".to_owned());
    let s = finish(&s, record, day("2026-12-01")).unwrap().season;
    let rows = read(&csv_export::records(&s).unwrap());
    assert_eq!(
        cell(&rows, 1, "notes"),
        format!("'{NASTY}\r\n\"two\", lines")
    );
    assert_eq!(cell(&rows, 1, "who"), "'@grower");
    assert_eq!(cell(&rows, 1, "sky"), "'\t=1+1");
    assert_eq!(cell(&rows, 1, "reason"), "'-2+3");
    assert_eq!(cell(&rows, 1, "temperature_c"), "-3");
    let used = read(&csv_export::materials_used(&s).unwrap());
    assert_eq!(cell(&used, 1, "lot"), "'+4711-a");
}

#[test]
fn the_list_of_records_says_what_is_missing_and_who_asks() {
    let mut s = busy();
    let mut record = full(&s, "second-copper", "2027-02-24");
    record.licence = None;
    record.reentry_until = None;
    s = finish(&s, record, day("2027-02-24")).unwrap().season;
    let now = time("2027-02-24 13:00");
    let text = records::text(&s, &[], &Law::of_place(&s.orchard), now);
    println!("{text}");
    assert!(text.lines().all(|l| l.width() <= 80));
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "r1 2026-12-01 First copper on Peach row; corrected by r2",
        "r2 2026-12-01 First copper on Peach row; corrects r1 (re-entry ended)",
        "lacks certificate: certificate or licence number",
        "[your state or tribe]",
        "keep out until Thu 2027-02-25 11:00 (22 h 00 min left), and until it is dry",
        "fixed copper: 2 uses, 2.4 kg",
        "metallic copper on Peach row: 4.00 kg/ha this season, 16.00 with 3 past years of 28",
        "3 sealed, last seal",
    ] {
        assert!(flat.contains(words), "{words} in\n{text}");
    }
    assert!(!flat.contains("FLAW"));
    s.records[0].who = Some("somebody else".to_owned());
    assert!(records::check(&s, &[]).contains("FLAW: record r1 was changed"));
    let value: serde_json::Value =
        serde_json::from_str(&records::json(&s, &[], &Law::of_place(&s.orchard)).unwrap()).unwrap();
    assert_eq!(value["records"][0]["holds"], false);
    assert_eq!(value["records"][2]["lacks"][0]["element"], "certificate");
    assert_eq!(value["flaws"].as_array().unwrap().len(), 1);
}

#[test]
fn seasons_side_by_side_as_text_and_json() {
    let mut s = mark(
        &busy(),
        &crate::orchard::estimates(&season(), "2027-03-10"),
        day("2027-01-10"),
    );
    s.blocks[0].past.push(barewood::domain::season::PastStage {
        stage: barewood::domain::phenology::stage::Stage::Swell,
        date: day("2027-03-04"),
    });
    let rows = history::table(&[s]);
    let text = history_report::text(&rows, &[]);
    println!("{text}");
    assert!(text.lines().all(|l| l.width() <= 80));
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains(
            "Peach row, 10 Jan 2027: 10 Mar (2 Mar-18 Mar); 53 d before, 6 d late, within its range"
        ),
        "{text}"
    );
    assert!(flat.contains("Peach row swell seen 4 Mar"), "{text}");
    assert!(flat.contains("Apple row swell seen not noted"), "{text}");
    let value: serde_json::Value =
        serde_json::from_str(&history_report::json(&rows, &[]).unwrap()).unwrap();
    assert_eq!(
        value["seasons"][0]["blocks"][0]["noted"][0]["error_days"],
        6
    );
    assert!(history_report::text(&[], &[]).starts_with("No seasons.\n"));
}
