//! The printed forms: 80 columns, escaped, whole.

use super::sheet::{made, with};
use crate::fixture::*;
use barewood::report::mix_sheet::{html, json, text};
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

fn narrow(text: &str) {
    for line in text.lines() {
        assert!(line.width() <= 80, "{} columns: {line}", line.width());
    }
}

#[test]
fn the_text_has_everything_and_fits() {
    let mut s = season();
    s.practice = false;
    with(&mut s, "oil", "horticultural oil");
    s.materials[1].label.rate = Some(of("2 % v/v"));
    (s.materials[1].label.rate_min, s.materials[1].label.rate_max) = (None, Some(of("3 % v/v")));
    let sheet = made(&s);
    let page = text(&sheet);
    narrow(&page);
    for piece in [
        "MIX SHEET  spray late",
        "FINE: nothing speaks against this mix",
        "4 full of 25 gal",
        "material cu",
        "1 lb",
        "64 fl oz",
        "Jar test",
        "Keep out: 24 h",
        "Wear: gloves, goggles",
        "The label decides",
        "first swell 2027-03-01, 80 % between 2027-02-21 and 2027-03-09",
    ] {
        assert!(page.contains(piece), "'{piece}' is missing in\n{page}");
    }
    let page = html(&sheet);
    for piece in [
        "<!doctype html>",
        "1 lb",
        "64 fl oz",
        "Jar test",
        "@page",
        "2027-03-01, 80 % between",
    ] {
        assert!(page.contains(piece), "'{piece}' is missing");
    }
    let value: serde_json::Value = serde_json::from_str(&json(&sheet).unwrap()).unwrap();
    assert_eq!(value["verdict"], "fine");
    assert_eq!(value["products"][0]["full_tank"]["amount"], "1 lb");
}

#[test]
fn a_refusal_is_printed_across_and_without_amounts() {
    let mut s = season();
    with(&mut s, "captan", "captan");
    with(&mut s, "oil", "horticultural oil");
    let sheet = made(&s);
    let page = text(&sheet);
    narrow(&page);
    assert!(page.contains("REFUSED: do not mix this as planned"));
    assert!(page.contains("PRACTICE SEASON"));
    assert!(!page.contains("AT THE TANK"));
    assert!(html(&sheet).contains("REFUSED"));
}

#[test]
fn hostile_names_stay_text() {
    let mut s = season();
    let evil = "<script>alert('x')</script>\u{1b}[2J\"&\u{202e}";
    s.tasks[0].title = evil.to_owned();
    s.orchard.name = evil.to_owned();
    s.blocks[0].name = evil.to_owned();
    s.materials[0].name = evil.to_owned();
    s.materials[0].label.gear = vec![evil.to_owned()];
    s.materials[0].label.read_on = None;
    let sheet = made(&s);
    let page = html(&sheet);
    assert!(
        !page.contains("<script") && !page.contains('\u{1b}'),
        "escaped"
    );
    assert!(
        !page.contains("src=") && !page.contains("href=") && !page.contains("url("),
        "nothing is fetched"
    );
    let page = text(&sheet);
    assert!(!page.contains('\u{1b}'));
    narrow(&page);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_name_fits(name in "\\PC{0,200}", number in 0.0001_f64..1e6) {
        let mut s = season();
        s.tasks[0].title.clone_from(&name);
        s.blocks[0].name.clone_from(&name);
        s.materials[0].name.clone_from(&name);
        s.sprayers[0].name = name;
        s.blocks[0].measured_volume = format!("{number} gal").parse().ok();
        let sheet = made(&s);
        for line in text(&sheet).lines() {
            prop_assert!(line.width() <= 80, "{}: {line}", line.width());
        }
        prop_assert!(html(&sheet).ends_with("</html>\n"));
    }
}

/// The longest sheet in daily use: three partners, four blocks, warnings.
fn full_sheet() -> barewood::domain::mix::MixSheet {
    let mut s = season();
    for id in ["q", "r", "s"] {
        s.blocks.push(block(
            id,
            barewood::domain::phenology::species::Species::Peach,
        ));
    }
    s.tasks[0].blocks.clear();
    with(&mut s, "oil", "horticultural oil");
    with(&mut s, "urea", "urea");
    for m in &mut s.materials {
        m.label.read_on = None;
        m.metallic_copper = Some(percent(50.0));
    }
    s.tasks[0].date = day("2027-02-19");
    s.sprayers[0].calibration.clear();
    made(&s)
}

/// A browser that prints without a window, where one is installed.
fn headless_browser() -> Option<&'static str> {
    ["chromium", "chromium-browser"].into_iter().find(|name| {
        std::process::Command::new(name)
            .arg("--version")
            .output()
            .is_ok_and(|o| o.status.success())
    })
}

#[test]
fn the_page_prints_on_one_sheet() {
    let Some(browser) = headless_browser() else {
        eprintln!("SKIPPED: no chromium on the path to print the page with");
        return;
    };
    let dir = tempfile::tempdir().unwrap();
    let (page, pdf) = (dir.path().join("mix.html"), dir.path().join("mix.pdf"));
    std::fs::write(&page, html(&full_sheet())).unwrap();
    let done = std::process::Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
        ])
        .arg(format!(
            "--user-data-dir={}",
            dir.path().join("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", page.display()))
        .output()
        .unwrap();
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let bytes = std::fs::read(&pdf).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    if let Ok(keep) = std::env::var("BAREWOOD_KEEP_SHEET") {
        std::fs::copy(&pdf, format!("{keep}.pdf")).unwrap();
        std::fs::copy(&page, format!("{keep}.html")).unwrap();
        std::fs::write(
            format!("{keep}.txt"),
            barewood::report::mix_sheet::text(&full_sheet()),
        )
        .unwrap();
    }
    assert_eq!(pages, 1);
}
