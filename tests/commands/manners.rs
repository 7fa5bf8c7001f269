//! What a command owes its user: help, exit codes, errors that name the cure.

use crate::home::Home;
use std::fs;

#[test]
fn help_and_version_go_to_standard_output_even_with_a_broken_file() {
    let home = Home::new();
    fs::write(home.path().join("broken.toml"), "format = [").unwrap();
    for args in [
        &["--help"][..],
        &["--version"],
        &["delay", "--help"],
        &["--season", "broken.toml", "--help"],
    ] {
        let ran = home.run(args).fine();
        assert!(!ran.out.is_empty() && ran.err.is_empty(), "{args:?}");
    }
}

#[test]
fn wrong_usage_is_2_bad_input_is_2_and_an_absent_file_is_3() {
    let home = Home::new();
    for (args, code) in [
        (&["swell", "--stage", "harvest"][..], 2),
        (&["nonsense"], 2),
        (&["due", "--on", "2027-02-30"], 2),
        (&["mix", "no-such-task"], 2),
        (&["due", "--season", "absent.toml"], 3),
        (&["delay", "last-copper", "--days", "3"], 2),
    ] {
        let ran = home.run(args);
        assert_eq!(ran.code, code, "{args:?}: {}{}", ran.out, ran.err);
        assert!(ran.out.is_empty() && !ran.err.is_empty(), "{args:?}");
    }
}

#[test]
fn every_mistake_in_a_file_is_listed_with_its_line() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    let broken = text
        .replace("latitude = 41.65", "latitude = 95")
        .replace("species = \"apple\"", "species = \"aple\"");
    fs::write(&file, &broken).unwrap();
    let ran = home.run(&["due", "--season", "season.toml"]);
    assert_eq!(ran.code, 2);
    for part in ["season.toml:", "latitude", "apple"] {
        assert!(ran.err.contains(part), "{part}: {}", ran.err);
    }
    assert!(
        ran.err
            .lines()
            .filter(|l| l.contains("season.toml:"))
            .count()
            >= 2,
        "{}",
        ran.err
    );
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        broken,
        "a file that cannot be read is never written"
    );
}

#[test]
fn the_board_without_a_terminal_says_what_to_use_instead() {
    let home = Home::new();
    let ran = home.run(&[]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("barewood due"), "{}", ran.err);
    assert!(!ran.out.contains('\u{1b}') && !ran.err.contains('\u{1b}'));
    assert_eq!(
        fs::read_dir(home.path()).unwrap().count(),
        0,
        "looking writes nothing"
    );
}

#[test]
fn a_broken_season_is_examined_and_mended_beside_itself() {
    let (home, file) = Home::started();
    let sound = home.run(&["check", "--file", "--season", "season.toml"]);
    assert_eq!(sound.code, 0, "{}{}", sound.out, sound.err);
    assert!(sound.out.contains("reads, 2 blocks"), "{}", sound.out);
    let text = fs::read_to_string(&file).unwrap();
    let broken = text
        .replacen("latitude = 41.65", "latitude = 95.0", 1)
        .replacen("lane = \"mid-winter\"", "lane = \"summer\"", 1);
    assert_ne!(broken, text);
    fs::write(&file, &broken).unwrap();
    let found = home.run(&["check", "--file", "--season", "season.toml"]);
    assert_eq!(found.code, 1);
    assert!(
        found.out.contains("latitude") && found.out.contains("--mend"),
        "{}",
        found.out
    );
    // Without its latitude the orchard cannot be read: an earlier version has to stand in, and
    // there is none yet.
    let hopeless = home.run(&["check", "--file", "--mend", "--season", "season.toml"]);
    assert_eq!(hopeless.code, 2, "{}{}", hopeless.out, hopeless.err);
    fs::write(
        &file,
        broken.replacen("latitude = 95.0", "latitude = 41.65", 1),
    )
    .unwrap();
    let mended = home.run(&["check", "--file", "--mend", "--season", "season.toml"]);
    assert_eq!(mended.code, 1, "{}{}", mended.out, mended.err);
    assert!(mended.out.contains("summer"), "{}", mended.out);
    home.run(&["swell", "--season", "season.mended.toml"])
        .fine();
    // The season itself is as it was.
    assert!(fs::read_to_string(&file).unwrap().contains("summer"));
}

#[test]
fn a_clock_set_back_is_told_and_refuses_nothing() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    let entered = "\n[[reading]]\nkind = \"buds\"\ndate = 2199-01-31\nbbch = 0\n";
    fs::write(&file, format!("{text}{entered}")).unwrap();
    let told = home.run(&["swell", "--season", "season.toml"]).fine();
    assert!(told.err.contains("2199-01-31"), "{}", told.err);
    // Who asks for another day knows what day it is.
    let asked = home
        .run(&["swell", "--season", "season.toml", "--on", "2015-12-01"])
        .fine();
    assert_eq!(asked.err, "");
}
