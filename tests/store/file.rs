use crate::seasons::{Dice, dice, edited, season};
use barewood::store::season_file::{Comments, fresh, read, write};
use proptest::prelude::*;

fn written(season: &barewood::domain::season::Season) -> String {
    fresh(season, &Comments::default()).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_fresh_file_reads_as_the_season_it_was_made_from(mut d in dice()) {
        let season = season(&mut d);
        let text = written(&season);
        let loaded = read(&text, "x").map_err(|e| TestCaseError::fail(format!("{e}\n{text}")))?;
        prop_assert_eq!(loaded.season, season);
    }

    #[test]
    fn an_edited_file_reads_as_the_edited_season(mut d in dice(), mut e in dice()) {
        let before = season(&mut d);
        let after = edited(&mut e, &before);
        let text = written(&before);
        let new = write(&text, &before, &after)
            .map_err(|e| TestCaseError::fail(format!("{e}\n{text}")))?;
        prop_assert_eq!(read(&new, "x").unwrap().season, after);
    }

    #[test]
    fn comments_and_unknown_keys_outlive_any_edit(mut d in dice(), mut e in dice()) {
        let before = season(&mut d);
        let after = edited(&mut e, &before);
        // A comment set apart above every table, and a key of the owner's in the orchard.
        let mut text = String::new();
        let mut count = 0;
        for line in written(&before).lines() {
            if line.starts_with('[') && !line.contains('"') && !line.contains('#') {
                text = format!("{text}\n# comment {count}.\n\n");
                count += 1;
            }
            text.push_str(line);
            text.push('\n');
            if line == "[orchard]" {
                text.push_str("my_own = [1, 2] # mine\n");
            }
        }
        prop_assume!(read(&text, "x").is_ok_and(|l| l.season == before));
        let new = write(&text, &before, &after).unwrap();
        prop_assert_eq!(&read(&new, "x").unwrap().season, &after);
        prop_assert!(new.contains("my_own = [1, 2] # mine\n"), "{}", new);
        for i in 0..count {
            let comment = format!("# comment {i}.\n");
            prop_assert_eq!(new.matches(&comment).count(), 1, "{} in\n{}", comment, new);
        }
    }
}

#[test]
fn dice_used_up_make_the_plainest_season() {
    let plain = season(&mut Dice::new(Vec::new()));
    assert_eq!((plain.blocks.len(), plain.tasks.len()), (1, 0));
}
