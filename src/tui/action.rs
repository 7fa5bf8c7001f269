//! What a user can ask for, and what the outside world reports.

use crate::domain::chance::JobChance;
use crate::domain::outlook::{Asked, Estimates};
use crate::domain::records::Conditions;
use crate::domain::review::Review;
use crate::domain::season::{BlockId, Season};
use crate::tui::host::{
    Begin, CameIn, Curves, Earlier, Joined, News, Reloaded, SaveOutcome, Stands, TableAnswer,
    TableAsk, Trail, Years,
};
use crate::tui::key::Key;
use chrono::{NaiveDate, NaiveDateTime};

/// Something a key, a click or the finder can ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Command {
    Help,
    Finder,
    Undo,
    Redo,
    Quit,
    Back,
    Leave,
    ShowBoard,
    ShowSwell,
    Find,
    FindNext,
    FindPrevious,
    Save,
    Keep,
    LeafDrop,
    Repaint,
    Mouse,
    Suspend,
    Up,
    Down,
    Left,
    Right,
    First,
    Last,
    PageUp,
    PageDown,
    NextPart,
    PreviousPart,
    Open,
    Delay,
    Later,
    Earlier,
    WeekLater,
    WeekEarlier,
    MoveTo,
    LaneRight,
    LaneLeft,
    Finish,
    Reopen,
    Add,
    Edit,
    Copy,
    Delete,
    Notes,
    Quieten,
    LabelRead,
    NextWarning,
    NextDue,
    AddTotal,
    AddBuds,
    AddRain,
    DeleteReading,
    ShowCoverage,
    ShowMix,
    ShowMaterials,
    ShowBuy,
    ShowSprayers,
    Tick,
    TickAll,
    Narrow,
    OrderBy,
    Plan,
    WriteSheet,
    Stock,
    Calibrate,
    FieldNext,
    FieldPrevious,
    Accept,
    Complete,
    ClearField,
    ShowHours,
    Fetch,
    PutHere,
    IntoFit,
    Zoom,
    Skip,
    LastSafe,
    ByUrgency,
    ByLanes,
    ByBlocks,
    Farm,
    NextWindow,
    PreviousWindow,
    TaskAfter,
    TaskBefore,
    Repeat,
    FitHours,
    Begin,
    Tour,
    ShowReview,
    ShowRunSheet,
    EditPlace,
    AddBlock,
    EditBlock,
    SplitBlock,
    RetireBlock,
    AddPerson,
    EditSprayer,
    ShowRecords,
    ShowYears,
    ShowLedger,
    Chance,
    MarkReviewed,
    CorrectRecord,
    EndReentry,
    CopyOut,
    BringWeather,
    Versions,
}

/// What happened.
#[derive(Debug, Clone)]
pub enum Event {
    /// A key was typed.
    Key(Key),
    /// Text was pasted.
    Paste(String),
    /// Something on the screen was clicked.
    Click(Spot),
    /// The card under the button was drawn along its dates, by so many days in all.
    Drag(i64),
    /// The button was let go.
    Release,
    /// The wheel turned: up is negative.
    Wheel(i16),
    /// The screen has this many columns and rows.
    Size(u16, u16),
    /// No key has waited for a while: what follows the mark may follow.
    Rest,
    /// It is this day now.
    Day(NaiveDate),
    /// A save ended.
    Saved(SaveOutcome),
    /// Estimates came in.
    Estimates(Estimates),
    /// What the estimate of a block would have been on earlier days.
    Asked(BlockId, Vec<Asked>),
    /// Something became ready beside the board.
    News(News),
    /// The curves of a block came in.
    Curves(BlockId, Option<Curves>),
    /// What came from others since the file was last read.
    CameIn(Result<Option<CameIn>, String>),
    /// The version on the disk was joined with ours.
    Joined(Result<Box<Joined>, String>),
    /// Kept work was joined with the season; it has this name.
    TookKept(Result<CameIn, String>, String),
    /// The earlier versions came in.
    Versions(Result<Vec<Earlier>, String>),
    /// An earlier version came in, by its time.
    Version(Result<Box<Season>, String>, String),
    /// A season of the user's own was begun.
    Begun(Result<Reloaded, String>),
    /// The season was written to a new place.
    Kept(Result<Reloaded, String>),
    /// A weather file was looked at or brought in, or why not.
    Table(Result<TableAnswer, String>),
    /// New files were written, or why not.
    Written(Result<String, String>),
    /// The file changed on disk and can be read again.
    ChangedOutside,
    /// It is this time in the orchard now.
    Clock(NaiveDateTime),
    /// The week's review came in.
    Review(Option<Box<Review>>),
    /// The seasons side by side came in.
    Years(Years),
    /// Past winters were replayed.
    Chances(Vec<JobChance>),
    /// The steps of earlier sessions came in, because somebody undid (true) or made again more
    /// than this session did.
    Trail(Option<Box<Trail>>, bool),
    /// The air of the hours asked for, and where it comes from.
    Air(Box<Conditions>, Option<&'static str>),
}

/// What lies under a click.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spot {
    /// A card, by its place in the season's list of tasks.
    Card(usize),
    /// A line of the open list or form.
    Row(usize),
    /// A line of the list on the screen.
    Line(usize),
    /// A line and lane of the coverage grid.
    Cell(usize, usize),
    /// An hour of the hours grid, by its place in the air.
    Hour(usize),
}

/// What the model asks of the world.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Effect {
    /// Save the season, after the next frame is out.
    Save,
    /// Take in what others wrote.
    TakeIn,
    /// Join the version on the disk with ours, item by item.
    Join(Stands),
    /// Take work of an earlier session into the season.
    TakeKept(String),
    /// Let work of an earlier session go.
    DropKept(String),
    /// List the earlier versions.
    Versions,
    /// Take an earlier version in the place of the season, by its name and time.
    Restore(String, String),
    /// Keep the unsaved work aside, then end.
    KeepAsideAndQuit,
    /// Write the season to this place and work there from now on.
    KeepAt(String),
    /// Write new files, path and content, without overwriting any.
    WriteNew(Vec<(String, String)>),
    /// Compute the estimates again.
    Estimate,
    /// Fetch the curves of a block.
    Curves(BlockId),
    /// Work out what the estimate of a block would have been on earlier days.
    Asked(BlockId),
    /// Fetch the forecast, beside the board.
    Fetch,
    /// Look at a weather file, or bring it in.
    Table(Box<TableAsk>),
    /// Make a season of the user's own and work there from now on.
    Begin(Box<Begin>),
    /// Send the whole screen again.
    Repaint,
    /// Switch mouse reports.
    Mouse(bool),
    /// Send text to the clipboard of the user's own terminal.
    CopyOut(String),
    /// Give the terminal back and stop.
    Suspend,
    /// Save what is unsaved and end.
    Quit,
    /// Make the week's review.
    Review,
    /// Set the seasons side by side.
    Years,
    /// Replay past winters with the work of the run sheet.
    Chances,
    /// Look up the steps of earlier sessions, then take one back (true) or make one again.
    Trail(bool),
    /// Look up the air between two local times.
    Air(NaiveDateTime, NaiveDateTime),
}
