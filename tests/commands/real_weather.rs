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
        let said = home
            .run(&[&["weather", "add", path.to_str().unwrap()], &season[..]].concat())
            .fine();
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
