//! The printed page, in a real browser where one is installed.

use crate::orchard::{day, estimates, full, time};
use crate::{NASTY, busy};
use barewood::domain::outlook::outlook;
use barewood::domain::records::finish;
use barewood::domain::season::{BlockId, Season};
use barewood::report::season_page::{HeatAhead, HeatCurve, SeasonPage, html};
use chrono::{NaiveDate, TimeDelta};
use std::fmt::Write;
use std::path::Path;
use std::process::Command;

/// A made-up curve: half a unit a day in winter, more and more from March on.
fn heat() -> HeatCurve {
    let sum = |date: NaiveDate| {
        let days = (date - day("2026-12-01")).num_days() as f64;
        0.5 * days + 0.02 * (days - 60.0).max(0.0).powi(2)
    };
    let seen = day("2026-12-01")
        .iter_days()
        .take(85)
        .map(|d| (d, sum(d)))
        .collect();
    let ahead = (0..50)
        .map(|i| {
            let date = day("2027-02-23") + TimeDelta::days(i);
            let middle = sum(date);
            HeatAhead {
                date,
                low: middle - 1.5 * i as f64,
                middle,
                high: middle + 2.0 * i as f64,
            }
        })
        .collect();
    HeatCurve {
        name: "Peach row <b>".to_owned(),
        unit: "degree days above 4.5 C since 1 December".to_owned(),
        seen,
        ahead,
        need: Some([80.0, 100.0, 125.0]),
    }
}

fn big() -> Season {
    let mut s = busy();
    s = finish(
        &s,
        full(&s, "second-copper", "2027-02-24"),
        day("2027-02-24"),
    )
    .unwrap()
    .season;
    NASTY.clone_into(&mut s.tasks[1].title);
    "North <Slope> & \"Co\"".clone_into(&mut s.orchard.name);
    for n in 3..=7 {
        let mut block = s.blocks[1].clone();
        block.id = BlockId::from(format!("row-{n}").as_str());
        block.name = format!("Row {n} with a name far too long for its place");
        s.blocks.push(block);
    }
    s
}

fn page(season: &Season) -> String {
    let estimates = estimates(season, "2027-03-10");
    let now = time("2027-02-24 13:00");
    html(&SeasonPage {
        season,
        estimates: &estimates,
        outlook: &outlook(season, &estimates, now.date()),
        heat: &[heat()],
        now,
    })
}

#[test]
fn nothing_foreign_becomes_markup_and_nothing_comes_from_outside() {
    let text = page(&big());
    assert!(!text.contains("<script"), "a foreign script");
    assert!(!text.contains("<b>"), "foreign markup");
    assert!(text.contains("&lt;script&gt;"));
    assert!(text.contains("North &lt;Slope&gt; &amp; &quot;Co&quot;"));
    for outside in ["src=", "href=", "url(", "@import", "//cdn", "http:"] {
        assert!(!text.contains(outside), "{outside}");
    }
    assert!(text.contains("default-src 'none'"));
    // Every date of an estimate has its range, and the cautions are there.
    assert!(text.contains(
        r#"<span class="d">2027-03-10</span> <span class="d">(2027-03-02</span> to <span class="d">2027-03-18)</span>"#
    ));
    assert!(text.contains("the product label decides"));
    assert!(text.contains("last seal"));
}

#[test]
fn an_empty_season_has_a_page_too() {
    let mut s = busy();
    (s.tasks, s.records, s.blocks, s.lessons) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let now = time("2027-02-24 13:00");
    let none = barewood::domain::outlook::Estimates::default();
    let curve = HeatCurve {
        seen: Vec::new(),
        ahead: Vec::new(),
        ..heat()
    };
    let text = html(&SeasonPage {
        season: &s,
        estimates: &none,
        outlook: &outlook(&s, &none, now.date()),
        heat: &[curve],
        now,
    });
    for words in [
        "No tasks.",
        "No records.",
        "None noted.",
        "no temperatures.",
    ] {
        assert!(text.contains(words), "{words}");
    }
    assert!(!text.contains("NaN") && !text.contains("inf"));
}

/// The page's document after the browser has laid it out.
fn document(browser: &Path, file: &Path, profile: &Path, width: u32) -> String {
    let output = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--dump-dom"])
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--window-size={width},900"))
        .arg(format!("file://{}", file.display()))
        .output()
        .unwrap();
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Measures in the browser, without the page's own policy that forbids scripts: how wide
/// the page is, whether a text of a drawing leaves it, how many marks there are.
const MEASURE: &str = "<script>
const out = [];
for (const svg of document.querySelectorAll('svg')) {
  const box = svg.viewBox.baseVal;
  for (const t of svg.querySelectorAll('text')) {
    const b = t.getBBox();
    if (b.x < -1 || b.y < -1 || b.x + b.width > box.width + 1 || b.y + b.height > box.height + 1) out.push(t.textContent);
  }
}
document.body.dataset.wide = document.documentElement.scrollWidth > window.innerWidth;
document.body.dataset.leaves = out.join('|');
document.body.dataset.drawings = document.querySelectorAll('svg').length;
document.body.dataset.marks = document.querySelectorAll('svg circle').length;
document.body.dataset.bands = document.querySelectorAll('svg rect.band').length;
document.body.dataset.tables = document.querySelectorAll('table').length;
</script></body>";

#[test]
fn a_browser_lays_it_out_as_meant() {
    let Some(browser) = crate::browser::browser() else {
        println!("SKIPPED: needs a headless browser (chromium) on the path");
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let text = page(&big());
    let plain = folder.path().join("season.html");
    std::fs::write(&plain, &text).unwrap();
    let profile = folder.path().join("profile");
    // As it is: the foreign script does not run, so the title stays.
    let shown = document(&browser, &plain, &profile, 1000);
    assert!(
        shown.contains("<title>North &lt;Slope&gt; &amp; \"Co\", dormant season 2026-27</title>"),
        "{shown}"
    );
    let measured = folder.path().join("measured.html");
    let open = text
        .lines()
        .filter(|l| !l.contains("Content-Security-Policy"))
        .fold(String::new(), |mut all, line| {
            let _ = writeln!(all, "{line}");
            all
        })
        .replace("</body>", MEASURE);
    std::fs::write(&measured, open).unwrap();
    let shown = document(&browser, &measured, &profile, 1000);
    for fact in [
        "data-wide=\"false\"",
        "data-leaves=\"\"",
        "data-drawings=\"2\"",
        "data-marks=\"3\"",
        "data-bands=\"7\"",
        "data-tables=\"7\"",
    ] {
        let body = shown.find("<body").map_or("", |i| shown.split_at(i).1);
        let tag: String = body.chars().take(400).collect();
        assert!(shown.contains(fact), "{fact} in {tag}");
    }
    if let Some(keep) = std::env::var_os("BAREWOOD_KEEP_PAGE") {
        std::fs::copy(&plain, keep).unwrap();
    }
}
