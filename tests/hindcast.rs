//! The hindcast as the command runs it: files in, rows or scores out.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::string_slice,
    missing_docs
)]

#[path = "common/shared.rs"]
mod shared;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use barewood::cli::hindcast::{HindcastArgs, OutputForm, run};
use barewood::domain::phenology::hindcast::Walker;
use chrono::NaiveDate;
use serde_json::Value;

fn args(observations: &Path, temperatures: &Path, stations: &Path) -> HindcastArgs {
    HindcastArgs {
        observations: observations.to_owned(),
        temperatures: temperatures.to_owned(),
        stations: stations.to_owned(),
        predict: None,
        form: OutputForm::Json,
        shipped: None,
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
            NaiveDate::parse_from_str(row[key].as_str().unwrap(), "%Y-%m-%d").unwrap()
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

/// A table of observations for one series, every spring of it, and the rows of a shipped answer.
fn shipped_rows(
    data: &Path,
    table: &str,
    wanted: &[String],
    walker: Walker,
) -> Vec<(i32, String, NaiveDate, NaiveDate, NaiveDate)> {
    let here = tempfile::tempdir().unwrap();
    let file = here.path().join("wanted.csv");
    let head = "species,cultivar,site,stage,year,issue_on";
    fs::write(&file, format!("{head}\n{}\n", wanted.join("\n"))).unwrap();
    let mut args = args(
        &data.join(table),
        &data.join("temperatures"),
        &data.join("stations.csv"),
    );
    args.predict = Some(file);
    args.shipped = Some(walker);
    let rows = json(&args)["rows"].as_array().unwrap().clone();
    rows.iter()
        .map(|row| {
            let day = |key: &str| row[key].as_str().unwrap().parse().unwrap();
            let year = row["year"].as_i64().unwrap() as i32;
            let stage = row["stage"].as_str().unwrap().to_owned();
            (year, stage, day("p10"), day("p50"), day("p90"))
        })
        .collect()
}

/// Days seen of one series in a table of the shared folder, by spring.
fn seen_in(table: &Path, start: &str, stage: &str) -> BTreeMap<i32, NaiveDate> {
    let text = fs::read_to_string(table).unwrap();
    let rows = text.lines().filter(|l| l.starts_with(start));
    rows.map(|l| l.split(',').collect::<Vec<_>>())
        .filter(|f| f[3] == stage)
        .map(|f| (f[5].parse().unwrap(), f[6].parse().unwrap()))
        .collect()
}

/// First green against first bloom seen. Published: Fuji at Kuroishi 31 to 39 d; green tip to full
/// bloom 31 d (17 to 50) over 38 springs at Sparta, Michigan; Pennsylvania 28 to 36 d (sources in
/// the chain's gaps). Bloom dates: Luedeling, Caspersen and others 2024.
#[test]
fn first_green_keeps_its_published_distance_from_bloom_in_cold_and_warm_winters() {
    let Some(data) = shared::shared_or_skip("data") else {
        return;
    };
    let gaps = |folder: &Path, table: &str, site: &str, species: &str, start: &str, stage: &str| {
        let bloom = seen_in(&folder.join(table), start, stage);
        let wanted: Vec<String> = bloom
            .keys()
            .map(|year| format!("{species},,{site},bud burst,{year},"))
            .collect();
        let rows = shipped_rows(folder, table, &wanted, Walker::Newcomer);
        let gaps: Vec<f64> = rows
            .iter()
            .map(|(year, _, _, p50, _)| (bloom[year] - *p50).num_days() as f64)
            .collect();
        let n = gaps.len() as f64;
        let mean = gaps.iter().sum::<f64>() / n;
        let sd = (gaps.iter().map(|g| (g - mean).powi(2)).sum::<f64>() / n).sqrt();
        println!("{species} at {site}: {mean:.1} d, {sd:.1} between {n} springs");
        (mean, sd)
    };
    let north = |species: &str, start: &str, stage: &str| {
        gaps(&data, "bloom.csv", "Klein-Altendorf", species, start, stage)
    };
    let (apple, spread) = north("apple", "apple,Golden Delicious,Klein", "first bloom");
    assert!((24.0..=38.0).contains(&apple), "{apple}");
    assert!(spread >= 4.0, "{spread}");
    let (cherry, _) = north("sweet cherry", "sweet cherry,", "first bloom");
    assert!((20.0..=34.0).contains(&cherry), "{cherry}");
    let morocco = data.join("morocco");
    let (warm, _) = gaps(
        &morocco,
        "stages.csv",
        "Meknes",
        "apple",
        "apple,",
        "first bloom",
    );
    assert!(warm <= apple - 5.0, "{warm} against {apple}");
}

/// Every answer of the program, newcomer's and owner's: stages in order at every edge of the range.
#[test]
fn the_fits_in_the_program_answer_swell_burst_and_bloom_in_order() {
    let Some(data) = shared::shared_or_skip("data/korea") else {
        return;
    };
    let stages = ["bud swell", "bud burst", "first bloom", "full bloom"];
    for walker in [Walker::Newcomer, Walker::Owner] {
        for species in ["peach", "yoshino cherry", "apple", "almond"] {
            for (year, issue) in [(1999, ""), (2008, "2008-02-01"), (2015, "2015-03-15")] {
                let wanted: Vec<String> = stages
                    .iter()
                    .map(|stage| format!("{species},,Seoul,{stage},{year},{issue}"))
                    .collect();
                let rows = shipped_rows(&data, "stages.csv", &wanted, walker);
                assert_eq!(rows.len(), 4);
                for pair in rows.windows(2) {
                    let ((_, a, a10, a50, a90), (_, b, b10, b50, b90)) = (&pair[0], &pair[1]);
                    assert!(
                        a10 <= b10 && a50 < b50 && a90 <= b90,
                        "{species} {year}: {a} and {b}"
                    );
                }
            }
        }
    }
}

/// A place's weather is taken only up to the issue day, and only earlier springs lend theirs.
#[test]
fn what_came_after_the_issue_day_changes_no_shipped_answer() {
    let Some(data) = shared::shared_or_skip("data") else {
        return;
    };
    let here = tempfile::tempdir().unwrap();
    let file = "klein-altendorf.csv";
    let text = fs::read_to_string(data.join("temperatures").join(file)).unwrap();
    let until = |last: &str| -> String {
        let kept = text.lines().enumerate();
        let kept = kept.filter(|(i, l)| *i == 0 || &l[..10] <= last);
        kept.map(|(_, l)| format!("{l}\n")).collect()
    };
    fs::create_dir(here.path().join("temperatures")).unwrap();
    fs::write(
        here.path().join("temperatures").join(file),
        until("1990-02-15"),
    )
    .unwrap();
    for name in ["stations.csv", "bloom.csv"] {
        fs::copy(data.join(name), here.path().join(name)).unwrap();
    }
    let wanted = vec!["apple,,Klein-Altendorf,bud swell,1990,1990-02-15".to_owned()];
    let of = |folder: &Path| shipped_rows(folder, "bloom.csv", &wanted, Walker::Newcomer);
    assert_eq!(of(&data), of(here.path()));
}

/// The carried table is what the records give, and what the page of figures says was measured is
/// what the program answers. Data as named in `data/README` of the shared folder.
#[test]
fn carried_fits_and_shown_figures_are_those_of_the_records() {
    let Some(data) = shared::shared_or_skip("data/japan") else {
        return;
    };
    let data = data.parent().unwrap();
    let here = tempfile::tempdir().unwrap();
    fs::create_dir(here.path().join("temperatures")).unwrap();
    let mut rows = vec!["species,cultivar,site,stage,bbch,year,date".to_owned()];
    let mut stations = vec!["station,country,lat,lon".to_owned()];
    for (folder, table) in [
        ("", "bloom.csv"),
        ("korea", "stages.csv"),
        ("japan", "stages.csv"),
        ("morocco", "stages.csv"),
        ("beijing", "stages.csv"),
    ] {
        let from = data.join(folder);
        let lines = |path: PathBuf| -> Vec<String> {
            let text = fs::read_to_string(path).unwrap();
            text.lines().skip(1).map(str::to_owned).collect()
        };
        rows.extend(lines(from.join(table)));
        let of = lines(from.join("stations.csv"));
        stations.extend(
            of.iter()
                .map(|l| l.split(',').take(4).collect::<Vec<_>>().join(",")),
        );
        for file in fs::read_dir(from.join("temperatures")).unwrap() {
            let file = file.unwrap();
            let to = here.path().join("temperatures").join(file.file_name());
            fs::copy(file.path(), to).unwrap();
        }
    }
    let head = rows[0].clone();
    let thin: Vec<String> = std::iter::once(head)
        .chain(rows[1..].iter().step_by(THINNED).cloned())
        .collect();
    let (observations, sites) = (
        here.path().join("dates.csv"),
        here.path().join("stations.csv"),
    );
    fs::write(&observations, thin.join("\n")).unwrap();
    fs::write(&sites, stations.join("\n")).unwrap();
    let mut args = args(&observations, &here.path().join("temperatures"), &sites);
    args.shipped = Some(Walker::Newcomer);
    let result = json(&args);
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md"));
    let page = page.unwrap();
    let mut lines = Vec::new();
    for issue in ["season known", "02-01", "02-15", "03-01"] {
        let row = pooled(&result, issue);
        let number = |key: &str| row[key].as_f64().unwrap();
        lines.push(format!(
            "| {issue} | {} | {:.1} | {:+.1} | {:.0} % | {:.0} d | {:.0} % |",
            row["n"],
            number("rmse"),
            number("bias"),
            100.0 * number("coverage"),
            number("width"),
            100.0 * number("too_late"),
        ));
    }
    for line in &lines {
        assert!(
            page.contains(line),
            "not in DEVELOPERS.md; now:\n{}",
            lines.join("\n")
        );
    }
}

/// Every so many dates are answered by the test above.
const THINNED: usize = 40;
