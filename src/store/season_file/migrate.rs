//! Lifts a file of an older format to the present one, step by step.

use crate::domain::season::FORMAT;
use toml_edit::{DocumentMut, value};

/// One step: from a format to the next.
struct Step {
    from: i64,
    change: fn(&mut DocumentMut),
}

/// Every step ever needed. The first format is still the present one.
const STEPS: &[Step] = &[];

/// The text in the present format; `None` if no step starts from that format.
pub(super) fn upgrade(text: &str, from: i64) -> Option<String> {
    lift(text, from, i64::from(FORMAT), STEPS)
}

fn lift(text: &str, from: i64, to: i64, steps: &[Step]) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    for format in from..to {
        let step = steps.iter().find(|s| s.from == format)?;
        (step.change)(&mut document);
        if let Some(number) = document.get_mut("format") {
            *number = value(format + 1);
        }
    }
    Some(document.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_taken_in_order_and_comments_stay() {
        fn rename(document: &mut DocumentMut) {
            if let Some(item) = document.remove("name_of_year") {
                document.insert("season", item);
            }
        }
        let steps = [
            Step {
                from: 1,
                change: |_| {},
            },
            Step {
                from: 2,
                change: rename,
            },
        ];
        let text = "# mine\nformat = 1\nname_of_year = \"2026-27\" # so\n";
        let lifted = lift(text, 1, 3, &steps).unwrap();
        assert_eq!(lifted, "# mine\nformat = 3\nseason = \"2026-27\" # so\n");
        assert_eq!(lift(text, 0, 3, &steps), None);
    }
}
