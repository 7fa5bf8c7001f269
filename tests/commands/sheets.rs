//! Sheets for others: one page each, in the reader's language and no other.

use crate::home::Home;
use barewood::report::sheet::Words;
use std::collections::BTreeSet;

/// The words of a text, without what is no word.
fn words_of(text: &str) -> BTreeSet<String> {
    text.split(|c: char| !c.is_alphabetic())
        .filter(|w| w.chars().count() > 2)
        .map(str::to_lowercase)
        .collect()
}

fn table(code: &str) -> (String, BTreeSet<String>) {
    let words = Words::of(code).unwrap();
    let text: Vec<String> = words.all().map(|(_, w)| w.to_owned()).collect();
    let text = text.join(" ");
    let set = words_of(&text);
    (text, set)
}

/// Every sheet of the practice season, with the ids it is asked by.
const SHEETS: [&[&str]; 7] = [
    &["mix", "last-copper"],
    &["mix", "cherry-copper"],
    &["reentry", "last-copper"],
    &["reentry", "r1"],
    &["neighbour", "last-copper"],
    &["neighbour", "cherry-copper"],
    &["wall"],
];

fn sheet(home: &Home, what: &[&str], language: &str) -> String {
    let on = ["--on", "2027-02-08", "--language", language];
    let ran = home.run(&[&["sheet"], what, &on].concat()).fine();
    assert_eq!(ran.err, "", "{what:?} does not fit a page");
    ran.out
}

#[test]
fn every_sheet_fits_a_page_of_sixty_lines_and_eighty_columns() {
    let home = Home::new();
    for language in ["en", "es"] {
        for what in SHEETS {
            let text = sheet(&home, what, language);
            assert!(text.lines().count() <= 60, "{what:?} {language}\n{text}");
            assert!(
                text.lines().all(|l| l.chars().count() <= 80),
                "{what:?} {language}\n{text}"
            );
        }
    }
}

/// What the season itself says (titles, names, labels) stays as it is: those words are taken from
/// the season file. Every other word of a Spanish sheet must be of the Spanish table.
#[test]
fn a_spanish_sheet_has_no_english_word_but_the_seasons_own() {
    let home = Home::new();
    let (_, spanish) = table("es");
    let (_, english) = table("en");
    let season = words_of(include_str!("../../sample-season.toml"));
    for what in SHEETS {
        let text = sheet(&home, what, "es");
        let foreign: Vec<String> = words_of(&text)
            .into_iter()
            .filter(|w| !spanish.contains(w) && !season.contains(w))
            .collect();
        assert!(foreign.is_empty(), "{what:?}: {foreign:?}\n{text}");
        // And lines that hold nothing of the season's hold nothing English at all.
        for fixed in [
            "The label",
            "Wear",
            "KEEP OUT",
            "Planned",
            "Questions",
            "Done:",
        ] {
            assert!(!text.contains(fixed), "{what:?}: {fixed}\n{text}");
        }
    }
    assert!(!english.is_empty());
}

/// A sentence of the table that is the same in both languages was forgotten.
#[test]
fn nothing_of_the_spanish_table_was_left_in_english() {
    let (en, es) = (Words::of("en").unwrap(), Words::of("es").unwrap());
    let same: Vec<&str> = en
        .all()
        .filter(|(key, words)| es.say(key) == *words)
        .map(|(key, _)| key)
        .collect();
    assert_eq!(
        same,
        [
            "active.captan",
            "active.urea",
            "common.to_fill_in",
            "date.day",
            "date.time",
            "mix.product",
        ]
    );
}

/// Every rule and kind of tree has its words in the tables. A rule just made may wait for its
/// words: until then a sheet says that there is one more warning.
#[test]
fn every_rule_and_kind_of_tree_has_its_words() {
    use barewood::domain::phenology::species::Species;
    use barewood::domain::rules::RULES;
    let words = Words::of("es").unwrap();
    let without: Vec<&str> = RULES
        .iter()
        .map(|rule| rule.id)
        .filter(|id| words.known(&format!("rule.{id}")).is_none())
        .collect();
    assert!(
        without.len() <= 3,
        "add to src/report/sheet/words, part [rule]: {without:?}"
    );
    for kind in Species::ALL {
        let key = format!("species.{}", kind.words().replace(' ', "-"));
        assert!(words.known(&key).is_some(), "{key}: add it to the tables");
    }
}

#[test]
fn a_notice_says_what_a_neighbour_must_know() {
    let home = Home::new();
    let text = sheet(&home, &["neighbour", "last-copper"], "es");
    for part in [
        "Día: sáb 20 mar 2027",
        "cobre",
        "abolladura",
        "Preguntas:",
        "No entre entre",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    let text = sheet(&home, &["reentry", "r1"], "en");
    for part in [
        "DANGER - PESTICIDES - KEEP OUT",
        "28 Nov 2026",
        "active ingredient copper",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn another_language_comes_by_a_table_of_ones_own() {
    let home = Home::new();
    let table = home.run(&["sheet", "words"]).fine().out;
    let own = table
        .replace("language = \"English\"", "language = \"Français\"")
        .replace("code = \"en\"", "code = \"fr\"")
        .replace("KEEP OUT\"", "N'ENTREZ PAS\"");
    std::fs::write(home.path().join("fr.toml"), &own).unwrap();
    let text = sheet(&home, &["reentry", "last-copper"], "fr.toml");
    assert!(text.contains("N'ENTREZ PAS"), "{text}");
    let html = home
        .run(&["sheet", "wall", "--language", "fr.toml", "--html"])
        .fine()
        .out;
    assert!(html.contains("<html lang=\"fr\">"), "{html}");
    // What is missing is named.
    std::fs::write(home.path().join("cut.toml"), own.replace("[wall]", "[wal]")).unwrap();
    let ran = home.run(&["sheet", "wall", "--language", "cut.toml"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("wall."), "{}", ran.err);
    let ran = home.run(&["sheet", "wall", "--language", "xx"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("en, es"), "{}", ran.err);
}

#[test]
fn the_programs_own_first_plan_is_told_in_the_readers_language() {
    let home = Home::new();
    let file = home.path().join("new.toml");
    let file = file.to_str().unwrap();
    let mut args = vec![
        "start",
        "--yes",
        "--place",
        "Rochester, New York",
        "-s",
        file,
    ];
    for block in [
        "peach::6",
        "apple::4",
        "sweet cherry::3",
        "apricot::2",
        "pear::2",
    ] {
        args.extend(["--block", block]);
    }
    home.run(&args).fine();
    let season: toml::Table = std::fs::read_to_string(file).unwrap().parse().unwrap();
    let tasks = season["task"].as_array().unwrap();
    let wall = home.run(&["sheet", "wall", "--language", "es", "-s", file]);
    let wall = wall.fine().out;
    let spanish = Words::of("es").unwrap();
    let mut told = 0;
    for task in tasks {
        let title = task["title"].as_str().unwrap();
        assert_ne!(spanish.work(title), title, "not in the table of words");
        assert!(!wall.contains(title), "{title}\n{wall}");
        told += usize::from(wall.contains(spanish.work(title)));
    }
    assert!(told > 8, "{told} of {}\n{wall}", tasks.len());
    assert!(
        wall.contains("melocotonero") && !wall.contains("peach"),
        "{wall}"
    );
}
