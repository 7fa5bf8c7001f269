//! What happens, turned into a changed model and wishes to the world. Only routes.

use super::action::{Command, Effect, Event};
use super::copy_out;
use super::form::Form;
use super::history::History;
use super::host::{CameIn, News, TableAnswer};
use super::key::Key;
use super::model::{Model, Notice, Saved};
use super::mouse;
use super::overlay::{self, Overlay, finder::Finder};
use super::screen::{self, Screen, board::Board};
use super::tour;
use crate::domain::records;
use crate::domain::season::TaskKind;
use chrono::{NaiveDateTime, Timelike as _};

/// Takes one event.
pub fn update(model: &mut Model, event: Event) -> Vec<Effect> {
    // A step of the mark goes out at once, the card follows at rest; anything else settles both.
    let was = model.board.chosen.clone();
    let before = model.board.card.clone().or(was);
    let is_step = is_step(model, &event);
    let mut effects = take(model, event);
    if model.waiting && effects.is_empty() {
        effects = take_in(model);
    }
    if is_step {
        model.board.card = before;
    } else {
        model.board.rest();
    }
    screen::spray_work::refresh(model);
    if matches!(model.screen, Screen::RunSheet | Screen::Review) {
        screen::run_sheet::refresh(model);
    }
    if model.screen == Screen::Ledger {
        screen::ledger::refresh(model);
    }
    screen::board::farm::refresh(model);
    tour::go_on(model);
    effects
}

/// Does a key do no more than move the mark of the board?
fn is_step(model: &Model, event: &Event) -> bool {
    let Event::Key(key) = event else { return false };
    model.screen == Screen::Board
        && model.overlay.is_none()
        && matches!(
            model.keymap.command(model.screen.scopes(), *key),
            Some(
                Command::Up
                    | Command::Down
                    | Command::Left
                    | Command::Right
                    | Command::PageUp
                    | Command::PageDown
            )
        )
}

