//! Whatever is typed: no panic, undo is the way back (but for records that are on the
//! disk), no task is lost by moving.

use crate::driver::Driver;
use barewood::tui::action::Event;
use barewood::tui::key::{Code, Key};
use barewood::tui::theme::Theme;
use barewood::tui::view::view;
use proptest::prelude::*;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

fn any_key() -> impl Strategy<Value = Key> {
    let codes = prop::sample::select(vec![
        Code::Enter,
        Code::Enter,
        Code::Esc,
        Code::Tab,
        Code::BackTab,
        Code::Backspace,
        Code::Delete,
        Code::Up,
        Code::Down,
        Code::Down,
        Code::Left,
        Code::Right,
        Code::Right,
        Code::Home,
        Code::End,
        Code::PageUp,
        Code::PageDown,
        Code::F(1),
    ]);
    let commands: Vec<char> = "abcdefghijklmnopqrstuvwxyzSBDKMNUWVRY<>[]{}+-/:?*0123456789 ,.%"
        .chars()
        .collect();
    prop_oneof![
        3 => codes.prop_map(Key::plain),
        8 => prop::sample::select(commands).prop_map(Key::char),
        1 => any::<char>().prop_map(Key::char),
        1 => prop::sample::select(vec!['r', 'l', 'u', 'w']).prop_map(Key::ctrl),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn any_keys_at_any_size_draw_and_undo_to_the_start(
        keys in prop::collection::vec(any_key(), 0..120),
        sizes in prop::collection::vec((1u16..140, 1u16..50), 1..6),
        ascii: bool,
    ) {
        let mut d = Driver::new();
        let start = d.model.season.clone();
        for (i, key) in keys.iter().enumerate() {
            if i % 24 == 0 {
                let (columns, rows) = sizes[i / 24 % sizes.len()];
                d.happen(Event::Size(columns, rows));
            }
            d.happen(Event::Key(*key));
            let (columns, rows) = d.model.size;
            let mut buffer = Buffer::empty(Rect::new(0, 0, columns, rows));
            let drawn = view(&d.model, Theme { ascii, ..Theme::default() }, &mut buffer);
            if let Some((x, y)) = drawn.cursor {
                prop_assert!(x < columns && y < rows, "cursor {x},{y} outside {columns}x{rows}");
            }
            if ascii {
                for cell in buffer.content() {
                    prop_assert!(cell.symbol().is_ascii(), "{:?}", cell.symbol());
                }
            }
        }
        d.happen(Event::Size(80, 24));
        d.model.overlay = None;
        let end = d.model.season.clone();
        let steps = d.model.history.depth();
        for _ in 0..steps {
            d.model.step(true);
        }
        // What was undone by hand before counts as undone.
        let mut undone = d.model.season.clone();
        undone.practice = start.practice;
        prop_assert_eq!(barewood::domain::records::integrity(&undone, &[]), []);
        if d.model.records_kept > 0 {
            // Kept as the user's own: records on the disk stay, and none of them holds.
            prop_assert_eq!(barewood::domain::records::current(&undone).count(), 0);
            (undone.records, undone.records_head) = (Vec::new(), None);
            prop_assert_eq!(&undone, &start);
            return Ok(());
        }
        prop_assert_eq!(&undone, &start);
        for _ in 0..steps {
            d.model.step(false);
        }
        prop_assert_eq!(d.model.season, end);
    }

    #[test]
    fn moving_never_loses_a_task(keys in prop::collection::vec(prop::sample::select(vec!['<', '>', '[', ']', '{', '}', 'u', 'U', 'j', 'l', 'k', 'h', '7']), 0..200)) {
        let mut d = Driver::new();
        let ids = |d: &Driver| {
            let mut ids: Vec<String> = d.model.season.tasks.iter().map(|t| t.id.to_string()).collect();
            ids.sort();
            ids
        };
        let before = ids(&d);
        for key in keys {
            d.happen(Event::Key(Key::char(key)));
            prop_assert_eq!(ids(&d), before.clone());
            prop_assert!(d.model.board.chosen.is_some() || !d.model.season.tasks.iter().any(|t| t.lane == barewood::tui::screen::board::lane_at(d.model.board.lane)));
        }
    }
}
