//! What the screen knows of the steps to come.

use std::sync::Arc;

use super::model::Model;
use crate::billet::Billet;
use crate::physics::Spread;
use crate::plan::{Level, StepId, dry_run};
use crate::planner::forecast::{Forecast, percent};
use crate::planner::foresight::{Foresight, Outlook};
use crate::planner::learn::ShopBook;
use crate::session::Session;
use crate::units::{Mm, show};

/// Less than this chance, and the smith is told of the ways out.
const SURE: f64 = 0.9;
/// A later length that differs by no more than this is no news.
const SAME: (Mm, f64) = (Mm(1.0), 0.01);

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
}

/// A later step's size, to be held against the next.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Later {
    step: StepId,
    name: String,
    pieces: u32,
    size: [Mm; 3],
    bands: u128,
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
        if self.session.is_finished() {
            return false;
        }
        let forecast = self.forecast();
        self.session.live.drift.is_some()
            || forecast.is_some_and(|seen| seen.enough.probability < SURE)
    }

    /// The one line of the work screen: `enough ~93 %`.
    #[must_use]
    pub fn enough_line(&self) -> Option<String> {
        let seen = self.forecast().filter(|_| !self.session.is_finished())?;
        let mark = if self.is_foreseeing() {
            " (updating)"
        } else {
            ""
        };
        Some(format!(
            "enough: {}; {} heats, ~{} left{mark}",
            chance(seen.enough.probability),
            range(seen.heats, 0),
            hours(seen.minutes.best)
        ))
    }

    /// Something that forecasts rest on has changed.
    pub(super) fn look_again(&mut self) {
        self.ahead.version += 1;
    }

    /// The question to ask now, when the answer held is not to it.
    pub(super) fn outlook(&mut self) -> Option<Outlook> {
        if self.ahead.asked == Some(self.ahead.version) {
            return None;
        }
        self.ahead.asked = Some(self.ahead.version);
        Some(Outlook {
            version: self.ahead.version,
            session: Box::new(self.session.without_log()),
            others: Arc::clone(&self.ahead.others),
            book: self.ahead.book.clone(),
        })
    }

    /// Sizes of the steps behind the one in hand.
    pub(super) fn later(&self) -> Vec<Later> {
        self.later_walk().0
    }

    /// The same, and why the plan goes no further where it does not.
    fn later_walk(&self) -> (Vec<Later>, Option<String>) {
        let session = &self.session;
        let from = session.at + 1;
        // With readings in this step the later ones start from the metal as read.
        let walk = if session.step.reading.is_empty() {
            None
        } else {
            Some(dry_run(&session.plan, from, &session.live.billet))
        };
        let (rows, found) = match &walk {
            Some(walk) => (walk.rows.as_slice(), &walk.found),
            None => (
                session.ahead.rows.get(1..).unwrap_or_default(),
                &session.ahead.found,
            ),
        };
        let steps = session.plan.steps.iter().skip(from);
        let later = rows
            .iter()
            .zip(steps)
            .map(|(row, step)| Later::of(&row.step, step.name(), &row.billet))
            .collect();
        let error = found.iter().find(|one| one.level == Level::Error);
        (
            later,
            error.map(|one| format!("{}; {}", one.what, one.remedy)),
        )
    }

    /// What differs from the later sizes held before, a line each.
    pub(super) fn later_changes(&self, before: &[Later]) -> Vec<String> {
        let (now, refused) = self.later_walk();
        let units = self.units();
        let words = |one: &Later| {
            let [width, thickness, length] = one.size;
            format!("{} x {}", one.pieces, units.size(width, thickness, length))
        };
        let mut lines = Vec::new();
        let mut lost = 0_usize;
        for old in before {
            match now.iter().find(|new| new.step == old.step) {
                Some(new) if new.differs(old) => {
                    let bands = if new.bands == old.bands {
                        String::new()
                    } else {
                        format!(
                            ", {} bands (was {})",
                            show::count(new.bands),
                            show::count(old.bands)
                        )
                    };
                    lines.push(format!(
                        "{} ({}): ~{} (was {}){bands}",
                        new.name,
                        new.step,
                        words(new),
                        words(old)
                    ));
                }
                Some(_) => {}
                None if self.session.current().is_some_and(|now| now.id == old.step) => {}
                None if lost == 0 => {
                    lost = 1;
                    let why = refused.clone().unwrap_or_default();
                    lines.push(format!(
                        "{} ({}): can no longer be made as planned: {why}",
                        old.name, old.step
                    ));
                }
                None => lost += 1,
            }
        }
        if lost > 1 {
            lines.push(format!("with it {} steps behind it", lost - 1));
        }
        lines
    }
}

impl Later {
    fn of(step: &StepId, name: &str, billet: &Billet) -> Self {
        let bar = &billet.bar;
        Self {
            step: step.clone(),
            name: name.to_owned(),
            pieces: billet.pieces,
            size: [bar.width, bar.thickness, bar.length],
            bands: billet.bands(),
        }
    }

    fn differs(&self, old: &Self) -> bool {
        let (least, share) = SAME;
        let sizes = self.size.iter().zip(&old.size);
        self.pieces != old.pieces
            || self.bands != old.bands
            || sizes.into_iter().any(|(new, old)| {
                let off = (new.0 - old.0).abs();
                off > least.0 && off > share * old.0
            })
    }
}

/// A chance as a short estimate.
fn chance(share: f64) -> String {
    match percent(share) {
        whole if whole == "all" => "over 99 %".to_owned(),
        whole if whole == "none" => "under 1 %".to_owned(),
        whole if whole.starts_with(|c: char| c.is_ascii_digit()) => format!("~{whole}"),
        other => other,
    }
}

/// Time at work; days have other hours in them.
#[must_use]
pub(super) fn hours(minutes: f64) -> String {
    if minutes < 99.5 {
        return format!("{} min", show::fixed(minutes, 0));
    }
    format!("{} h", show::fixed(minutes / 60.0, 0))
}

/// A band in figures: `12 to 16`, or one figure where both ends read the same.
#[must_use]
pub(super) fn range(band: Spread, decimals: usize) -> String {
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
