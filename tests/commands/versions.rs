//! The way back: versions listed, compared, restored; another copy joined; a merge driver of git.

use crate::home::{Home, Ran};
use std::fs;

const AT: [&str; 4] = ["--season", "season.toml", "--on", "2015-11-25"];

fn run(home: &Home, args: &[&str]) -> Ran {
    home.run(&[args, &AT[..]].concat())
}

#[test]
fn versions_are_listed_compared_and_restored() {
    let (home, file) = Home::started();
    assert!(
        run(&home, &["versions"])
            .fine()
            .out
            .contains("No earlier versions")
    );
    let first = fs::read_to_string(&file).unwrap();
    run(&home, &["move", "first-copper", "+3"]).fine();
    run(&home, &["read", "leaf-drop", "2015-11-22"]).fine();
    let listed = run(&home, &["versions"]).fine().out;
    assert_eq!(listed.matches(" until ").count(), 2, "{listed}");
    assert!(
        listed.contains("first-copper") && listed.contains("move"),
        "{listed}"
    );
    assert!(listed.lines().all(|l| l.chars().count() <= 80), "{listed}");
    let shown = run(&home, &["versions", "show", "2"]).fine().out;
    assert!(shown.contains("task first-copper date: "), "{shown}");
    assert!(shown.contains("leaf_drop_seen"), "{shown}");
    let between = run(&home, &["versions", "show", "2", "1"]).fine().out;
    assert!(!between.contains("leaf_drop_seen"), "{between}");
    run(&home, &["versions", "restore", "2"]).fine();
    assert_eq!(fs::read_to_string(&file).unwrap(), first);
    // The way back is a version as well.
    run(&home, &["versions", "restore", "1"]).fine();
    assert!(
        fs::read_to_string(&file)
            .unwrap()
            .contains("leaf_drop_seen = 2015-11-22")
    );
    for wrong in ["99", "yesterday-ish", "0"] {
        let said = run(&home, &["versions", "show", wrong]);
        assert_eq!(said.code, 2, "{wrong}");
        assert!(said.err.contains("barewood versions lists them"));
    }
}

#[test]
fn times_of_versions_are_those_of_the_orchards_clock_whatever_the_hosts() {
    use barewood::domain::zone::Zone;
    use barewood::store::{backups, disk::RealDisk};
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    // Never the clock of the machine that runs this.
    let far = text.replace("Europe/Madrid", "Pacific/Auckland");
    assert_ne!(far, text);
    fs::write(&file, far).unwrap();
    run(&home, &["move", "first-copper", "+3"]).fine();
    run(&home, &["move", "first-copper", "+3"]).fine();
    let zone: Zone = "Pacific/Auckland".parse().unwrap();
    for backup in backups::list(&RealDisk, &file) {
        let there = backup.replaced.and_utc().with_timezone(&zone);
        let listed = run(&home, &["versions"]).fine().out;
        let told = there.format("until %a %-d %b %H:%M:%S").to_string();
        assert!(listed.contains(&told), "{told}: {listed}");
    }
    // Found by that clock as well.
    let oldest = backups::list(&RealDisk, &file).pop().unwrap().replaced;
    let before = (oldest - chrono::TimeDelta::minutes(1))
        .and_utc()
        .with_timezone(&zone);
    let named = before.format("%Y-%m-%dT%H:%M:%S").to_string();
    let by_time = run(&home, &["versions", "show", &named]).fine().out;
    let by_number = run(&home, &["versions", "show", "2"]).fine().out;
    assert_eq!(by_time, by_number);
}

#[test]
fn restoring_takes_records_back_and_never_out() {
    let (home, file) = Home::started();
    run(&home, &["finish", "first-copper", "--who", "A. Grower"]).fine();
    run(&home, &["versions", "restore", "1"]).fine();
    let text = fs::read_to_string(&file).unwrap();
    let season = barewood::store::season_file::read(&text, "s")
        .unwrap()
        .season;
    assert_eq!(
        season.records.len(),
        2,
        "the record, and one that takes it back"
    );
    assert_eq!(barewood::domain::records::current(&season).count(), 0);
    assert_eq!(barewood::domain::records::integrity(&season, &[]), []);
    assert!(
        season
            .tasks
            .iter()
            .any(|t| t.id.as_str() == "first-copper" && t.state.is_open())
    );
}

