//! The whole account of a job: its record, and how good the forecast was that stood before its first step.
//! `record --json` is this value, and the record's page reads it.

use std::sync::Arc;

use serde::Serialize;
use serde_json::Value;

use super::costs::{Costs, Prices};
use super::forecast::{Forecast, SAMPLES, SEED, Start, StepForecast, forecast};
use super::learn::{Lessons, TIMED_STEP};
use crate::billet::{Dimension, Kind, Stage};
use crate::physics::Spread;
use crate::session::{Done, RecordData, Session};

#[derive(Debug, Clone, Serialize)]
pub struct Account {
    #[serde(flatten)]
    pub(crate) record: RecordData,
    pub(crate) forecast: Foretold,
    /// What it cost; null where the smith has set no prices.
    pub(crate) costs: Option<Value>,
    /// The same in words, a line each.
    #[serde(skip)]
    pub(crate) costs_said: Vec<String>,
}

/// The forecast of the plan as it was worked, as it would have stood before the first step, beside what came.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Foretold {
    pub(crate) heats: Spread,
    pub(crate) minutes: Spread,
    pub(crate) inside: usize,
    pub(crate) figures: Vec<Figure>,
}

/// One figure that was read, logged or timed, with what was foreseen of it.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Figure {
    pub(crate) number: usize,
    pub(crate) step: String,
    pub(crate) what: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) range: Spread,
    pub(crate) came: f64,
    pub(crate) inside: bool,
}

impl Account {
    /// Of a job, with what the shop's other journals teach.
    #[must_use]
    pub fn of(session: &Session, others: &Lessons) -> Self {
        let foreseen = forecast(&Start::of_plan(&session.plan), others, SEED, SAMPLES);
        Self {
            record: session.record_data(),
            forecast: Foretold::of(&foreseen, &session.done),
            costs: None,
            costs_said: Vec::new(),
        }
    }

    /// With what the job cost at these prices.
    #[must_use]
    pub fn priced(self, session: &Session, prices: &Prices) -> Self {
        let costs = Costs::of(session, prices, None);
        let (costs, done) = (costs.as_ref(), session.is_finished());
        Self {
            costs: costs.map(|costs| costs.json(done)),
            costs_said: costs.map(|costs| costs.lines(done)).unwrap_or_default(),
            ..self
        }
    }
}

impl Foretold {
    fn of(foreseen: &Forecast, done: &[Arc<Done>]) -> Self {
        let steps = done.iter().zip(&foreseen.steps).zip(1..);
        let figures: Vec<Figure> = steps
            .flat_map(|((done, step), number)| figures(number, done, step))
            .collect();
        Self {
            heats: foreseen.heats.map(tenth),
            minutes: foreseen.minutes.map(tenth),
            inside: figures.iter().filter(|figure| figure.inside).count(),
            figures,
        }
    }
}

/// What a step that is done can be held against: sizes that were read, heats that were logged, minutes that
/// were timed and not ticked off.
fn figures(number: usize, done: &Done, step: &StepForecast) -> Vec<Figure> {
    let figure = |what, unit, range: Spread, came: f64| Figure {
        number,
        step: done.step.id.0.clone(),
        what,
        unit,
        range: range.map(thousandth),
        came: thousandth(came),
        // A calliper, a scale and a clock round; what lies on the end of the range is inside.
        inside: range.map(thousandth).holds(thousandth(came)),
    };
    let mut out = Vec::new();
    let whole = done.made.billet.stage < Stage::Forged;
    let pieces = f64::from(done.made.billet.pieces);
    for what in Dimension::ALL {
        let Some(read) = done.reading.get(what) else {
            continue;
        };
        let (range, came) = match what {
            // Of a tile, before it lies on anything.
            Dimension::Thickness if done.step.kind() == Kind::Slice => continue,
            Dimension::Thickness if whole => (step.thickness, read),
            Dimension::Width if whole => (step.width, read),
            Dimension::Length if whole => (step.length, read),
            Dimension::Mass => (step.mass, read * pieces),
            Dimension::Bands => (step.bands, read),
            _ => continue,
        };
        out.push(figure(what.word(), what.unit(), range, came));
    }
    if done.heats > 0 && done.step.heats > 0 {
        out.push(figure("heats", "", step.heats, f64::from(done.heats)));
    }
    let minutes = done.ended.since(done.began.unwrap_or(done.ended)).minutes();
    if minutes > TIMED_STEP && step.minutes.best > 0.0 {
        out.push(figure("minutes", "min", step.minutes, minutes));
    }
    out
}

fn thousandth(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
