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
