//! What a person writes wrong, and what they are told. Each row: what replaces
//! what in a good file, and the words that must appear in the message.

use barewood::store::season_file::{read, read_bytes};

/// A short file as a person would write it.
pub const GOOD: &str = r#"format = 1
season = "2026-27"

[orchard]
name = "Hillside"
latitude = 43.1
longitude = -77.2
time_zone = "America/New_York"

[dates]
leaf_drop_expected = 2026-11-20

[[block]]
id = "apples"
species = "apple"
trees = 12

[[material]]
id = "oil"
active = "horticultural oil"

[material.label]
rate = "2 % v/v"

[[sprayer]]
id = "pack"
kind = "backpack"
tank = "4 gal"

[[task]]
id = "oil-late"
lane = "before-swell"
date = 2027-03-10
blocks = ["apples"]
targets = ["scale"]
mix = [{ material = "oil" }]
sprayer = "pack"

[[reading]]
date = 2027-02-10
total = 95
base = "43 F"
since = 2027-01-01
"#;

fn errors(text: &str) -> String {
    read(text, "s.toml")
        .expect_err("should be refused")
        .to_string()
}

#[test]
fn a_short_hand_written_file_reads_without_a_note() {
    let loaded = read(GOOD, "s.toml").unwrap();
    assert_eq!(loaded.notes, []);
    let season = loaded.season;
    assert_eq!(season.blocks[0].name, "apples");
    assert_eq!(season.orchard.tolerance.to_string(), "10 %");
    assert_eq!(season.tasks[0].kind.key(), "spray");
    assert_eq!(season.tasks[0].title, "oil-late");
}

