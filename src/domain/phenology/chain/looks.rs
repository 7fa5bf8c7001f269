//! A look at the buds is a fact: the stage seen, and every stage before it, has come by the end of
//! that day, and the stages after it have not.
//!
//! A draw that says otherwise is moved until it agrees, gaps kept where they can be, and weighs the
//! less the further it had to go: what was seen tells of the rest of the season too.

use super::{Draw, GREEN, LADDER, rung_of};

/// What was seen on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Day of the dormant year.
    pub day: i64,
    /// BBCH number; 0 is still tight.
    pub bbch: u8,
}

/// An eye is early or late by about this much, days; a draw moved by as much weighs half.
const EYE_DAYS: f32 = 2.0;
/// Just before the end of a day: a stage at that time has come on that day.
const END_OF_DAY: f32 = 0.99;

/// Earliest and latest time of every stage that the looks leave.
#[derive(Debug)]
struct Bounds {
    from: [f32; LADDER.len()],
    until: [f32; LADDER.len()],
}

impl Bounds {
    fn of(looks: &[Look]) -> Self {
        let mut bounds = Self {
            from: [f32::NEG_INFINITY; LADDER.len()],
            until: [f32::INFINITY; LADDER.len()],
        };
        for look in looks {
            // Rungs reached: those up to `reached`, exclusive.
            let reached = rung_of(look.bbch).map_or(0, |r| r + 1);
            // Who says "swelling" may mean scales parted as well: green is what has not come.
            let not_yet = if (1..GREEN).contains(&reached) {
                GREEN
            } else {
                reached
            };
            let day = look.day as f32;
            for until in bounds.until.iter_mut().take(reached) {
                *until = until.min(day + END_OF_DAY);
            }
            for from in bounds.from.iter_mut().skip(not_yet) {
                *from = from.max(day + 1.0);
            }
        }
        // A stage that was seen once has come, whatever a later look forgot.
        for (from, until) in bounds.from.iter_mut().zip(&bounds.until) {
            if *from > *until {
                *from = f32::NEG_INFINITY;
            }
        }
        bounds
    }

    /// How far the draw as a whole must be moved so that most agrees: to the earlier for what has
    /// come, else to the later for what has not, as far as what has come allows.
    fn shift(&self, days: &[f32; LADDER.len()]) -> f32 {
        let earlier = days
            .iter()
            .zip(&self.until)
            .map(|(day, until)| day - until)
            .fold(0.0f32, f32::max);
        if earlier > 0.0 {
            return -earlier;
        }
        let room = days
            .iter()
            .zip(&self.until)
            .map(|(day, until)| until - day)
            .fold(f32::INFINITY, f32::min);
        let later = days
            .iter()
            .zip(&self.from)
            .map(|(day, from)| from - day)
            .fold(0.0f32, f32::max);
        later.min(room.max(0.0))
    }
}

/// Makes every draw agree with the looks.
pub(super) fn hold(draws: &mut [Draw], looks: &[Look]) {
    if looks.is_empty() {
        return;
    }
    let bounds = Bounds::of(looks);
    for draw in draws {
        let before = draw.days;
        let shift = bounds.shift(&before);
        let mut moved = shift.abs();
        let mut carried = 0.0f32;
        let mut floor = f32::NEG_INFINITY;
        for ((day, from), until) in draw.days.iter_mut().zip(&bounds.from).zip(&bounds.until) {
            *day += shift + carried;
            if *day < *from {
                // What comes after keeps its distance.
                carried += from - *day;
                moved = moved.max(from - *day);
                *day = *from;
            }
            if *day > *until {
                moved = moved.max(*day - until);
                *day = *until;
                carried = carried.min(0.0);
            }
            *day = day.max(floor);
            floor = *day;
        }
        let off = moved / EYE_DAYS;
        draw.weight *= f64::from(off.mul_add(off, 1.0)).powi(-2);
    }
}