fn take(model: &mut Model, event: Event) -> Vec<Effect> {
    match event {
        Event::Key(key) => on_key(model, key),
        Event::Paste(text) => on_paste(model, &text),
        Event::Click(spot) => mouse::click(model, spot),
        Event::Drag(days) => {
            mouse::drag(model, days);
            Vec::new()
        }
        Event::Release => mouse::release(model),
        Event::Wheel(step) => mouse::wheel(model, step),
        Event::Size(columns, rows) => {
            model.size = (columns, rows);
            Vec::new()
        }
        Event::Day(today) if today != model.today => {
            model.today = today;
            model.derive();
            model.review = None;
            vec![Effect::Estimate]
        }
        Event::Rest | Event::Day(_) => Vec::new(),
        Event::Saved(outcome) => {
            model.take_saved(outcome);
            if let Saved::No(why) = &model.saved {
                let key = model.keymap.first(Command::Save);
                let text = format!("NOT SAVED: {why}; {key} shows what you can do");
                model.alert(text);
                return Vec::new();
            }
            let taken = std::mem::take(&mut model.taken);
            taken.into_iter().map(Effect::DropKept).collect()
        }
        Event::Estimates(estimates) => {
            model.take_estimates(estimates);
            let mut wants = model.wants();
            wants.extend(on_screen(model));
            wants.dedup();
            wants
        }
        Event::Asked(block, asked) => {
            if let Some((id, curves)) = &mut model.curves
                && *id == block
            {
                curves.asked = asked;
            }
            Vec::new()
        }
        Event::News(news) => on_news(model, news),
        Event::Curves(block, curves) => {
            model.curves = curves.map(|c| (block, c));
            Vec::new()
        }
        Event::CameIn(Ok(Some(came))) => {
            model.came_in(came);
            let mut wants = vec![Effect::Estimate];
            wants.extend(model.wants());
            wants
        }
        Event::CameIn(Ok(None)) => {
            model.waiting = false;
            Vec::new()
        }
        Event::Joined(Ok(joined)) => {
            model.joined(*joined);
            vec![Effect::Save, Effect::Estimate]
        }
        Event::TookKept(Ok(came), id) => took_kept(model, came, id),
        Event::Versions(Ok(versions)) => {
            match Form::versions(versions) {
                Some(form) => model.overlay = Some(Overlay::Form(form)),
                None => model.say("There are no earlier versions: nothing was changed yet."),
            }
            Vec::new()
        }
        Event::Version(Ok(version), until) => {
            // What was applied stays on record, and is taken back in words.
            let kept = model.season.records.len();
            let after = records::undone(&model.season, *version, kept, model.today);
            model.edit(after, &format!("back to the version until {until}"))
        }
        Event::Kept(Ok(kept)) => {
            model.moved_to(kept.season, kept.place);
            vec![Effect::Estimate]
        }
        Event::Begun(Ok(begun)) => {
            model.begun = None;
            model.tour = None;
            model.estimates = None;
            model.fits = None;
            model.history = History::default();
            model.screen = Screen::Board;
            model.today = begun.today.unwrap_or(model.today);
            model.moved_to(begun.season, begun.place);
            model.board = Board::opening(&model.season, &model.outlook);
            vec![Effect::Estimate]
        }
        Event::Begun(Err(why)) => {
            if let Some(form) = model.begun.take() {
                let form = Form {
                    fault: Some(why),
                    ..*form
                };
                model.overlay = Some(Overlay::Form(form));
            } else {
                model.alert(why);
            }
            Vec::new()
        }
        Event::Table(answer) => on_table(model, answer),
        Event::Written(Ok(words)) => {
            model.say(words);
            Vec::new()
        }
        Event::Written(Err(why))
        | Event::CameIn(Err(why))
        | Event::Joined(Err(why))
        | Event::TookKept(Err(why), _)
        | Event::Versions(Err(why))
        | Event::Version(Err(why), _)
        | Event::Kept(Err(why)) => {
            model.alert(why);
            Vec::new()
        }
        Event::Clock(now) => {
            let hour = |t: NaiveDateTime| (t.date(), t.time().hour());
            let new_hour = hour(now) != hour(model.now);
            model.now = now;
            if new_hour {
                model.derive();
            }
            Vec::new()
        }
        Event::Review(review) => {
            model.review = review;
            Vec::new()
        }
        Event::Years(years) => {
            model.years = Some(years);
            Vec::new()
        }
        Event::Chances(chances) => {
            screen::run_sheet::take_chances(model, chances);
            Vec::new()
        }
        Event::Trail(trail, back) => model.take_trail(trail.as_deref(), back),
        Event::Air(air, said) => {
            if let Some(Overlay::Form(form)) = &mut model.overlay {
                form.take_air(&air, said);
            }
            Vec::new()
        }
        Event::ChangedOutside => {
            model.waiting = true;
            take_in(model)
        }
    }
}

/// A weather file was looked at, or brought in.
fn on_table(model: &mut Model, answer: Result<TableAnswer, String>) -> Vec<Effect> {
    match answer {
        Ok(TableAnswer::Seen(seen)) => {
            model.overlay = Some(Overlay::Form(Form::weather(Some(&seen))));
            Vec::new()
        }
        Ok(TableAnswer::Brought(season, words)) => {
            model.overlay = None;
            let effects = model.edit(*season, "weather brought in");
            model.say(words);
            effects
        }
        Err(why) => {
            if let Some(Overlay::Form(form)) = &mut model.overlay {
                form.fault = Some(why);
            } else {
                model.alert(why);
            }
            Vec::new()
        }
    }
}

/// Others wrote: it is taken in at once, or once nothing is open above the screen, so that what a
/// form shows is what it was opened on. What is unsaved is saved, which joins the two.
fn take_in(model: &mut Model) -> Vec<Effect> {
    if model.overlay.is_some() {
        return Vec::new();
    }
    model.waiting = false;
    match model.saved {
        Saved::Yes => vec![Effect::TakeIn],
        Saved::No(_) => {
            model.saved = Saved::Saving;
            vec![Effect::Save]
        }
        // The save under way sees it.
        Saved::Saving | Saved::Practice => Vec::new(),
    }
}