#[test]
fn another_copy_is_joined_item_by_item() {
    let (home, file) = Home::started();
    run(&home, &["move", "first-copper", "+1"]).fine();
    let other = home.path().join("season (conflicted copy).toml");
    fs::copy(&file, &other).unwrap();
    let text = fs::read_to_string(&other).unwrap();
    fs::write(&other, text.replace("41.65", "41.66")).unwrap();
    run(&home, &["move", "winterise", "+1"]).fine();
    let name = other.to_str().unwrap();
    let joined = run(&home, &["merge", name]);
    assert_eq!(joined.code, 0, "{}{}", joined.out, joined.err);
    assert!(joined.out.contains("latitude"), "{}", joined.out);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("41.66"), "theirs");
    let again = run(&home, &["merge", name]).fine();
    assert!(again.out.contains("Nothing to join"), "{}", again.out);
    // Where both changed one thing it is told, and the season's own stands.
    fs::write(&other, text.replace("41.66", "41.70")).unwrap();
    fs::write(&file, text.replace("41.66", "41.68")).unwrap();
    let base = home.path().join("base.toml");
    fs::write(&base, &text).unwrap();
    let collided = run(&home, &["merge", name, "--base", "base.toml"]);
    assert_eq!(collided.code, 1, "{}{}", collided.out, collided.err);
    assert!(
        collided.out.contains("here 41.68, there 41.7"),
        "{}",
        collided.out
    );
    assert!(fs::read_to_string(&file).unwrap().contains("41.68"));
    run(&home, &["merge", name, "--base", "base.toml", "--theirs"]);
    assert!(fs::read_to_string(&file).unwrap().contains("41.7"));
}

#[test]
fn two_copies_nobody_knows_the_beginning_of_lose_nothing() {
    let (home, file) = Home::started();
    let other = home.path().join("other.toml");
    fs::copy(&file, &other).unwrap();
    let read = |file: &str, note: &str| {
        home.run(&[
            "read",
            "degree-days",
            "95",
            "--base",
            "43F",
            "--since",
            "2015-11-21",
            "--note",
            note,
            "--season",
            file,
            "--on",
            "2015-12-01",
        ])
        .fine();
    };
    read("season.toml", "mine");
    read("other.toml", "theirs");
    home.run(&[
        "finish",
        "first-copper",
        "--who",
        "A",
        "--season",
        "season.toml",
        "--on",
        "2015-11-25",
    ])
    .fine();
    home.run(&[
        "finish",
        "first-copper",
        "--who",
        "B",
        "--season",
        "other.toml",
        "--on",
        "2015-11-25",
    ])
    .fine();
    fs::remove_dir_all(home.path().join("season.toml.backups")).unwrap();
    run(&home, &["merge", "other.toml"]);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("mine") && text.contains("theirs"), "{text}");
    let season = barewood::store::season_file::read(&text, "s")
        .unwrap()
        .season;
    assert_eq!(season.records.len(), 2);
    assert_eq!(barewood::domain::records::integrity(&season, &[]), []);
}

#[test]
fn it_is_a_merge_driver_of_git() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    let at = |name: &str, text: &str| fs::write(home.path().join(name), text).unwrap();
    at("O", &text);
    at("A", &text.replace("41.65", "41.66"));
    at("B", &text.replace("-0.88", "-0.89"));
    home.run(&["merge", "--driver", "O", "A", "B"]).fine();
    let joined = fs::read_to_string(home.path().join("A")).unwrap();
    assert_eq!(
        joined,
        text.replace("41.65", "41.66").replace("-0.88", "-0.89")
    );
    at("A", &text.replace("41.65", "41.66"));
    at("B", &text.replace("41.65", "41.67"));
    let collided = home.run(&["merge", "--driver", "O", "A", "B"]);
    assert_eq!(collided.code, 1);
    assert!(collided.err.contains("latitude"), "{}", collided.err);
    // And by git itself, where it is here.
    let git = |line: &str| {
        let program = assert_cmd::cargo::cargo_bin("barewood");
        std::process::Command::new("/bin/sh")
            .args([
                "-c",
                &format!("set -e; {line}").replace("PROGRAM", program.to_str().unwrap()),
            ])
            .env_clear()
            .env("HOME", home.path())
            .env("PATH", "/usr/bin:/bin")
            .current_dir(home.path())
            .output()
            .unwrap()
    };
    if !git("git --version").status.success() {
        println!("SKIPPED: there is no git here");
        return;
    }
    let ran = git(
        "mkdir repo; cd repo; git init -q -b main .; git config user.name a; git config user.email a@example.org; \
         git config merge.barewood.driver 'PROGRAM merge --driver %O %A %B'; \
         echo '*.toml merge=barewood' > .gitattributes; cp ../O s.toml; git add -A; git commit -qm a; \
         git checkout -qb other; sed -i 's/41.65/41.66/' s.toml; git commit -qam b; \
         git checkout -q main; sed -i 's/Test hill/Test hill two/' s.toml; git commit -qam c; \
         git merge -q other -m d; cat s.toml",
    );
    let out = String::from_utf8_lossy(&ran.stdout).into_owned();
    assert!(
        ran.status.success(),
        "{out}{}",
        String::from_utf8_lossy(&ran.stderr)
    );
    assert!(
        out.contains("41.66") && out.contains("Test hill two"),
        "{out}"
    );
}
