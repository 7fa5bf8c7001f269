//! How long the board takes to draw a screen and to answer a key, on an
//! invented season.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::missing_panics_doc
)]

#[path = "../common/board.rs"]
mod common;

use barewood::tui::action::Event;
use barewood::tui::host::Host;
use barewood::tui::key::{Code, Key};
use barewood::tui::keymap::Keymap;
use barewood::tui::model::Model;
use barewood::tui::terminal::paint::Painter;
use barewood::tui::theme::{Ground, Look, Theme};
use barewood::tui::update::update;
use barewood::tui::view::view;
use criterion::{Criterion, criterion_group, criterion_main};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use std::hint::black_box;

const THEME: Theme = Theme {
    sixteen: true,
    ascii: false,
    colour: Some(Ground::Dark),
    look: Look::Calm,
};

fn model(size: (u16, u16), tasks: usize) -> Model {
    let mut season = common::season();
    let first = season.tasks.clone();
    while season.tasks.len() < tasks {
        for task in &first {
            let mut copy = task.clone();
            copy.id = season.free_task_id(&copy.title);
            season.tasks.push(copy);
        }
    }
    let mut host = common::MemoryHost::new(season);
    Model::new(host.open().unwrap(), Keymap::standard(), size)
}

fn render(c: &mut Criterion) {
    for (name, size, tasks) in [
        ("80x24", (80, 24), 12),
        ("200x60", (200, 60), 12),
        ("200x60 200 tasks", (200, 60), 200),
    ] {
        let model = model(size, tasks);
        let mut sheet = Buffer::empty(Rect::new(0, 0, size.0, size.1));
        c.bench_function(&format!("render {name}"), |b| {
            b.iter(|| {
                sheet.reset();
                black_box(view(&model, THEME, &mut sheet))
            });
        });
    }
}

fn key_to_bytes(c: &mut Criterion) {
    for (name, size, tasks) in [
        ("80x24", (80, 24), 12),
        ("200x60 200 tasks", (200, 60), 200),
    ] {
        let mut model = model(size, tasks);
        let mut painter = Painter::new();
        let mut sheet = Buffer::empty(Rect::new(0, 0, size.0, size.1));
        let mut down = true;
        c.bench_function(&format!("key, update, render, bytes {name}"), |b| {
            b.iter(|| {
                let code = if down { Code::Down } else { Code::Up };
                down = !down;
                update(&mut model, Event::Key(Key::plain(code)));
                sheet.reset();
                let drawn = view(&model, THEME, &mut sheet);
                let mut out = Vec::with_capacity(4096);
                painter.frame(&mut sheet, drawn.cursor, &mut out);
                black_box(out)
            });
        });
    }
}

fn edit(c: &mut Criterion) {
    let mut model = model((80, 24), 200);
    let mut later = true;
    c.bench_function("move a card, 200 tasks", |b| {
        b.iter(|| {
            let key = if later { '>' } else { 'u' };
            later = !later;
            black_box(update(&mut model, Event::Key(Key::char(key))))
        });
    });
}

criterion_group!(benches, render, key_to_bytes, edit);
criterion_main!(benches);
