//! Long texts in a form.

use crate::driver::Driver;
use crate::{PLAIN, draw, text};

#[test]
fn a_long_note_scrolls_with_its_cursor() {
    let mut d = Driver::new();
    d.choose("copper-late").keys("i");
    for i in 0..60 {
        d.keys(&format!("\"line number {i}\" enter"));
    }
    let (buffer, drawn) = draw(&mut d, 80, 24, PLAIN);
    let screen = text(&buffer);
    assert!(screen.contains("line number 59"), "{screen}");
    assert!(!screen.contains("line number 7\n"), "{screen}");
    let (_, y) = drawn.cursor.expect("a cursor in the text");
    let below = screen
        .lines()
        .position(|l| l.contains("line number 59"))
        .unwrap();
    assert_eq!(usize::from(y), below + 1, "{screen}");
    for _ in 0..60 {
        d.keys("up");
    }
    let (buffer, _) = draw(&mut d, 80, 24, PLAIN);
    assert!(text(&buffer).contains("line number 0"), "{}", text(&buffer));
    // A long line is broken, and nothing of it is lost.
    d.keys("ctrl-u \"one word after another, on and on, until the line is far longer than the field and must be broken somewhere\"");
    let (buffer, _) = draw(&mut d, 80, 24, PLAIN);
    assert!(
        text(&buffer).contains("broken somewhere"),
        "{}",
        text(&buffer)
    );
}
