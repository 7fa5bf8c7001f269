//! How far the terminal is behind what was sent, told by its own answers.
//!
//! The kernel and the programs of a remote session take kilobytes at once and say nothing of
//! what is still on its way, so on a slow line a key held down would leave seconds of frames
//! that nobody wants any more. A request for a status report (DSR 5, ECMA-48) is answered by a
//! terminal when it comes to it: it goes before and behind the first frame that follows a key,
//! then behind large frames and those of a quick row. Frames wait while the oldest answer is
//! later than the line alone makes it, or more is unanswered than a slow line takes in a moment.
//! Nothing is asked at start nor behind single keys, for a short look may end before the answer is
//! back; a terminal that never answered is asked once and never waited for.

use std::collections::VecDeque;
use std::time::{Duration, Instant};

/// "Report your status."
pub const ASK: &[u8] = b"\x1b[5n";

/// A frame that follows another as soon as this is one of a row.
const ROW_GAP: Duration = Duration::from_millis(120);
/// So many keys within this time are a row, in which frames may pile up.
const ROW: usize = 3;
const ROW_WITHIN: Duration = Duration::from_millis(400);
/// So many bytes in a row since the last question are asked behind.
const SOME: usize = 200;
/// So many bytes since the last question are asked behind at once.
const LARGE: usize = 1000;
/// So many bytes may wait for their answers.
const MOST_BYTES: usize = 1500;
/// An answer may be later than the quickest one by this: so much may stand in the queue.
const SHORT_QUEUE: Duration = Duration::from_millis(150);
/// A terminal that answered before and is silent for this long is taken for one that does not.
const GIVEN_UP: Duration = Duration::from_secs(10);
/// The same for one that never answered, where only leaving would wait for it.
const UNPROVEN: Duration = Duration::from_secs(2);

/// A question that is not answered yet.
#[derive(Debug)]
struct Question {
    at: Instant,
    /// What went out before it, since the question before.
    bytes: usize,
}

/// Where to ask about a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// Nowhere.
    Not,
    /// Behind it.
    Behind,
    /// Before and behind it: how long an answer takes by itself is not known yet.
    Around,
}

/// What was asked and answered.
#[derive(Debug, Default)]
pub struct Backlog {
    /// The last keys.
    keys: VecDeque<Instant>,
    last: Option<Instant>,
    /// Since the last question.
    bytes: usize,
    asked: VecDeque<Question>,
    /// The quickest answer; none while the terminal is not known to answer.
    quickest: Option<Duration>,
    /// Frames wait until every answer is in, so that the quickest is measured on a free line.
    draining: bool,
}

impl Backlog {
    /// A key came.
    pub fn wake(&mut self, now: Instant) {
        self.keys.push_back(now);
        if self.keys.len() > ROW {
            self.keys.pop_front();
        }
    }

    /// Do keys come one after the other just now?
    fn in_row(&self, now: Instant) -> bool {
        let first = self.keys.front().filter(|_| self.keys.len() == ROW);
        first.is_some_and(|first| now.duration_since(*first) < ROW_WITHIN)
    }

    /// A frame of so many bytes goes out: where is the terminal to be asked?
    pub fn ask(&mut self, bytes: usize, now: Instant) -> Ask {
        let in_row = self
            .last
            .is_some_and(|last| now.duration_since(last) < ROW_GAP);
        self.last = Some(now);
        let silent = |asked: &Question| now.duration_since(asked.at) >= GIVEN_UP;
        if self.asked.front().is_some_and(silent) && self.quickest.take().is_some() {
            self.asked.clear();
        }
        let ask = match self.quickest {
            Some(_) if self.bytes + bytes >= if in_row { SOME } else { LARGE } => Ask::Behind,
            None if self.asked.is_empty() && self.in_row(now) => Ask::Around,
            _ => Ask::Not,
        };
        if ask == Ask::Around {
            self.asked.push_back(Question { at: now, bytes: 0 });
            self.bytes = 0;
        }
        self.bytes += bytes;
        if ask != Ask::Not {
            let bytes = std::mem::take(&mut self.bytes);
            self.asked.push_back(Question { at: now, bytes });
        }
        ask
    }

    /// An answer came: how long the line needed for one at best.
    pub fn answered(&mut self, now: Instant) -> Option<Duration> {
        let asked = self.asked.pop_front()?;
        let took = now.duration_since(asked.at);
        self.quickest = Some(self.quickest.map_or(took, |quickest| quickest.min(took)));
        // The frame that waited for it goes on with the row.
        self.last = Some(now);
        self.quickest
    }

    /// Frames wait for an answer: how long at most.
    pub fn wait(&mut self, now: Instant) -> Option<Duration> {
        let oldest = self.quickest.zip(self.asked.front());
        let since = oldest.map(|(quickest, asked)| (quickest, now.duration_since(asked.at)));
        let Some((quickest, since)) = since.filter(|(_, since)| *since < GIVEN_UP) else {
            self.draining = false;
            return None;
        };
        let bytes: usize = self.asked.iter().map(|asked| asked.bytes).sum();
        self.draining |= since >= quickest + SHORT_QUEUE || bytes >= MOST_BYTES;
        self.draining.then(|| GIVEN_UP.saturating_sub(since))
    }