#[test]
fn every_mistake_is_named_with_its_place_and_its_cure() {
    let rows: &[(&str, &str, &[&str])] = &[
        (
            "2027-03-10",
            "2027-02-30",
            &[
                "s.toml:33:8 task[1] \"oil-late\".date: 2027-02-30 does not exist; write a day from 01 to 28",
            ],
        ),
        (
            "2027-03-10",
            "\"2027-02-30\"",
            &["does not exist", "01 to 28"],
        ),
        (
            "id = \"apples\"",
            "id = \"apples\"\ncopper_past_kg_per_ha = [4.4, \"not known\"]",
            &["copper_past_kg_per_ha", "text where a number belongs"],
        ),
        (
            "id = \"apples\"",
            "id = \"apples\"\ncopper_past_kg_per_ha = [-1]",
            &["copper_past_kg_per_ha: -1 is outside 0 to 1000"],
        ),
        ("2027-03-10", "2027-13-01", &["no month 13"]),
        ("2027-03-10", "0000-01-01", &["year 0 is outside"]),
        ("2027-03-10", "9999-01-01", &["outside 1900–2200"]),
        ("2027-03-10", "2100-02-29", &["does not exist", "01 to 28"]),
        ("2027-03-10", "2027-03-10T10:00:00", &["not a day"]),
        ("2027-03-10", "\"soon\"", &["'soon' is not a day"]),
        ("2027-03-10", "5", &["a number where a day such as"]),
        (
            "latitude = 43.1",
            "latitude = 95",
            &["orchard.latitude: 95 is outside -90 to 90"],
        ),
        (
            "latitude = 43.1",
            "latitude = nan",
            &["not an ordinary number"],
        ),
        (
            "latitude = 43.1",
            "latitude = inf",
            &["not an ordinary number"],
        ),
        (
            "latitude = 43.1",
            "latitude = 1e400",
            &["not an ordinary number"],
        ),
        (
            "latitude = 43.1",
            "latitude = \"43.1\"",
            &["text where a number belongs"],
        ),
        (
            "latitude = 43.1",
            "",
            &["orchard.latitude: missing; write latitude = 43.1"],
        ),
        (
            "longitude = -77.2",
            "longitude = -181",
            &["outside -180 to 180"],
        ),
        (
            "America/New_York",
            "America/NewYork",
            &["no time zone", "did you mean \"America/New_York\"?"],
        ),
        (
            "America/New_York",
            "Kolkata",
            &["did you mean \"Asia/Kolkata\"?"],
        ),
        (
            "2 % v/v",
            "-2 % v/v",
            &[
                "material[1] \"oil\".label.rate: '-2 %' is negative",
                "write zero or more",
            ],
        ),
        (
            "2 % v/v",
            "2 lb/fortnight",
            &["no unit known here", "4 lb/acre"],
        ),
        ("\"2 % v/v\"", "2", &["2 without its unit", "\"2 % v/v\""]),
        ("4 gal", "0 gal", &["holds nothing"]),
        (
            "trees = 12",
            "trees = 12.5",
            &["not a whole number; write 12"],
        ),
        ("trees = 12", "trees = -1", &["outside 1 to"]),
        (
            "trees = 12",
            "trees = 99999999999999999999",
            &["not an ordinary number"],
        ),
        (
            "species = \"apple\"",
            "species = \"aple\"",
            &["did you mean \"apple\"?"],
        ),
        (
            "species = \"apple\"",
            "",
            &["block[1] \"apples\".species: missing; write species = \"apple\""],
        ),
        (
            "blocks = [\"apples\"]",
            "blocks = [\"aples\"]",
            &["no block has the id 'aples'; did you mean \"apples\"?"],
        ),
        (
            "material = \"oil\"",
            "material = \"copper\"",
            &["no material has the id 'copper'; write one of: oil"],
        ),
        (
            "targets = [\"scale\"]",
            "targets = [\"scales\"]",
            &["did you mean \"scale\"?"],
        ),
        (
            "sprayer = \"pack\"",
            "sprayer = \"x\"",
            &["no sprayer has the id 'x'"],
        ),
        (
            "lane = \"before-swell\"",
            "lane = \"x\"",
            &["write one of: after-leaf-drop, mid-winter, before-swell"],
        ),
        (
            "sprayer = \"pack\"",
            "state = \"done\"",
            &["'done' without its day"],
        ),
        (
            "sprayer = \"pack\"",
            "state = \"done 2027-02-31\"",
            &["does not exist"],
        ),
        (
            "sprayer = \"pack\"",
            "state = \"finished\"",
            &["write \"planned\", \"done 2027-01-03\""],
        ),
        ("sprayer = \"pack\"", "water_ph = 15", &["outside 0 to 14"]),
        (
            "since = 2027-01-01",
            "since = 2027-03-01",
            &["after the day of the total"],
        ),
        ("total = 95", "total = -5", &["outside 0 to"]),
        (
            "base = \"43 F\"",
            "base = 43",
            &["43 without its unit; write for instance \"43 F\""],
        ),
        (
            "[[block]]",
            "[block]",
            &["write [[block]] with double brackets"],
        ),
        ("format = 1", "format = \"one\"", &["whole number"]),
        (
            "format = 1",
            "format = 0",
            &["no format 0 was ever written"],
        ),
        (
            "season = \"2026-27\"",
            "season = \"2026-27",
            &["s.toml:2:", "not TOML"],
        ),
        (
            "season = \"2026-27\"",
            "season = \"a\"\nseason = \"b\"",
            &["s.toml:3:", "duplicate"],
        ),
        (
            "season = \"2026-27\"",
            "season = \"a\u{0}b\"",
            &["s.toml:2:", "not TOML"],
        ),
        (
            "[dates]",
            "[[block]]\nid = \"apples\"\nspecies = \"pear\"\ntrees = 1\n[dates]",
            &["the id 'apples' is already the block of line 11"],
        ),
        (
            "[[reading]]",
            "[weather.normals]\nlow = [\"20 F\"]\nhigh = [\"30 F\"]\n[[reading]]",
            &["1 good values where twelve belong"],
        ),
    ];
    for (from, to, told) in rows {
        assert!(GOOD.contains(from), "{from}");
        let message = errors(&GOOD.replacen(from, to, 1));
        for words in *told {
            assert!(message.contains(words), "{from} → {to}: {words}\n{message}");
        }
        assert!(message.lines().count() <= 3, "{from} → {to}:\n{message}");
    }
}

