//! The hindcast as the command runs it: files in, rows or scores out.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::string_slice,
    missing_docs
)]

#[path = "common/shared.rs"]
mod shared;

use std::fs;
use std::path::Path;

use barewood::cli::hindcast::{HindcastArgs, OutputForm, run};
use serde_json::Value;

fn args(observations: &Path, temperatures: &Path, stations: &Path) -> HindcastArgs {
    HindcastArgs {
        observations: observations.to_owned(),
        temperatures: temperatures.to_owned(),
        stations: stations.to_owned(),
        predict: None,
        form: OutputForm::Json,
    }
}

fn json(args: &HindcastArgs) -> Value {
    let mut out = Vec::new();
    let mut last = 0.0;
    run(args, &mut out, &mut |share, _| last = share).unwrap();
    assert!(last > 0.99, "progress ends at the end, not at {last}");
    serde_json::from_slice(&out).unwrap()
}

fn pooled(scores: &Value, issue: &str) -> Value {
    let rows = scores["scores"].as_array().unwrap();
    let all = |r: &&Value| {
        r["issue"] == issue
            && ["species", "stage", "site", "cultivar"]
                .iter()
                .all(|k| r[*k] == "")
    };
    rows.iter().find(all).unwrap().clone()
}

/// Bloom dates and temperatures of E. Luedeling, L. Caspersen and others 2024, bonndata,
/// doi 10.60507/FK2/MZIELI: the cherries at one site, every issue day.
#[test]
fn cherries_beat_the_calendar_and_ranges_hold() {
    let Some(data) = shared::shared_or_skip("data") else {
        return;
    };
    let here = tempfile::tempdir().unwrap();
    let all = fs::read_to_string(data.join("bloom.csv")).unwrap();
    let some: Vec<&str> = all
        .lines()
        .enumerate()
        .filter(|(i, l)| *i == 0 || l.starts_with("sweet cherry,"))
        .map(|(_, l)| l)
        .collect();
    let observations = here.path().join("cherries.csv");
    fs::write(&observations, some.join("\n")).unwrap();
    let result = json(&args(
        &observations,
        &data.join("temperatures"),
        &data.join("stations.csv"),
    ));
    assert_eq!(result["unanswered"], 0);
    let number = |row: &Value, key: &str| row[key].as_f64().unwrap();
    let season = pooled(&result, "season known");
    assert_eq!(season["n"].as_u64().unwrap() as usize, some.len() - 1);
    assert!(
        number(&season, "rmse") < 0.75 * number(&season, "calendar_rmse"),
        "{season}"
    );
    let mut before = f64::INFINITY;
    for issue in ["01-01", "02-15", "03-01"] {
        let row = pooled(&result, issue);
        assert!(
            number(&row, "crps") < number(&row, "calendar_crps"),
            "{row}"
        );
        assert!((0.7..=0.9).contains(&number(&row, "coverage")), "{row}");
        assert!(number(&row, "crps") < before + 0.05, "{row}");
        before = number(&row, "crps");
    }
}

/// The same source: what is wanted must not be answered from itself, and temperatures after the
/// issue day must not matter.
#[test]
fn neither_the_wanted_spring_nor_later_weather_leaks_in() {
    let Some(data) = shared::shared_or_skip("data") else {
        return;
    };
    let here = tempfile::tempdir().unwrap();
    let all = fs::read_to_string(data.join("bloom.csv")).unwrap();
    let plums: Vec<String> = all
        .lines()
        .filter(|l| l.starts_with("european plum,"))
        .map(str::to_owned)
        .collect();
    let header = all.lines().next().unwrap();
    let wanted = here.path().join("wanted.csv");
    fs::write(
        &wanted,
        "species,cultivar,site,stage,year,issue_on\n\
         european plum,Katinka,Klein-Altendorf,full bloom,2010,2010-02-15\n\
         european plum,Unheard Of,Klein-Altendorf,full bloom,2010,2010-02-15\n\
         quandong,,Klein-Altendorf,full bloom,2010,\n",
    )
    .unwrap();
    let temperatures = fs::read_to_string(data.join("temperatures/klein-altendorf.csv")).unwrap();
    let answers = |dates: &[String], weather: &str| {
        let observations = here.path().join("plums.csv");
        fs::write(&observations, format!("{header}\n{}\n", dates.join("\n"))).unwrap();
        fs::write(here.path().join("klein-altendorf.csv"), weather).unwrap();
        let mut args = args(&observations, here.path(), &data.join("stations.csv"));
        args.predict = Some(wanted.clone());
        json(&args)["rows"].clone()
    };
    let plain = answers(&plums, &temperatures);
    assert!(plain[0]["p10"].as_str().unwrap() < plain[0]["p50"].as_str().unwrap());
    assert!(
        plain[1]["p50"].is_string(),
        "an unheard-of cultivar is answered by its species"
    );
    assert!(plain[2]["p50"].is_null(), "an unheard-of species is not");
    // That spring's own dates moved by a month: no difference.
    let moved: Vec<String> = plums
        .iter()
        .map(|l| {
            l.replace("2010-04-", "2010-05-")
                .replace("2010-03-", "2010-05-")
        })
        .collect();
    assert_ne!(moved, plums);
    assert_eq!(plain, answers(&moved, &temperatures));
    // A hot spell after the issue day: no difference to what is asked on that day.
    let hot: String = temperatures
        .lines()
        .map(|l| {
            if l.starts_with("2010-03-") {
                format!("{},15.0,28.0\n", &l[..10])
            } else {
                format!("{l}\n")
            }
        })
        .collect();
    assert_eq!(plain[0], answers(&plums, &hot)[0]);
    // The same before it: there is.
    let warm: String = temperatures
        .lines()
        .map(|l| {
            if l.starts_with("2010-02-0") {
                format!("{},12.0,20.0\n", &l[..10])
            } else {
                format!("{l}\n")
            }
        })
        .collect();
    assert_ne!(plain[0], answers(&plums, &warm)[0]);
}

