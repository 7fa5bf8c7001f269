//! What an export writes over, and what it never does; what a full disk is told.

use crate::home::Home;
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};

fn export(home: &Home, to: &str, force: bool) -> crate::home::Ran {
    let mut args = vec![
        "export",
        "csv",
        "--season",
        "season.toml",
        "--on",
        "2015-11-25",
        "--to",
        to,
    ];
    if force {
        args.push("--force");
    }
    home.run(&args)
}

#[test]
fn an_export_replaces_a_file_by_its_owners_word_alone_and_never_a_season() {
    let (home, file) = Home::started();
    let season = fs::read_to_string(&file).unwrap();
    export(&home, "r.csv", false).fine();
    fs::write(home.path().join("r.csv"), "mine").unwrap();
    let refused = export(&home, "r.csv", false);
    assert_eq!(refused.code, 3);
    assert!(refused.err.contains("--force"), "{}", refused.err);
    assert_eq!(
        fs::read_to_string(home.path().join("r.csv")).unwrap(),
        "mine"
    );
    // A link is followed, mode kept.
    let real = home.path().join("real.csv");
    fs::write(&real, "mine").unwrap();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o600)).unwrap();
    symlink("real.csv", home.path().join("link.csv")).unwrap();
    export(&home, "link.csv", true).fine();
    assert!(
        fs::symlink_metadata(home.path().join("link.csv"))
            .unwrap()
            .is_symlink()
    );
    assert!(fs::read_to_string(&real).unwrap().contains("date"));
    assert_eq!(
        fs::metadata(&real).unwrap().permissions().mode() & 0o777,
        0o600
    );
    // Never a season, whatever it is called, nor a broken one.
    fs::copy(&file, home.path().join("copy.csv")).unwrap();
    fs::write(home.path().join("broken.toml"), format!("{season}\nx = [")).unwrap();
    for to in ["season.toml", "copy.csv", "broken.toml"] {
        for force in [false, true] {
            let refused = export(&home, to, force);
            assert_eq!(refused.code, 3, "{to}");
            assert!(refused.err.contains("is a season"), "{}", refused.err);
        }
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), season);
    for to in ["/dev/null", "/dev/full", "/dev/stdout"] {
        let refused = export(&home, to, true);
        assert_eq!(refused.code, 3, "{to}: {}", refused.out);
    }
    fs::create_dir(home.path().join("folder")).unwrap();
    assert_eq!(export(&home, "folder", true).code, 3);
}

#[test]
fn a_full_disk_on_standard_output_is_an_error_of_every_answer() {
    if !std::path::Path::new("/dev/full").exists() {
        println!("SKIPPED: there is no full device here");
        return;
    }
    let (home, _) = Home::started();
    for args in [
        &["plan"][..],
        &["check"],
        &["check", "--records"],
        &["swell"],
        &["review"],
        &["coverage"],
        &["buy"],
        &["shed"],
        &["history"],
        &["mix", "first-copper"],
        &["export", "csv"],
        &["export", "ics"],
        &["plan", "--json"],
        &["--pages", "plan"],
        &["shell", "manual"],
        &["shell", "keys"],
        &["versions"],
        &["--help"],
        &["--version"],
    ] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let output = std::process::Command::new(assert_cmd::cargo::cargo_bin("barewood"))
            .env_clear()
            .env("HOME", home.path())
            .current_dir(home.path())
            .args(args)
            .args(if args[0].starts_with("--v") || args[0] == "--help" {
                &[][..]
            } else {
                &["--season", "season.toml", "--on", "2015-11-25"]
            })
            .stdout(full)
            .output()
            .unwrap();
        let err = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(3), "{args:?}: {err}");
        assert!(
            err.contains("could not write the answer"),
            "{args:?}: {err}"
        );
    }
}

#[test]
fn a_version_that_cannot_be_kept_is_told() {
    let (home, _) = Home::started();
    fs::write(home.path().join("season.toml.backups"), "in the way").unwrap();
    let moved = home
        .run(&[
            "move",
            "first-copper",
            "+1",
            "--season",
            "season.toml",
            "--on",
            "2015-11-25",
        ])
        .fine();
    assert!(
        moved.err.contains("the version before could not be kept"),
        "{}",
        moved.err
    );
}

#[test]
fn a_pipe_among_the_weather_files_is_told_and_hangs_nothing() {
    let (home, file) = Home::started();
    let pipe = home.path().join("pw.csv");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    if !made.is_ok_and(|s| s.success()) {
        println!("SKIPPED: no mkfifo here");
        return;
    }
    let text = fs::read_to_string(&file).unwrap();
    let named = |name: &str| {
        let daily = format!("\n[weather]\ndaily = [\"{name}\"]\n");
        let text = if text.contains("\n[weather]\n") {
            text.replacen("\n[weather]\n", &daily, 1)
        } else {
            format!("{text}{daily}")
        };
        fs::write(&file, text).unwrap();
        home.run(&["plan", "--season", "season.toml", "--on", "2015-11-25"])
    };
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = named("pw.csv");
    assert!(
        one_line(&said.out).contains("is no plain file"),
        "{}",
        said.out
    );
    // Nor does a link lead out of the folder.
    symlink("/etc/hostname", home.path().join("link.csv")).unwrap();
    let said = named("link.csv");
    assert!(said.out.contains("allow_outside"), "{}", said.out);
}

#[test]
fn a_title_without_end_is_cut_in_a_calendar() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    let long = "x".repeat(1_000_000);
    let text = text.replacen("title = \"", &format!("title = \"{long}"), 1);
    assert!(text.len() > 1_000_000, "no title in the season");
    fs::write(&file, text).unwrap();
    let begun = std::time::Instant::now();
    let ics = home
        .run(&[
            "export",
            "ics",
            "--season",
            "season.toml",
            "--on",
            "2015-11-25",
        ])
        .fine();
    assert!(ics.out.len() < 200_000);
    assert!(begun.elapsed() < std::time::Duration::from_secs(20));
}

#[test]
fn a_limit_of_file_sizes_is_told_and_leaves_nothing_half_done() {
    let (home, file) = Home::started();
    let before = fs::read_to_string(&file).unwrap();
    let program = assert_cmd::cargo::cargo_bin("barewood");
    let output = std::process::Command::new("/bin/sh")
        .args([
            "-c",
            &format!(
                "ulimit -f 1; exec {} move first-copper +1 --season season.toml --on 2015-11-25",
                program.display()
            ),
        ])
        .env_clear()
        .env("HOME", home.path())
        .current_dir(home.path())
        .output()
        .unwrap();
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(3), "{err}");
    assert!(err.contains("could not save"), "{err}");
    assert_eq!(fs::read_to_string(&file).unwrap(), before);
    let left: Vec<String> = fs::read_dir(home.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|n| n.contains(".tmp") || n.contains(".lock"))
        .collect();
    assert_eq!(left, Vec::<String>::new());
}
