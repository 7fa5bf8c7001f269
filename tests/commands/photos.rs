//! Pictures of the buds: by block, day and stage, beside the season.

use crate::home::Home;
use std::fs;

#[test]
fn a_picture_is_copied_beside_the_season_and_named_by_block_day_and_stage() {
    let (home, file) = Home::started();
    fs::write(home.path().join("IMG 1.JPG"), b"\xff\xd8 a picture").unwrap();
    let look = |more: &[&str]| {
        let base = ["read", "buds", "51", "--block", "peach"];
        let end = ["--season", "season.toml", "--on", "2016-02-20"];
        home.run(&[&base[..], more, &end].concat())
    };
    look(&["--photo", "IMG 1.JPG", "--copy", "--note", "tips grey"]).fine();
    look(&["--photo", "IMG 1.JPG", "--copy"]).fine();
    look(&["--photo", "/elsewhere/x.png"]).fine();
    let name = "season.photos/2016-02-20-peach-bbch51";
    for end in [".jpg", "-2.jpg"] {
        let kept = fs::read(home.path().join(format!("{name}{end}"))).unwrap();
        assert_eq!(kept, b"\xff\xd8 a picture");
    }
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains(&format!("photo = \"{name}.jpg\"")), "{text}");
    assert!(text.contains("photo = \"/elsewhere/x.png\""), "{text}");
    let page = home
        .run(&[
            "export",
            "html",
            "--season",
            "season.toml",
            "--on",
            "2016-02-21",
        ])
        .fine()
        .out;
    for part in [
        "Looks at the buds",
        "tips grey",
        "bbch51-2.jpg",
        "/elsewhere/x.png",
    ] {
        assert!(page.contains(part), "{part}");
    }
    let ran = look(&["--photo", "no.jpg", "--copy"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("no.jpg"), "{}", ran.err);
}