/// Work of an earlier session is joined with the season: one step that can be undone. It is let
/// go once the season is saved with it, and stays kept where something of it was left out.
fn took_kept(model: &mut Model, came: CameIn, id: String) -> Vec<Effect> {
    let whole = came.words.is_empty();
    let words = if whole {
        "the kept work is in the season".to_owned()
    } else {
        came.words
    };
    let mut effects = model.edit(came.season, &words);
    model.kept.retain(|kept| kept.id != id);
    if !whole {
        return effects;
    }
    if effects.is_empty() {
        effects.push(Effect::DropKept(id));
    } else {
        model.taken.push(id);
    }
    effects
}

/// Something became ready beside the board.
fn on_news(model: &mut Model, news: News) -> Vec<Effect> {
    match news {
        News::Weather(news) => {
            model.take_weather(*news);
            let mut wants = model.wants();
            wants.extend(on_screen(model));
            wants.dedup();
            return wants;
        }
        News::Progress(words) => model.say(words),
        News::Failed(why) => model.alert(why),
        News::Brought(season, words) => {
            let effects = model.edit(*season, "the weather since 1981");
            model.say(words);
            return effects;
        }
    }
    Vec::new()
}

/// What the screen in view wants after something changed.
fn on_screen(model: &Model) -> Vec<Effect> {
    match model.screen {
        Screen::Swell => screen::swell::want_curves(model),
        Screen::Review if model.review.is_none() => vec![Effect::Review],
        Screen::Years | Screen::Ledger if model.years.is_none() => vec![Effect::Years],
        _ => Vec::new(),
    }
}

/// Goes to a screen.
pub fn show(model: &mut Model, screen: Screen) -> Vec<Effect> {
    if screen == Screen::Hours && model.screen == Screen::Board {
        // The spray chosen on the board is the one looked at; anything else leaves the choice.
        let chosen = screen::board::chosen(model)
            .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
            .map(|t| t.id.clone());
        screen::hours::show_for(model, chosen);
    }
    if screen == Screen::Mix {
        screen::mix::enter(model);
    }
    model.screen = screen;
    model.overlay = None;
    model.top = 0;
    model.found = None;
    on_screen(model)
}

fn on_key(model: &mut Model, key: Key) -> Vec<Effect> {
    model.notice = None;
    model.grabbed = None;
    if let Some(overlay) = model.overlay.take() {
        return overlay::key(model, overlay, key);
    }
    let digit = key.typed().and_then(|c| c.to_digit(10));
    // On the board a digit is a view; elsewhere it counts.
    let digit = digit.filter(|_| model.screen != Screen::Board);
    if let Some(digit) = digit.filter(|d| *d > 0 || model.count.is_some()) {
        let count = model
            .count
            .unwrap_or(0)
            .saturating_mul(10)
            .saturating_add(digit);
        model.count = Some(count.min(999));
        return Vec::new();
    }
    let command = model.keymap.command(model.screen.scopes(), key);
    let effects = command.map(|command| run(model, command));
    model.count = None;
    effects.unwrap_or_else(|| {
        unknown(model);
        Vec::new()
    })
}

/// Says where the keys are told.
pub fn unknown(model: &mut Model) {
    let key = model.keymap.first(Command::Help);
    model.notice = Some(Notice {
        text: format!("That key does nothing here. {key} shows the keys."),
        alert: false,
    });
}

fn on_paste(model: &mut Model, text: &str) -> Vec<Effect> {
    let taken = match model.overlay.take() {
        Some(overlay) => overlay::paste(model, overlay, text),
        None => false,
    };
    if !taken {
        model.say("Text can be pasted only where text is typed.");
    }
    Vec::new()
}

