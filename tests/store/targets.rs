//! The grower's own targets for every season.

use barewood::domain::season::{Lane, TargetId};
use barewood::domain::targets;
use barewood::store::disk::RealDisk;
use barewood::store::places::Places;
use barewood::store::session::{Mode, Session};
use barewood::store::{practice, shared_targets};
use std::sync::Arc;

const OWN: &str = r#"
[[target]]
id = "leaf-curl"
last_stage = 50
note = "comes early here"

[[target]]
id = "wall-moth"
name = "wall moth"
hosts = ["pear"]
actives = ["horticultural oil"]
lanes = ["mid-winter"]
"#;

struct Home {
    dir: tempfile::TempDir,
    places: Places,
}

fn home(own: &str) -> Home {
    let dir = tempfile::tempdir().unwrap();
    let places = Places::under(dir.path());
    std::fs::create_dir_all(&places.config).unwrap();
    std::fs::write(places.config.join(shared_targets::NAME), own).unwrap();
    Home { dir, places }
}

impl Home {
    fn season(&self, text: &str) -> Result<Session, String> {
        let path = self.dir.path().join("s.toml");
        std::fs::write(&path, text).unwrap();
        Session::open(
            Arc::new(RealDisk),
            Some(self.places.clone()),
            &path,
            Mode::Write,
        )
        .map_err(|e| e.to_string())
    }
}

#[test]
fn no_file_is_no_targets() {
    let dir = tempfile::tempdir().unwrap();
    let places = Places::under(dir.path());
    assert_eq!(shared_targets::load(&RealDisk, Some(&places)).unwrap(), []);
    assert_eq!(shared_targets::load(&RealDisk, None).unwrap(), []);
}

#[test]
fn they_stand_above_the_table_and_below_the_seasons_own_rows() {
    let home = home(OWN);
    let text = format!(
        "{}\n[[target]]\nid = \"leaf-curl\"\nnote = \"only this season\"\n",
        practice::SEASON_TEXT
    );
    let session = home.season(&text).unwrap();
    let season = session.season();
    let curl = targets::find(season, &TargetId::from("leaf-curl")).unwrap();
    // The season's note, the file's stage, the table's name and actives.
    assert_eq!(curl.caveat(), "only this season");
    assert_eq!(curl.last_stage().unwrap().0, 50);
    assert_eq!(curl.name(), "peach leaf curl");
    assert!(curl.works("fixed copper"));
    let moth = targets::find(season, &TargetId::from("wall-moth")).unwrap();
    assert_eq!(moth.lane(Lane::MidWinter), Some(true));
    assert!(targets::all(season).iter().any(|v| v.key() == "wall-moth"));
}

#[test]
fn a_season_may_name_them_and_they_are_never_written_into_it() {
    let home = home(OWN);
    let text = practice::SEASON_TEXT.replace(
        "targets = [\"brown-rot\"]\nstate",
        "targets = [\"wall-moth\"]\nstate",
    );
    assert_ne!(text, practice::SEASON_TEXT);
    let mut session = home.season(&text).unwrap();
    let mut season = session.season().clone();
    season.orchard.name = "Renamed".to_owned();
    session.save(&season).unwrap();
    let written = std::fs::read_to_string(session.path()).unwrap();
    assert!(written.contains("Renamed") && !written.contains("comes early here"));
    assert_eq!(session.season().shared_targets.len(), 2);
    drop(session);
    // Without the file the name stands for nothing, and that is said.
    std::fs::remove_file(home.places.config.join(shared_targets::NAME)).unwrap();
    let told = home.season(&text).unwrap_err();
    assert!(told.contains("no target has the id 'wall-moth'"), "{told}");
}

#[test]
fn what_is_wrong_is_told_with_file_line_and_field() {
    for (own, line, field) in [
        (
            "[[target]]\nid = \"x\"\nlast_stage = 300\n",
            3,
            "last_stage",
        ),
        ("[[target]]\nid = \"x\"\nlanes = [\"summer\"]\n", 3, "lanes"),
        ("[[target]]\nname = \"x\"\n", 1, "id"),
        ("[[target]]\nid = \"x\"\nhots = [\"pear\"]\n", 3, "hots"),
        ("[[target]]\nid = \"x\"\n[[target]]\nid = \"x\"\n", 4, "id"),
        ("[[targets]]\nid = \"x\"\n", 1, "targets"),
        ("[[target]\n", 1, ""),
    ] {
        let home = home(own);
        let told = home.season(practice::SEASON_TEXT).unwrap_err();
        assert!(
            told.contains(&format!("targets.toml:{line}:")) && told.contains(field),
            "{own}: {told}"
        );
    }
}