#[test]
fn several_mistakes_are_listed_at_once_in_order() {
    let text = GOOD
        .replace("latitude = 43.1", "latitude = 95")
        .replace("2027-03-10", "2027-02-30")
        .replace("trees = 12", "trees = \"twelve\"")
        .replace("[\"apples\"]", "[\"pears\"]")
        .replace("season = \"2026-27\"", "season = 2026-27");
    let message = errors(&text);
    let lines: Vec<&str> = message.lines().collect();
    assert!(lines.len() >= 4, "{message}");
    assert!(lines[0].starts_with("s.toml:2:"), "{message}");
    assert!(message.contains("latitude") && message.contains("2027-02-30 does not exist"));
    assert!(message.contains("text where a number belongs"), "{message}");
}

#[test]
fn normals_with_a_low_above_its_high_are_refused() {
    let twelve = |t: &str| format!("[{}]", vec![format!("\"{t}\""); 12].join(", "));
    let text = format!(
        "{GOOD}\n[weather.normals]\nlow = {}\nhigh = {}\n",
        twelve("40 F"),
        twelve("1 C")
    );
    assert!(errors(&text).contains("month 1 has its low above its high"));
}

#[test]
fn unknown_keys_are_notes_with_a_suggestion() {
    let text = GOOD.replace(
        "trees = 12",
        "trees = 12\ncultivr = \"Early\"\nfootnote = 1",
    );
    let notes = read(&text, "s.toml").unwrap().notes;
    assert_eq!(notes.len(), 2);
    assert!(notes[0].to_string().contains("block[1] \"apples\".cultivr"));
    assert_eq!(notes[0].fix, "did you mean 'cultivar'?");
    assert_eq!(notes[1].fix, "");
}

#[test]
fn a_newer_format_is_refused_and_nothing_else_is_said() {
    let text = GOOD
        .replace("format = 1", "format = 99")
        .replace("43.1", "95");
    let problems = read(&text, "s.toml").unwrap_err();
    assert_eq!(problems.newer_format, Some(99));
    assert_eq!(problems.list.len(), 1);
    assert!(problems.to_string().contains("was not touched"));
}

#[test]
fn odd_bytes_are_read_or_refused_with_their_place() {
    let with_bom = format!("\u{feff}{}", GOOD.replace('\n', "\r\n"));
    assert!(read_bytes(with_bom.as_bytes(), "s.toml").is_ok());
    assert!(read(GOOD.trim_end(), "s.toml").is_ok());
    let mut broken = GOOD.as_bytes().to_vec();
    broken[20] = 0xFF;
    let message = read_bytes(&broken, "s.toml").unwrap_err().to_string();
    assert!(message.starts_with("s.toml:2:"), "{message}");
    assert!(message.contains("UTF-8"));
    let huge = vec![b'#'; 21 * 1024 * 1024];
    let message = read_bytes(&huge, "s.toml").unwrap_err().to_string();
    assert!(message.contains("larger than 20 MB"));
    assert!(errors("").contains("orchard: missing"));
    let long_line = format!("{GOOD}# {}\n", "x".repeat(1_000_000));
    assert!(read(&long_line, "s.toml").is_ok());
}

#[test]
fn deep_nesting_is_refused_not_followed() {
    let deep = 100_000;
    for text in [
        format!("{GOOD}x = {}{}", "[".repeat(deep), "]".repeat(deep)),
        format!("{GOOD}x = {}", "{a=".repeat(deep)),
        format!("{GOOD}{} = 1", vec!["a"; deep].join(".")),
        format!("{GOOD}[{}]", vec!["a"; deep].join(".")),
        format!("{GOOD}x = {{ {} = 1 }}", vec!["a"; deep].join(".")),
        format!("{GOOD}{} = 1", vec!["\"a\""; deep].join(" . ")),
        format!("{GOOD}{} = 1", vec!["'a=b'"; deep].join(".")),
    ] {
        let message = errors(&text);
        assert!(message.contains("recurs"), "{message}");
    }
}

#[test]
fn foreign_text_in_a_message_is_harmless() {
    let text = GOOD.replace("\"apple\"", "\"\\u001b]0;x\\u0007ap\"");
    assert!(!errors(&text).contains(|c: char| c.is_control() && c != '\n'));
}