    /// How long an answer may still be on its way, if any: whoever leaves before would have it
    /// taken for keys by the shell.
    pub fn owed_for(&self, now: Instant) -> Option<Duration> {
        let patience = match self.quickest {
            Some(_) => GIVEN_UP,
            None => UNPROVEN,
        };
        let since = now.duration_since(self.asked.back()?.at);
        (since < patience).then(|| patience.saturating_sub(since))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ms(n: u64) -> Duration {
        Duration::from_millis(n)
    }

    /// A key held down thirty times a second for three seconds, on a line that needs so long for
    /// a frame and brings an answer so much later: the frames drawn, and how long after the last
    /// key the last of them is on the screen.
    fn hold(frame: Duration, trip: Duration, answers: bool) -> (u32, Duration) {
        let begun = Instant::now();
        let (mut backlog, mut coming) = (Backlog::default(), VecDeque::new());
        let (mut now, mut line_free, mut drawn) = (begun, begun, 0);
        let (mut keys, mut shown) = (0, 0);
        while keys < 90 || shown < keys {
            now += ms(1);
            let before = keys;
            keys = (now.duration_since(begun).as_millis() / 33).min(90);
            if keys > before {
                backlog.wake(now);
            }
            while coming.front().is_some_and(|at| *at <= now) {
                coming.pop_front();
                backlog.answered(now);
            }
            if shown < keys && backlog.wait(now).is_none() {
                shown = keys;
                drawn += 1;
                let ask = backlog.ask(40, now);
                line_free = line_free.max(now);
                if ask == Ask::Around && answers {
                    coming.push_back(line_free + trip);
                }
                line_free += frame;
                if ask != Ask::Not && answers {
                    coming.push_back(line_free + trip);
                }
            }
        }
        (drawn, line_free.duration_since(begun + ms(90 * 33)))
    }

    #[test]
    fn on_a_slow_line_the_latest_state_is_shown_soon() {
        // Ninety frames of 100 ms would need nine seconds.
        let (drawn, late) = hold(ms(100), ms(0), true);
        // The first two keys are not asked about.
        assert!(late < ms(900), "{late:?}");
        assert!(drawn >= 25, "{drawn}");
        // What was learnt of a line is older by a trip.
        let (_, late) = hold(ms(100), ms(200), true);
        assert!(late < ms(1500), "{late:?}");
    }

    #[test]
    fn on_a_quick_line_no_frame_is_left_out_however_long() {
        for trip in [1, 30, 120, 400] {
            let (drawn, _) = hold(ms(1), ms(trip), true);
            // While the first answer is awaited nothing is known, and nothing waits.
            assert_eq!(drawn, 90, "{trip} ms");
        }
    }

    #[test]
    fn a_terminal_that_never_answers_is_asked_once_and_never_waited_for() {
        let (drawn, _) = hold(ms(1), ms(0), false);
        assert_eq!(drawn, 90);
        let (mut backlog, begun) = (Backlog::default(), Instant::now());
        row(&mut backlog, begun);
        assert_eq!(backlog.ask(40, begun), Ask::Around);
        assert!((1..500).all(|i| backlog.ask(40, begun + ms(33 * i)) == Ask::Not));
        assert_eq!(backlog.owed_for(begun + ms(200)), Some(ms(1800)));
        assert_eq!(backlog.owed_for(begun + ms(3000)), None);
        assert_eq!(backlog.wait(begun + ms(1000)), None);
    }

    /// Three keys at once.
    fn row(backlog: &mut Backlog, at: Instant) {
        for _ in 0..ROW {
            backlog.wake(at);
        }
    }

    #[test]
    fn single_keys_ask_nothing() {
        let (mut backlog, begun) = (Backlog::default(), Instant::now());
        for i in 0..20 {
            let now = begun + ms(300 * i);
            backlog.wake(now);
            assert_eq!(backlog.ask(40, now), Ask::Not);
        }
    }

    /// One that answered at once.
    fn proven(at: Instant) -> Backlog {
        let mut backlog = Backlog::default();
        row(&mut backlog, at);
        assert_eq!(backlog.ask(40, at), Ask::Around);
        backlog.answered(at);
        backlog.answered(at);
        backlog
    }

    #[test]
    fn a_start_asks_nothing_and_single_keys_once() {
        let (mut backlog, begun) = (Backlog::default(), Instant::now());
        assert!((0..50).all(|i| backlog.ask(5000, begun + ms(10 * i)) == Ask::Not));
        let mut backlog = proven(begun);
        assert!((1..20).all(|i| backlog.ask(40, begun + ms(130 * i)) == Ask::Not));
        assert_eq!(backlog.ask(4000, begun + ms(9000)), Ask::Behind);
    }

    #[test]
    fn no_frame_follows_a_large_one_before_that_has_come() {
        let begun = Instant::now();
        let mut backlog = proven(begun);
        assert_eq!(backlog.wait(begun), None);
        assert_eq!(backlog.ask(1800, begun + ms(1000)), Ask::Behind);
        assert!(backlog.wait(begun + ms(1001)).is_some());
        backlog.answered(begun + ms(2800));
        assert_eq!(backlog.wait(begun + ms(2800)), None);
    }

    #[test]
    fn a_terminal_that_fell_silent_is_given_up_and_late_answers_upset_nothing() {
        let begun = Instant::now();
        let mut backlog = proven(begun);
        backlog.answered(begun);
        assert_eq!(backlog.ask(400, begun + ms(80)), Ask::Behind);
        assert!(backlog.owed_for(begun + ms(1000)).is_some());
        assert_eq!(backlog.wait(begun + ms(100)), None);
        let waits = backlog.wait(begun + ms(1080));
        assert_eq!(waits, Some(ms(9000)));
        let later = begun + ms(80) + GIVEN_UP;
        assert_eq!(backlog.wait(later), None);
        // Then it has to show again that it answers.
        row(&mut backlog, later);
        assert_eq!(backlog.ask(40, later), Ask::Around);
        assert_eq!(backlog.wait(later + ms(5000)), None);
    }
}
