//! What the screen knows of the steps to come.

use std::sync::Arc;

use super::Model;
use crate::physics::Spread;
use crate::plan::WalkedStep;
use crate::planner::forecast::{Forecast, percent};
use crate::planner::foresight::{Foresight, Outlook};
use crate::planner::learn::ShopBook;
use crate::planner::situation::Situation;
use crate::planner::ways_out::{Course, changes};
use crate::session::Session;
use crate::units::{Mm, show};

/// What a situation was derived from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ui) struct Stood {
    seq: u64,
    plan: u32,
    seen: Option<u64>,
    version: u64,
}

/// What is foreseen, and what it is foreseen from.
#[derive(Debug, Clone, Default)]
pub struct Ahead {
    /// Counts changes of the metal, the plan and the shop file.
    pub version: u64,
    /// The version last asked for.
    pub asked: Option<u64>,
    /// The newest answer.
    pub known: Option<Arc<Foresight>>,
    /// Other jobs of the shop.
    pub others: Arc<Vec<Session>>,
    /// What the smith pinned or started afresh.
    pub book: ShopBook,
    /// What the last reading changed in the later steps.
    pub changed: Vec<String>,
    pub(in crate::ui) later: Option<Vec<WalkedStep>>,
    /// A weld failed: so much is to be cut off.
    pub cut: Option<Mm>,
}

impl Model {
    /// The forecast as last worked.
    #[must_use]
    pub fn forecast(&self) -> Option<&Forecast> {
        self.ahead.known.as_ref().map(|known| &known.forecast)
    }

    /// True while a newer forecast is on its way.
    #[must_use]
    pub fn is_foreseeing(&self) -> bool {
        let known = self.ahead.known.as_ref().map(|known| known.version);
        known != Some(self.ahead.version)
    }

    /// True when the steps to come do not lead to the blade as planned.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.situation.is_off()
    }

    /// Derives the situation anew where the job or what is foreseen of it has changed.
    pub(in crate::ui) fn stand(&mut self) {
        let known = self.ahead.known.as_deref();
        let stood = Stood {
            seq: self.session.seq,
            plan: self.session.plan_hash,
            seen: known.map(|known| known.version),
            version: self.ahead.version,
        };
        if self.stood == Some(stood) {
            self.situation.tick(&self.session, known, self.now);
            return;
        }
        self.stood = Some(stood);
        let current = !self.is_foreseeing();
        self.situation = Situation::of(&self.session, known, current, self.now);
        let prices = &self.ahead.book.prices;
        self.situation.price(&self.session, known, prices);
    }

    /// The one line of the work screen: `enough ~93 %`.
    #[must_use]
    pub fn enough_line(&self) -> Option<String> {
        let odds = self.situation.odds.as_ref()?;
        let mark = if odds.current { "" } else { " (updating)" };
        let both = match &self.situation.broken {
            Some(_) => "as planned: NO; ".to_owned(),
            None if odds.ground => String::new(),
            None => format!(
                "enough: {}, as planned: {}; ",
                percent(odds.enough.probability),
                percent(odds.planned.chance)
            ),
        };
        Some(format!(
            "{both}{}, {} left{mark}",
            show::counted(range(odds.heats, 0), "heat"),
            hours(odds.minutes)
        ))
    }

    /// Something that forecasts rest on has changed.
    pub(in crate::ui) fn look_again(&mut self) {
        self.ahead.version += 1;
    }

    /// The question to ask now, when the answer held is not to it.
    pub(in crate::ui) fn outlook(&mut self) -> Option<Outlook> {
        if self.ahead.asked == Some(self.ahead.version) {
            return None;
        }
        self.ahead.asked = Some(self.ahead.version);
        Some(Outlook {
            version: self.ahead.version,
            session: Box::new(self.session.without_log()),
            others: Arc::clone(&self.ahead.others),
            book: self.ahead.book.clone(),
            cut: self.ahead.cut,
        })
    }

    /// Keeps the later sizes as they are, to hold the next against; needed once.
    pub(in crate::ui) fn keep_later(&mut self) {
        if self.ahead.later.is_none() {
            self.ahead.later = Some(self.later().rows);
        }
    }

    /// The steps behind the one in hand, run on the metal as it is.
    fn later(&self) -> Course {
        let session = &self.session;
        // With readings in this step the later ones start from the metal as read.
        let from = if session.reading().is_empty() {
            session.expected().unwrap_or(&session.billet)
        } else {
            &session.live.billet
        };
        Course::run(&session.plan, session.at + 1, from)
    }

    /// What the metal as it is now changes in the later sizes, a line each.
    pub(in crate::ui) fn later_changes(&mut self) -> Vec<String> {
        let now = self.later();
        let before = self.ahead.later.take().unwrap_or_default();
        let plan = &self.session.plan;
        // The step that has come in hand or is done is no news.
        let from = self.session.at + 1;
        let ahead = |row: &&WalkedStep| {
            let place = plan.steps.iter().position(|step| step.id == row.step);
            place.is_none_or(|place| place >= from)
        };
        let before: Vec<WalkedStep> = before.iter().filter(ahead).cloned().collect();
        let mut lines: Vec<String> = now
            .bends
            .iter()
            .take(1)
            .map(|(step, why)| format!("{step}: no longer fits: {}", why.what))
            .collect();
        let old = !before.is_empty();
        let listed = changes(plan, &before, &now.rows);
        if listed.is_empty() || !old {
            lines.clear();
        } else {
            lines.extend(listed);
        }
        self.ahead.later = Some(now.rows);
        lines
    }
}

/// Time at work, days have other hours in them: `41 to 75 h`.
#[must_use]
pub(in crate::ui) fn hours(minutes: Spread) -> String {
    let said = |minutes: f64| match minutes < 99.5 {
        true => (show::fixed(minutes, 0), "min"),
        false => (show::fixed(minutes / 60.0, 0), "h"),
    };
    let ((low, of_low), (high, of_high)) = (said(minutes.low), said(minutes.high));
    match (low == high, of_low == of_high) {
        (_, false) => format!("{low} {of_low} to {high} {of_high}"),
        (true, _) => format!("~{high} {of_high}"),
        (false, true) => format!("{low} to {high} {of_high}"),
    }
}

/// A band in figures: `12 to 16`, or one figure where both ends read the same.
#[must_use]
pub(in crate::ui) fn range(band: Spread, decimals: usize) -> String {
    let (low, high) = (
        show::fixed(band.low, decimals),
        show::fixed(band.high, decimals),
    );
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}
