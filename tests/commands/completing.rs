//! What a shell offers on tab, by the scripts the program gives it.

use crate::home::Home;
use assert_cmd::Command;

/// What the program answers a shell that asks for the last of these words.
fn offered(home: &Home, words: &[&str]) -> Vec<String> {
    let out = Command::cargo_bin("barewood")
        .unwrap()
        .env_clear()
        .env("HOME", home.path())
        .env("BAREWOOD_COMPLETE", "bash")
        .env("_CLAP_COMPLETE_INDEX", (words.len() - 1).to_string())
        .env("_CLAP_IFS", "\n")
        .current_dir(home.path())
        .arg("--")
        .args(words)
        .output()
        .unwrap();
    assert!(out.status.success());
    let text = String::from_utf8(out.stdout).unwrap();
    text.lines().map(str::to_owned).collect()
}

#[test]
fn task_block_and_material_ids_are_offered() {
    let (home, _) = Home::started();
    let has = |words: &[&str], id: &str| {
        let offered = offered(&home, words);
        assert!(offered.iter().any(|o| o == id), "{words:?}: {offered:?}");
    };
    let at = ["barewood", "--season", "season.toml"];
    for command in ["mix", "hours", "finish", "move", "delay", "repeat"] {
        has(&[&at[..], &[command, ""]].concat(), "first-copper");
    }
    has(&[&at[..], &["mix", "first-"]].concat(), "first-copper");
    has(&[&at[..], &["swell", "--block", ""]].concat(), "peach");
    has(
        &[&at[..], &["read", "label", ""]].concat(),
        "copper-hydroxide",
    );
    // Without a season of one's own the ids are those of the practice season.
    has(&["barewood", "mix", ""], "last-copper");
    has(&["barewood", ""], "due");
    has(&["barewood", "due", "--n"], "--new");
}

#[test]
fn a_season_that_cannot_be_read_offers_nothing_and_says_nothing() {
    let home = Home::new();
    std::fs::write(home.path().join("bad.toml"), "format = [").unwrap();
    assert!(offered(&home, &["barewood", "-s", "bad.toml", "mix", "x"]).is_empty());
}

#[test]
fn a_real_shell_completes_by_the_script() {
    let home = Home::new();
    let bash = std::process::Command::new("bash").arg("--version").output();
    if bash.is_err() {
        println!("SKIPPED: no bash");
        return;
    }
    let program = assert_cmd::cargo::cargo_bin("barewood");
    let script = "source <(barewood shell completions bash)\n\
        COMP_WORDS=(barewood mix last-c); COMP_CWORD=2; COMP_TYPE=9\n\
        _clap_complete_barewood barewood last-c mix; printf '%s\\n' \"${COMPREPLY[@]}\"";
    let out = std::process::Command::new("bash")
        .args(["-c", script])
        .env_clear()
        .env("HOME", home.path())
        .env(
            "PATH",
            format!("{}:/usr/bin:/bin", program.parent().unwrap().display()),
        )
        .output()
        .unwrap();
    assert_eq!(
        String::from_utf8_lossy(&out.stdout).trim(),
        "last-copper",
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
}

#[test]
fn there_is_a_page_for_every_command() {
    let home = Home::new();
    home.run(&["shell", "manual", "--to", "man"]).fine();
    for page in [
        "barewood",
        "barewood-due",
        "barewood-weather-add",
        "barewood-export",
    ] {
        let text = std::fs::read_to_string(home.path().join(format!("man/{page}.1"))).unwrap();
        assert!(text.contains(&format!(".TH {page} 1")), "{page}: {text}");
    }
    let whole = std::fs::read_to_string(home.path().join("man/barewood.1")).unwrap();
    assert_eq!(whole, home.run(&["shell", "manual"]).fine().out);
    // Every page that the first one names is there.
    for name in whole.split("barewood\\-").skip(1) {
        let name = name.split("(1)").next().unwrap().replace("\\-", "-");
        if name.chars().all(|c| c.is_ascii_lowercase() || c == '-') && name != "help" {
            assert!(
                home.path().join(format!("man/barewood-{name}.1")).exists(),
                "{name}"
            );
        }
    }
}

#[test]
fn today_is_named_as_people_name_days() {
    let home = Home::new();
    let on = |day: &str| home.run(&["swell", "--json", "--on", day]).fine().json()["on"].clone();
    // Practice has its own today: Monday 8 February 2027.
    for (said, day) in [
        ("2027-02-14", "2027-02-14"),
        ("14 feb", "2027-02-14"),
        ("sat", "2027-02-13"),
        ("tomorrow", "2027-02-09"),
        ("+3", "2027-02-11"),
        ("-1w", "2027-02-01"),
    ] {
        assert_eq!(on(said), day, "{said}");
    }
    let refused = home.run(&["due", "--on", "someday"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("--on"), "{}", refused.err);
}

/// The one-page leaflet of a release: fits a page, and names only what there is.
#[test]
fn the_leaflet_fits_a_page_and_its_commands_exist() {
    let leaflet = include_str!("../../.ci/leaflet.txt");
    assert!(leaflet.lines().count() <= 60);
    assert!(leaflet.lines().all(|l| l.chars().count() <= 80));
    let home = Home::new();
    let mut seen = 0;
    for line in leaflet.lines() {
        let Some((_, rest)) = line.split_once("barewood ") else {
            continue;
        };
        let command = rest.split("  ").next().unwrap();
        let words: Vec<&str> = command
            .split_whitespace()
            .take_while(|w| w.chars().all(|c| c.is_ascii_lowercase()))
            .collect();
        let Some(first) = words.first() else { continue };
        let known = [
            "start", "due", "review", "hours", "mix", "finish", "export", "open", "plan", "shell",
        ];
        if known.contains(first) {
            home.run(&[first, "--help"]).fine();
            seen += 1;
        }
    }
    assert!(seen >= 9, "{seen}");
}