/// The same source: cherries at a place of which no date is known, from a single other place.
#[test]
fn a_place_never_seen_is_answered_widely() {
    let Some(data) = shared::shared_or_skip("data") else {
        return;
    };
    let here = tempfile::tempdir().unwrap();
    let all = fs::read_to_string(data.join("bloom.csv")).unwrap();
    let header = all.lines().next().unwrap();
    let cherries: Vec<Vec<&str>> = all
        .lines()
        .filter(|l| l.starts_with("sweet cherry,") && l.contains(",full bloom,"))
        .map(|l| l.split(',').collect())
        .collect();
    let at = |site: &str| -> Vec<String> {
        let rows = cherries.iter().filter(|row| row[2] == site);
        rows.map(|row| row.join(",")).collect()
    };
    let (north, south) = (at("Klein-Altendorf"), at("Zaragoza"));
    let wanted = here.path().join("wanted.csv");
    fs::write(&wanted, format!("{header}\n{}\n", south.join("\n"))).unwrap();
    let width = |dates: &[String]| {
        let observations = here.path().join("cherries.csv");
        fs::write(&observations, format!("{header}\n{}\n", dates.join("\n"))).unwrap();
        let mut args = args(
            &observations,
            &data.join("temperatures"),
            &data.join("stations.csv"),
        );
        args.predict = Some(wanted.clone());
        let rows = json(&args)["rows"].clone();
        let day = |row: &Value, key: &str| {
            chrono::NaiveDate::parse_from_str(row[key].as_str().unwrap(), "%Y-%m-%d").unwrap()
        };
        let mut widths = Vec::new();
        let mut held = 0;
        for (row, seen) in rows.as_array().unwrap().iter().zip(&south) {
            let seen = seen.split(',').next_back().unwrap().parse().unwrap();
            widths.push((day(row, "p90") - day(row, "p10")).num_days() as f64);
            held += usize::from((day(row, "p10")..=day(row, "p90")).contains(&seen));
        }
        let count = widths.len() as f64;
        (widths.iter().sum::<f64>() / count, held as f64 / count)
    };
    let own: Vec<String> = north.iter().chain(&south).cloned().collect();
    let ((stranger, stranger_held), (known, known_held)) = (width(&north), width(&own));
    assert!(stranger > 1.5 * known, "{stranger} against {known} days");
    assert!(
        stranger_held > 0.6 && known_held > 0.7,
        "{stranger_held}, {known_held}"
    );
}

#[test]
fn wrong_tables_are_named_with_line_and_remedy() {
    let here = tempfile::tempdir().unwrap();
    let observations = here.path().join("obs.csv");
    let stations = here.path().join("stations.csv");
    fs::write(&stations, "station,country,lat,lon\nHill,XX,95,0\n").unwrap();
    let told = |text: &str| {
        fs::write(&observations, text).unwrap();
        let args = args(&observations, here.path(), &stations);
        run(&args, &mut Vec::new(), &mut |_, _| {})
            .unwrap_err()
            .to_string()
    };
    let no_column = told("species,site,stage,year,date\n");
    assert!(no_column.contains("no column \"cultivar\""), "{no_column}");
    let head = "species,cultivar,site,stage,year,date\n";
    let bad_date = told(&format!("{head}apple,,Hill,bloom,2020,2020-02-30\n"));
    assert!(
        bad_date.contains("line 2") && bad_date.contains("2020-02-30"),
        "{bad_date}"
    );
    let off_earth = told(&format!("{head}apple,,Hill,bloom,2020,2020-04-20\n"));
    assert!(off_earth.contains("latitude 95"), "{off_earth}");
    let missing = run(
        &args(Path::new("/nowhere/obs.csv"), here.path(), &stations),
        &mut Vec::new(),
        &mut |_, _| {},
    );
    assert!(
        missing
            .unwrap_err()
            .to_string()
            .contains("/nowhere/obs.csv")
    );
}

/// Records without any date or place of use give an answer of nothing, not a fault.
#[test]
fn an_empty_table_is_answered_by_nothing() {
    let here = tempfile::tempdir().unwrap();
    let observations = here.path().join("obs.csv");
    let stations = here.path().join("stations.csv");
    fs::write(&stations, "station,country,lat,lon\n").unwrap();
    fs::write(&observations, "species,cultivar,site,stage,year,date\n").unwrap();
    let mut out = Vec::new();
    run(
        &args(&observations, here.path(), &stations),
        &mut out,
        &mut |_, _| {},
    )
    .unwrap();
    let result: Value = serde_json::from_slice(&out).unwrap();
    assert_eq!(result["scores"].as_array().unwrap().len(), 0);
}