/// Does what a command asks for.
pub fn run(model: &mut Model, command: Command) -> Vec<Effect> {
    let own = match model.screen {
        Screen::Board => screen::board::update(model, command),
        Screen::Swell => screen::swell::update(model, command),
        Screen::Hours => screen::hours::update(model, command),
        Screen::Review => screen::review::update(model, command),
        Screen::RunSheet => screen::run_sheet::update(model, command),
        Screen::Records => screen::records::update(model, command),
        Screen::Years => screen::years::update(model, command),
        Screen::Ledger => screen::ledger::update(model, command),
        Screen::Coverage => screen::coverage::update(model, command),
        Screen::Mix => screen::mix::update(model, command),
        Screen::Materials => screen::materials::update(model, command),
        Screen::Buy => screen::buy::update(model, command),
        Screen::Sprayers => screen::sprayers::update(model, command),
    };
    if let Some(effects) = own {
        return effects;
    }
    if let Some(screen) = Screen::opened_by(command) {
        return show(model, screen);
    }
    match command {
        Command::Help => model.overlay = Some(Overlay::Help(0)),
        Command::Finder => model.overlay = Some(Overlay::Finder(Finder::default())),
        Command::Undo | Command::Redo => {
            let mut effects = Vec::new();
            for _ in 0..model.take_count() {
                effects.extend(model.step(command == Command::Undo));
            }
            effects.dedup();
            return effects;
        }
        Command::Quit | Command::Back if model.screen != Screen::Board => {
            return show(model, Screen::Board);
        }
        Command::Quit | Command::Leave => return quit(model, command),
        Command::Back => {
            let keys = (
                model.keymap.first(Command::Quit),
                model.keymap.first(Command::Help),
            );
            model.say(format!("{} quits, {} shows the keys", keys.0, keys.1));
        }
        Command::Save => return save(model),
        Command::Versions if model.season.practice => {
            model.say("Practice is not written, so it has no versions.");
        }
        Command::Versions => return vec![Effect::Versions],
        Command::Keep if model.season.practice => {
            model.overlay = Some(Overlay::Form(Form::keep(model)));
        }
        Command::Keep => {
            let text = format!("this season is yours already: {}", model.place);
            model.say(text);
        }
        Command::Fetch => {
            model.say("Fetching the forecast..");
            return vec![Effect::Fetch];
        }
        Command::BringWeather if model.season.practice => {
            model.say("practice: its weather is invented; begin a season of your own first");
        }
        Command::BringWeather => model.overlay = Some(Overlay::Form(Form::weather(None))),
        Command::Begin => model.overlay = Some(Overlay::Form(Form::begin(model))),
        Command::Tour => tour::switch(model),
        Command::LeafDrop => model.overlay = Some(Overlay::Form(Form::leaf_drop(model))),
        Command::Repaint => return vec![Effect::Repaint],
        Command::Mouse => {
            model.mouse = !model.mouse;
            model.say(if model.mouse {
                "The mouse is on: click marks, wheel moves, drag moves a card; shift selects text."
            } else {
                "The mouse is off."
            });
            return vec![Effect::Mouse(model.mouse)];
        }
        Command::CopyOut => return copy_out(model),
        Command::Suspend => return vec![Effect::Suspend],
        _ => unknown(model),
    }
    Vec::new()
}

/// Sends what is chosen to the user's own terminal.
fn copy_out(model: &mut Model) -> Vec<Effect> {
    match copy_out::text(model) {
        Some(text) => {
            model.say(format!(
                "Copied {} to the clipboard, if your terminal allows it.",
                super::text::count(text.lines().count() as i64, "line", "lines")
            ));
            vec![Effect::CopyOut(text)]
        }
        None => {
            model.say("Nothing is marked here.");
            Vec::new()
        }
    }
}

/// Quits, unless something could not be saved: then the user is asked once.
fn quit(model: &mut Model, command: Command) -> Vec<Effect> {
    if matches!(model.saved, Saved::No(_)) && command == Command::Quit {
        model.overlay = Some(Overlay::Form(Form::not_saved(model)));
        return Vec::new();
    }
    if matches!(model.saved, Saved::No(_)) {
        // Whoever wants out gets out: the work is kept aside.
        return vec![Effect::KeepAsideAndQuit];
    }
    vec![Effect::Quit]
}

fn save(model: &mut Model) -> Vec<Effect> {
    match &model.saved {
        Saved::Practice => {
            let key = model.keymap.first(Command::Keep);
            model.say(format!(
                "Practice is never saved. {key} makes it a season of your own."
            ));
            Vec::new()
        }
        Saved::No(_) => {
            model.overlay = Some(Overlay::Form(Form::not_saved(model)));
            Vec::new()
        }
        Saved::Yes if !model.kept.is_empty() => {
            model.overlay = Form::kept_work(model).map(Overlay::Form);
            Vec::new()
        }
        Saved::Yes | Saved::Saving => {
            model.saved = Saved::Saving;
            vec![Effect::Save]
        }
    }
}
