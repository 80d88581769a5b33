//! Everything that is foreseen of one job, as one piece of work to be done beside the screen.

use std::sync::Arc;

use super::forecast::{Forecast, SAMPLES, Start, forecast};
use super::learn::{Lessons, ShopBook, learn};
use crate::session::Session;

/// The chance that forecasts on the screen are drawn from: the same job shows the same figures.
const SEED: u64 = 20_260_302;

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
}

impl PartialEq for Outlook {
    fn eq(&self, other: &Self) -> bool {
        self.version == other.version && self.book == other.book
    }
}

/// What is foreseen.
#[derive(Debug, Clone, PartialEq)]
pub struct Foresight {
    /// The question it answers.
    pub version: u64,
    /// The steps to come.
    pub forecast: Forecast,
    /// What the journals teach.
    pub lessons: Lessons,
}

/// Works it out: tens of milliseconds.
#[must_use]
pub fn foresee(asked: &Outlook) -> Foresight {
    let mut sessions: Vec<&Session> = asked.others.iter().collect();
    sessions.push(&asked.session);
    let lessons = learn(&sessions, &asked.book, Some(&asked.session.plan));
    let start = Start::of_session(&asked.session);
    Foresight {
        version: asked.version,
        forecast: forecast(&start, &lessons, SEED, SAMPLES),
        lessons,
    }
}
