//! A look at the buds is a fact in every answer: swell command, plan, and the stages after it.

use crate::home::Home;

fn days(home: &Home, stage: &str, on: &str) -> [String; 3] {
    let args = [
        "swell",
        "--stage",
        stage,
        "--json",
        "--season",
        "season.toml",
        "--on",
        on,
    ];
    let answer = home.run(&args).fine().json();
    ["p10", "p50", "p90"].map(|k| answer["blocks"][0][k].as_str().unwrap().to_owned())
}

#[test]
fn what_was_seen_has_come_in_every_answer_and_stages_keep_their_order() {
    for on in ["2016-01-10", "2016-02-20"] {
        let (home, _) = Home::started();
        let season = ["--season", "season.toml", "--on", on];
        let read = [&["read", "buds", "51"], &season[..]].concat();
        home.run(&read).fine();
        let swell = days(&home, "swell", on);
        assert!(swell[2].as_str() <= on, "{swell:?}");
        let plan = home.run(&[&["plan"], &season[..]].concat()).fine().out;
        let said = plan.split_whitespace().collect::<Vec<_>>().join(" ");
        let range = format!("between {} and {}", swell[0], swell[2]);
        assert!(said.contains(&range), "{range}: {plan}");
        let (burst, bloom) = (days(&home, "burst", on), days(&home, "bloom", on));
        for k in 0..3 {
            assert!(
                swell[k] <= burst[k] && burst[k] <= bloom[k],
                "{burst:?} {bloom:?}"
            );
        }
        assert!(burst[0].as_str() > on, "{burst:?}");
    }
}

#[test]
fn looks_of_tomorrow_or_before_leaf_drop_are_refused_and_odd_ones_told() {
    let (home, file) = Home::started();
    let before = std::fs::read(&file).unwrap();
    let read = |bbch: &str, date: &str| {
        home.run(&[
            "read",
            "buds",
            bbch,
            "--date",
            date,
            "--season",
            "season.toml",
            "--on",
            "2016-01-10",
        ])
    };
    for date in ["2016-01-11", "2015-11-01"] {
        let ran = read("51", date);
        assert_eq!(ran.code, 2, "{}", ran.err);
    }
    assert_eq!(std::fs::read(&file).unwrap(), before, "nothing was kept");
    let odd = read("53", "2015-12-01").fine().out;
    assert!(odd.contains("1 spring in 100"), "{odd}");
    let back = read("51", "2016-01-05").fine().out;
    assert!(
        back.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("do not go back"),
        "{back}"
    );
}
