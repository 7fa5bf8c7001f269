//! Real stations through import and estimate. The data stays where it is: its
//! licence of redistribution was not confirmed (sources in its own README).

use crate::home::Home;
use crate::shared::shared_or_skip;

#[test]
fn two_real_stations_go_through_import_and_estimate() {
    let Some(data) = shared_or_skip("data") else {
        return;
    };
    let (home, _) = Home::started();
    let season = ["--season", "season.toml", "--on", "2016-02-01"];
    for (file, missing) in [
        ("temperatures/zaragoza.csv", false),
        ("korea/temperatures/seoul.csv", true),
    ] {
        let path = data.join(file);
        let mut add = vec!["weather", "add", path.to_str().unwrap()];
        if missing {
            // Seoul's winters are not Zaragoza's: it is not taken without a word.
            let said = home.run(&[&add[..], &season[..]].concat());
            assert_eq!(said.code, 2, "{}{}", said.out, said.err);
            assert!(said.err.contains("of another place"), "{}", said.err);
            add.push("--anyway");
        }
        let said = home.run(&[&add[..], &season[..]].concat()).fine();
        assert_eq!(
            said.out.contains("missing"),
            missing,
            "gaps are told: {}",
            said.out
        );
    }
    let answer = home
        .run(&[&["swell", "--json"], &season[..]].concat())
        .fine()
        .json();
    for block in answer["blocks"].as_array().unwrap() {
        assert_eq!(
            block["data_through"], "2016-02-01",
            "nothing after today is believed: {block}"
        );
        assert!(block["members"].as_u64().unwrap() >= 30, "{block}");
    }
}

/// Zaragoza's open daily archive (see the README beside the data): a plan made with the
/// temperatures of the place hangs on the swell they suggest, not on latitude alone.
#[test]
fn a_plan_made_with_temperatures_hangs_on_them() {
    let Some(file) = shared_or_skip("data/temperatures/zaragoza.csv") else {
        return;
    };
    let home = Home::new();
    let start = |name: &str, weather: &[&str]| {
        let mut args = vec![
            "start",
            "--yes",
            "--latitude",
            "41.65",
            "--longitude",
            "-0.88",
            "--zone",
            "Europe/Madrid",
            "--leaf-drop",
            "2015-11-20",
            "--block",
            "peach::6",
            "--on",
            "2015-11-25",
            "--season",
            name,
        ];
        args.extend(weather);
        home.run(&args).fine()
    };
    start("plain.toml", &[]);
    let made = start("fed.toml", &["--weather", file.to_str().unwrap()]);
    assert!(made.out.contains("Kept as zaragoza.days"), "{}", made.out);
    let gap = |name: &str| {
        let due = home
            .run(&["swell", "--json", "--on", "2015-11-25", "--season", name])
            .json();
        let p10: chrono::NaiveDate = due["blocks"][0]["p10"].as_str().unwrap().parse().unwrap();
        let text = std::fs::read_to_string(home.path().join(name)).unwrap();
        let season: toml::Table = toml::from_str(&text).unwrap();
        let last = season["task"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|t| t["kind"].as_str() == Some("spray"))
            .map(|t| t["date"].to_string().parse::<chrono::NaiveDate>().unwrap())
            .max()
            .unwrap();
        (p10 - last).num_days()
    };
    // A plan keeps the same distance from the early edge of the estimate it was made with.
    let fed = gap("fed.toml");
    let plain = gap("plain.toml");
    assert!((fed - plain).abs() <= 2, "{fed} and {plain} days");
    assert!(
        (0..60).contains(&fed),
        "last spray {fed} days before early swell"
    );
    // Made without and not touched, it follows when the temperatures come.
    let add = |season: &str| {
        home.run(&[
            "weather",
            "add",
            file.to_str().unwrap(),
            "--season",
            season,
            "--on",
            "2015-11-25",
        ])
        .fine()
    };
    let added = add("plain.toml");
    assert!(added.out.contains("laid out anew"), "{}", added.out);
    assert!((gap("plain.toml") - fed).abs() <= 2);
    // One that its owner has touched stays as it is.
    start("own.toml", &[]);
    let moved = [
        "move",
        "prune",
        "2016-01-20",
        "--season",
        "own.toml",
        "--on",
        "2015-11-25",
    ];
    if home.run(&moved).code != 0 {
        home.run(&[
            "move",
            "calibrate",
            "2016-01-20",
            "--season",
            "own.toml",
            "--on",
            "2015-11-25",
        ])
        .fine();
    }
    let added = add("own.toml");
    assert!(!added.out.contains("laid out anew"), "{}", added.out);
}
