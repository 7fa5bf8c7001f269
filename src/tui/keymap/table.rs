//! The table of keys.

use super::{Binding, Scope};
use crate::tui::action::Command as C;

const fn row(
    scope: Scope,
    id: &'static str,
    command: C,
    keys: &'static str,
    short: &'static str,
    words: &'static str,
) -> Binding {
    Binding {
        id,
        command,
        keys,
        scope,
        words,
        short,
    }
}

use Scope::{
    Board, Buy, Coverage, Delay, Everywhere, Form, Hours, Materials, Mix, Moving, Records, Review,
    Sprayers, Swell,
};

/// Every key, in the order shown. Within a place the footer takes the first
/// rows that have a short name.
#[rustfmt::skip]
pub static KEYMAP: &[Binding] = &[
    row(Everywhere, "help",      C::Help,      "? f1",     "keys",  "show the keys that work here"),
    row(Everywhere, "quit",      C::Quit,      "q",        "quit",  "leave this screen; on the board, save and quit"),
    row(Everywhere, "finder",    C::Finder,    ":",        "find an action", "find any action by its words"),
    row(Everywhere, "undo",      C::Undo,      "u",        "undo",  "undo the last change; again goes further back"),
    row(Everywhere, "redo",      C::Redo,      "U ctrl-r", "",      "redo what was undone"),
    row(Everywhere, "back",      C::Back,      "esc",      "",      "back out of what is open"),
    row(Everywhere, "leave",     C::Leave,     "ctrl-c",   "",      "save and quit from anywhere"),
    row(Everywhere, "board",     C::ShowBoard, "B",        "",      "go to the board"),
    row(Everywhere, "swell",     C::ShowSwell, "S",        "",      "go to the swell screen"),
    row(Everywhere, "hours",     C::ShowHours, "H",        "",      "go to the hours screen: which hours are fit for the spray"),
    row(Everywhere, "fetch",     C::Fetch,     "F",        "",      "fetch the forecast, beside the board"),
    row(Everywhere, "begin",     C::Begin,     "A",        "",      "begin a season of your own"),
    row(Everywhere, "tour",      C::Tour,      "T",        "",      "a tour of five steps; again ends it"),
    row(Everywhere, "search",    C::Find,      "/",        "",      "find words in the cards or lines here"),
    row(Everywhere, "search-next", C::FindNext, "n",       "",      "go to the next find"),
    row(Everywhere, "search-previous", C::FindPrevious, "N", "",    "go to the find before"),
    row(Everywhere, "save",      C::Save,      "W",        "",      "save now; after a failure, choose what to do"),
    row(Everywhere, "keep",      C::Keep,      "K",        "",      "keep this practice season as your own"),
    row(Everywhere, "leaf-drop", C::LeafDrop,  "D",        "",      "enter the day the leaves were seen down"),
    row(Everywhere, "review",    C::ShowReview, "V",       "",      "go to the week's review"),
    row(Everywhere, "records",   C::ShowRecords, "R",      "",      "go to the application records, re-entry and season totals"),
    row(Everywhere, "years",     C::ShowYears, "Y",        "",      "go to the years: seasons side by side, and what own dates do"),
    row(Everywhere, "repaint",   C::Repaint,   "ctrl-l",   "",      "paint the whole screen again"),
    row(Everywhere, "mouse",     C::Mouse,     "*",        "",      "switch the mouse on or off"),
    row(Everywhere, "copy-out",  C::CopyOut,   "O",        "",      "send what is chosen to the clipboard of your own terminal"),
    row(Everywhere, "suspend",   C::Suspend,   "ctrl-z",   "",      "stop and go back to the shell; fg comes back"),
    row(Everywhere, "coverage",  C::ShowCoverage, "C",     "",      "go to the coverage grid: what was seen, what covers it, what is proposed"),
    row(Everywhere, "mix",       C::ShowMix,   "X",        "",      "go to the mix sheet of the chosen spray"),
    row(Everywhere, "materials", C::ShowMaterials, "M",    "",      "go to the materials and their labels"),
    row(Everywhere, "buy",       C::ShowBuy,   "P",        "",      "go to the buy list: what is short (purchases)"),
    row(Everywhere, "sprayers",  C::ShowSprayers, "E",     "",      "go to the sprayers (equipment): calibration and nozzle wear"),

    row(Moving, "up",        C::Up,       "up k",    "", "up"),
    row(Moving, "down",      C::Down,     "down j",  "", "down"),
    row(Moving, "left",      C::Left,     "left h",  "", "left: to the lane, block or task before"),
    row(Moving, "right",     C::Right,    "right l", "", "right: to the next lane, block or task"),
    row(Moving, "first",     C::First,    "g home",  "", "to the first"),
    row(Moving, "last",      C::Last,     "G end",   "", "to the last"),
    row(Moving, "page-up",   C::PageUp,   "pgup",    "", "a page up"),
    row(Moving, "page-down", C::PageDown, "pgdn space", "", "a page down"),
    row(Moving, "next-part", C::NextPart, "tab",     "", "to the next lane or part"),
    row(Moving, "previous-part", C::PreviousPart, "shift-tab", "", "to the lane or part before"),
    row(Moving, "open",      C::Open,     "enter",   "details", "open: everything about it, with every why"),

    row(Board, "delay",     C::Delay,    "r",     "rain delay", "rain delay: move this task, or all that follow, and see what changes"),
    row(Board, "later",     C::Later,    "> +",   "a day later", "move the task a day later (3> moves it by three)"),
    row(Board, "earlier",   C::Earlier,  "< -",   "", "move the task a day earlier"),
    row(Board, "week-later", C::WeekLater, "]",   "", "move the task a week later"),
    row(Board, "week-earlier", C::WeekEarlier, "[", "", "move the task a week earlier"),
    row(Board, "move-to",   C::MoveTo,   "t",     "", "move the task to a date you type"),
    row(Board, "lane-right", C::LaneRight, "}",   "", "move the task to the next lane"),
    row(Board, "lane-left", C::LaneLeft, "{",     "", "move the task to the lane before"),
    row(Board, "finish",    C::Finish,   "f",     "finish", "finish the task: done or skipped, and when"),
    row(Board, "reopen",    C::Reopen,   "o",     "", "open a finished task again"),
    row(Board, "add",       C::Add,      "a",     "add", "add a task"),
    row(Board, "edit",      C::Edit,     "e",     "", "edit the task"),
    row(Board, "copy",      C::Copy,     "c",     "", "copy the task"),
    row(Board, "delete",    C::Delete,   "x del", "", "delete the task (undo brings it back)"),
    row(Board, "notes",     C::Notes,    "i",     "", "write notes on the task"),
    row(Board, "quieten",   C::Quieten,  "z",     "", "quieten a warning of the task, with your reason"),
    row(Board, "label-read", C::LabelRead, "y",   "", "enter that you read a label this season"),
    row(Board, "repeat",    C::Repeat,   "s",     "", "repeat a spray that washed off, in the next fit hours its label allows"),
    row(Board, "next-warning", C::NextWarning, "w", "", "to the next task with a warning, worst first"),
    row(Board, "next-due",  C::NextDue,  "d",     "", "to the next task that is due"),

    row(Swell, "add-total", C::AddTotal, "a",     "add degree days", "enter a degree-day total"),
    row(Swell, "add-buds",  C::AddBuds,  "b",     "add buds seen", "enter what the buds look like"),
    row(Swell, "add-rain",  C::AddRain,  "r",     "add rain", "enter the rain of a day from your gauge"),
    row(Swell, "delete-reading", C::DeleteReading, "x del", "", "delete the chosen reading (undo brings it back)"),

    row(Hours, "put-here",  C::PutHere,  "p",     "put it here", "put the spray on this day and hour (undo brings it back)"),
    row(Hours, "next-window", C::NextWindow, "w", "next window", "to the next fit window, then the doubtful ones"),
    row(Hours, "previous-window", C::PreviousWindow, "b", "", "to the window before"),
    row(Hours, "task-after", C::TaskAfter, "]",   "next spray", "the next open spray"),
    row(Hours, "task-before", C::TaskBefore, "[", "", "the open spray before"),

    row(Review, "mark-reviewed", C::MarkReviewed, "m",  "mark reviewed", "mark the week as reviewed (undo takes it back)"),

    row(Records, "correct", C::CorrectRecord, "c",       "correct", "correct the record: a new one that names the old one"),
    row(Records, "end-reentry", C::EndReentry, "d",      "dry: end re-entry", "end re-entry: somebody saw that it is dry"),

    row(Form, "next-field", C::FieldNext, "tab down", "next", "to the next field"),
    row(Form, "previous-field", C::FieldPrevious, "shift-tab up", "", "to the field before"),
    row(Form, "accept",     C::Accept,   "enter", "keep", "keep what is written (in notes: a new line; use tab, then enter)"),
    row(Form, "complete",   C::Complete, "right", "complete", "take the completion shown, or the next choice"),
    row(Form, "drop",       C::Back,     "esc",   "drop", "leave without keeping"),
    row(Form, "clear-field", C::ClearField, "ctrl-u", "", "clear the field to the left of the cursor (backspace does it too)"),

    row(Delay, "delay-more", C::Later,    "right > + l", "a day more", "a day more"),
    row(Delay, "delay-less", C::Earlier,  "left < - h", "a day less", "a day less"),
    row(Delay, "delay-scope", C::NextPart, "tab space", "one or all", "this task alone, or all that follow on the same blocks"),
    row(Delay, "delay-fit", C::FitHours,  "w f",  "fit hours", "into the next fit hours, or back to counting days; again shows the next choice"),
    row(Delay, "delay-up",  C::Up,        "up k",  "", "scroll up"),
    row(Delay, "delay-down", C::Down,     "down j", "", "scroll down"),
    row(Delay, "delay-accept", C::Accept, "enter", "accept", "accept these dates"),
    row(Delay, "delay-drop", C::Back,     "esc q", "drop", "leave everything as it was"),

    row(Coverage, "coverage-tick", C::Tick,   "s",     "seen", "tick the target as seen this season, or take the tick away"),
    row(Coverage, "coverage-add", C::Add,     "a",     "add seen", "tick what else was seen on this block, this season or a past one"),
    row(Coverage, "coverage-edit", C::Edit,   "e",     "count", "enter the count, the season and a note of what was seen"),
    row(Coverage, "coverage-plan", C::Plan,   "p",     "plan", "go to what would close the gap; among the proposals, accept the chosen one"),
    row(Coverage, "coverage-delete", C::Delete, "x del", "", "take away all that was seen of the target here (undo brings it back)"),
    row(Coverage, "coverage-quieten", C::Quieten, "z", "left alone", "quieten a warning of this block that no task answers for, with your reason"),
    row(Mix, "mix-write",    C::WriteSheet, "w",       "write the sheet", "write the sheet to a place you type, as text and as a page to print"),
    row(Materials, "material-edit", C::Edit,  "e",     "label", "go through the label, in the order a label is read"),
    row(Materials, "material-add", C::Add,    "a",     "add", "add a material from a starting point or from your own label"),
    row(Materials, "material-read", C::LabelRead, "y", "label read", "enter that you read the label this season"),
    row(Materials, "material-stock", C::Stock, "s",    "stock", "count the stock, enter pack and price"),
    row(Materials, "material-delete", C::Delete, "x del", "", "take the material away, if no task uses it (undo brings it back)"),
    row(Buy, "buy-stock",    C::Stock,      "s e",     "stock", "count the stock, enter pack and price"),
    row(Sprayers, "calibrate", C::Calibrate, "c",      "calibrate", "measure the sprayer: by catching, a plot, refilling, or the air-blast equation"),
];
