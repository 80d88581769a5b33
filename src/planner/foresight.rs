//! Everything that is foreseen of one job, as one piece of work to be done beside the screen.

use std::borrow::Cow;
use std::sync::Arc;

use super::forecast::{Forecast, SAMPLES, SEED, Start, forecast};
use super::learn::{Lessons, ShopBook, learn};
use super::ways_out::{WayOut, after_failed_weld, ways_out};
use crate::journal::{Entry, Event};
use crate::session::Session;
use crate::units::Mm;

/// What is asked.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// Counts what was asked; the answer carries it.
    pub version: u64,
    /// The job, its log left out.
    pub session: Box<Session>,
    /// Other jobs of the shop.
    pub others: Arc<Vec<Session>>,
    /// What the smith pinned or started afresh.
    pub book: ShopBook,
    /// A weld failed: so much is to be cut off its end.
    pub cut: Option<Mm>,
}

impl PartialEq for Outlook {
    fn eq(&self, other: &Self) -> bool {
        self.version == other.version && self.book == other.book && self.cut == other.cut
    }
}

/// What is foreseen.
#[derive(Debug, Clone)]
pub struct Foresight {
    /// The question it answers.
    pub version: u64,
    /// The steps to come.
    pub forecast: Forecast,
    /// What the journals teach.
    pub lessons: Lessons,
    /// Ways out: worked when the plan is off, or a weld is to be cut back.
    pub ways: Vec<WayOut>,
    /// The cut that the ways begin with.
    pub cut: Option<Mm>,
}

/// Works it out: tens of milliseconds, and a few hundred where ways out are wanted.
#[must_use]
pub fn foresee(asked: &Outlook) -> Foresight {
    let mut sessions: Vec<&Session> = asked.others.iter().collect();
    let told = with_its_readings(&asked.session);
    sessions.push(&told);
    let lessons = learn(&sessions, &asked.book, Some(&asked.session.plan));
    let start = Start::of_session(&asked.session);
    let forecast = forecast(&start, &lessons, SEED, SAMPLES);
    let ways = match asked.cut {
        Some(by) => after_failed_weld(&start, &lessons, &forecast, by),
        None => ways_out(&start, &lessons, &forecast, asked.session.has_decided()),
    };
    Foresight {
        version: asked.version,
        forecast,
        lessons,
        ways,
        cut: asked.cut,
    }
}

/// The job as what was read in the step in hand will leave it, so that ending the step teaches nothing
/// new.
fn with_its_readings(session: &Session) -> Cow<'_, Session> {
    let Some(step) = session.current().filter(|_| !session.reading().is_empty()) else {
        return Cow::Borrowed(session);
    };
    let done = Entry {
        seq: session.seq + 1,
        at: session.last.unwrap_or_default(),
        event: Event::Done {
            step: step.id.clone(),
        },
    };
    let mut told = session.clone();
    match told.take(done) {
        Ok(()) => Cow::Owned(told),
        Err(_) => Cow::Borrowed(session),
    }
}
