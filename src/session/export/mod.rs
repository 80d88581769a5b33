//! The record as values: what `record --json`, `record --csv` and the record's page read.
//!
//! Long because the record is one value, and its fields are most of the file.

mod csv;

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use super::readings::ReadingTaken;
use super::reckon::{Cache, CarbonOf, HeatRun};
use super::sizes::wanted;
use super::{Done, HeatLog, Session};
use crate::billet::{Billet, Dimension};
use crate::journal::{Event, Resolution, write_stamp};
use crate::physics::Spread;
use crate::plan::{Step, legal, report};
use crate::units::{Stamp, Units};

/// The whole record. Times are UTC; add `utc_offset_min` for the shop's own.
#[derive(Debug, Clone, Serialize)]
pub struct RecordData {
    pub(crate) format: u32,
    pub(crate) title: String,
    pub(crate) deferral: &'static str,
    pub(crate) units: Units,
    pub(crate) begun: bool,
    pub(crate) finished: bool,
    pub(crate) first: Option<String>,
    pub(crate) last: Option<String>,
    pub(crate) utc_offset_min: i32,
    pub(crate) entries: u64,
    pub(crate) steels: Vec<SteelData>,
    pub(crate) steps: Vec<StepData>,
    pub(crate) readings: Vec<ReadingData>,
    pub(crate) heats: Vec<HeatData>,
    pub(crate) notes: Vec<NoteData>,
    pub(crate) decisions: Vec<NoteData>,
    pub(crate) owed: Vec<OwedData>,
    pub(crate) in_fire_s: f64,
    pub(crate) above_1100_s: Spread,
    pub(crate) carbon: Vec<CarbonData>,
    pub(crate) mean_band_mm: f64,
    pub(crate) billet: Value,
    pub(crate) totals: Value,
    pub(crate) plan_edits: usize,
    pub(crate) entries_undone: usize,
    pub(crate) entered_later: Vec<LateData>,
    pub(crate) clock_went_back: Vec<JumpData>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct SteelData {
    pub(crate) letter: char,
    pub(crate) grade: String,
    pub(crate) lot: String,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct StepData {
    pub(crate) number: usize,
    pub(crate) id: String,
    pub(crate) kind: &'static str,
    pub(crate) title: String,
    pub(crate) day: u32,
    pub(crate) done: bool,
    pub(crate) began: Option<String>,
    pub(crate) ended: Option<String>,
    pub(crate) heats: u32,
    pub(crate) heats_planned: u32,
    pub(crate) wanted: Option<WantedData>,
    pub(crate) expected: Option<Value>,
    pub(crate) after: Option<Value>,
    pub(crate) losses: Option<Value>,
    pub(crate) losses_measured: Vec<&'static str>,
    pub(crate) not_as_planned: Option<String>,
    pub(crate) card: Vec<CardData>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct CardData {
    pub(crate) item: String,
    pub(crate) settled: &'static str,
    pub(crate) words: String,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ReadingData {
    pub(crate) time: String,
    pub(crate) number: usize,
    pub(crate) step: String,
    pub(crate) kind: &'static str,
    pub(crate) piece: u32,
    pub(crate) what: &'static str,
    pub(crate) cold: f64,
    pub(crate) unit: &'static str,
    pub(crate) typed: String,
    pub(crate) hot_c: Option<f64>,
    pub(crate) wanted: Option<f64>,
    pub(crate) entered: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct HeatData {
    pub(crate) step: String,
    pub(crate) into: String,
    pub(crate) out: Option<String>,
    pub(crate) ended: Option<String>,
    pub(crate) number: usize,
    pub(crate) inside_s: f64,
    pub(crate) reached_c: f64,
    pub(crate) above_1100_s: Spread,
    pub(crate) course: Vec<[f64; 2]>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct WantedData {
    pub(crate) thickness_mm: Option<f64>,
    pub(crate) width_mm: Option<f64>,
    pub(crate) length_mm: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct CarbonData {
    pub(crate) number: usize,
    pub(crate) step: String,
    pub(crate) time: String,
    pub(crate) by_steel: Vec<CarbonOfData>,
    pub(crate) edge: Option<Spread>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct CarbonOfData {
    pub(crate) letter: char,
    pub(crate) mean: Spread,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct NoteData {
    pub(crate) time: String,
    pub(crate) step: String,
    pub(crate) text: String,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct OwedData {
    pub(crate) step: String,
    pub(crate) item: String,
    pub(crate) text: String,
    pub(crate) reason: String,
    pub(crate) passed_over: bool,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct LateData {
    pub(crate) time: String,
    pub(crate) entered: String,
    pub(crate) words: String,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct JumpData {
    pub(crate) entry: u64,
    pub(crate) back_s: f64,
}

fn time(at: Stamp) -> String {
    write_stamp(at).unwrap_or_default()
}

/// To a micrometre or a milligram: a JSON reader need not see the last bit.
fn rounded(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

impl ReadingData {
    fn of(taken: &ReadingTaken<'_>) -> Self {
        Self {
            time: time(taken.at),
            number: taken.place + 1,
            step: taken.step.id.0.clone(),
            kind: taken.step.kind().word(),
            piece: taken.piece,
            what: taken.what.word(),
            cold: rounded(taken.cold),
            unit: taken.what.unit(),
            typed: taken.typed.to_owned(),
            hot_c: taken.hot.map(|at| rounded(at.0)),
            wanted: taken.wanted.map(rounded),
            entered: taken.entered.map(time),
        }
    }
}

fn card(done: &Done) -> Vec<CardData> {
    let settled = |how: &Resolution| match how {
        Resolution::Answered(_) => "answered",
        Resolution::Deferred(_) => "put off",
        Resolution::Overridden(_) => "passed over",
    };
    let items = done.answers.iter().map(|(item, how)| CardData {
        item: item.0.clone(),
        settled: settled(how),
        words: how.words().to_owned(),
    });
    items.collect()
}

fn heat(heat: &HeatLog, run: &HeatRun) -> HeatData {
    let inside = heat.out.unwrap_or(heat.into).since(heat.into);
    let highest = run.course.iter().map(|(_, at)| at.0);
    HeatData {
        step: heat.step.0.clone(),
        into: time(heat.into),
        out: heat.out.map(time),
        ended: heat.ended.map(time),
        number: run.place + 1,
        inside_s: rounded(inside.0),
        reached_c: rounded(highest.fold(f64::NEG_INFINITY, f64::max)),
        above_1100_s: run.above.map(rounded),
        course: run
            .course
            .iter()
            .map(|(after, at)| [rounded(after.0), rounded(at.0)])
            .collect(),
    }
}

/// What the plan wanted of a step's sizes, as beside a reading.
fn sizes_wanted(step: &Step, expected: &Billet) -> WantedData {
    let of = |what| wanted(step, expected, what).map(rounded);
    WantedData {
        thickness_mm: of(Dimension::Thickness),
        width_mm: of(Dimension::Width),
        length_mm: of(Dimension::Length),
    }
}

fn notes(all: &super::Grown<super::Note>) -> Vec<NoteData> {
    let one = |note: &super::Note| NoteData {
        time: time(note.at),
        step: note.step.0.clone(),
        text: note.text.clone(),
    };
    all.iter().map(one).collect()
}

impl Session {
    /// The whole record, for scripts. A job that has not begun has its plan and no times.
    #[must_use]
    pub fn record_data(&self) -> RecordData {
        let begun = self.has_begun();
        let count = |of: fn(&Event) -> bool| self.log().iter().filter(|e| of(&e.event)).count();
        let last = self.last.unwrap_or_default();
        let steels = self.plan.steels.iter().map(|steel| SteelData {
            letter: steel.letter,
            grade: steel.steel.grade.clone(),
            lot: steel.lot.clone(),
        });
        let owed = self.owed.iter().map(|owed| OwedData {
            step: owed.step.0.clone(),
            item: owed.item.0.clone(),
            text: owed.text.clone(),
            reason: owed.reason.clone(),
            passed_over: owed.overridden,
        });
        let late = self.entered_later().into_iter();
        let late = late.map(|(at, entered, words)| LateData {
            time: time(at),
            entered: time(entered),
            words,
        });
        let jumps = self.jumps.iter().map(|(entry, back)| JumpData {
            entry: *entry,
            back_s: rounded(back.0),
        });
        let cache = Cache::default();
        let runs = self.heat_runs(last, &cache);
        let followed = self.heats.iter().skip(self.heats.len() - runs.len());
        let logs: Vec<(&HeatLog, &HeatRun)> = followed.zip(&runs).collect();
        // The metal is that of one piece: of like ones the one in hand.
        let own = |log: &HeatLog| log.piece == 0 || log.piece == self.hand;
        let above = |of: fn(&Spread) -> f64| {
            let own = logs.iter().filter(|(log, _)| own(log));
            rounded(own.map(|(_, run)| of(&run.above)).sum())
        };
        RecordData {
            format: report::FORMAT,
            title: self.plan.title.clone(),
            deferral: legal(),
            units: self.plan.units,
            begun,
            finished: self.is_finished(),
            first: self.started.filter(|_| begun).map(time),
            last: self.worked_last().filter(|_| begun).map(time),
            utc_offset_min: self.offset,
            entries: self.seq,
            steels: steels.collect(),
            steps: self.steps_data(),
            readings: self.readings().iter().map(ReadingData::of).collect(),
            heats: logs.iter().map(|(log, run)| heat(log, run)).collect(),
            notes: notes(&self.notes),
            decisions: notes(&self.decisions),
            owed: owed.collect(),
            // A sum with zero has no minus.
            in_fire_s: rounded(self.in_fire(last).0) + 0.0,
            above_1100_s: Spread {
                low: above(|run| run.low),
                best: above(|run| run.best),
                high: above(|run| run.high),
            },
            carbon: self.carbon_data(last, &cache),
            mean_band_mm: (self.billet.mean_band().0 * 1e6).round() / 1e6,
            billet: report::billet(&self.billet),
            totals: report::totals(&self.billet),
            plan_edits: count(|event| matches!(event, Event::Plan { .. })).saturating_sub(1),
            entries_undone: count(|event| matches!(event, Event::Undone { .. })),
            entered_later: late.collect(),
            clock_went_back: jumps.collect(),
        }
    }

    fn carbon_data(&self, now: Stamp, cache: &Cache) -> Vec<CarbonData> {
        let letter = |of: &CarbonOf| {
            let steel = self.plan.steels.get(of.steel)?;
            Some(CarbonOfData {
                letter: steel.letter,
                mean: of.mean.map(rounded),
            })
        };
        let course = self.carbon_course(now, cache);
        let done = self.done.iter().zip(course).zip(1..);
        done.filter_map(|((done, carbon), number)| {
            let carbon = carbon?;
            Some(CarbonData {
                number,
                step: done.step.id.0.clone(),
                time: time(done.ended),
                by_steel: carbon.by_steel.iter().filter_map(letter).collect(),
                edge: carbon.edge.map(|edge| edge.mean.map(rounded)),
            })
        })
        .collect()
    }

    fn steps_data(&self) -> Vec<StepData> {
        let plain = |number: usize, step: &Step| StepData {
            number,
            id: step.id.0.clone(),
            kind: step.kind().word(),
            title: step.name().to_owned(),
            day: step.day,
            done: false,
            began: None,
            ended: None,
            heats: 0,
            heats_planned: step.heats,
            wanted: None,
            expected: None,
            after: None,
            losses: None,
            losses_measured: Vec::new(),
            not_as_planned: None,
            card: Vec::new(),
        };
        let done = self.done.iter().zip(1..).map(|(done, number)| {
            let mut measured: BTreeMap<&'static str, bool> = BTreeMap::new();
            for loss in &done.made.losses {
                *measured.entry(loss.loss.word()).or_default() |= loss.measured;
            }
            StepData {
                done: true,
                began: Some(time(done.began.unwrap_or(done.ended))),
                ended: Some(time(done.ended)),
                heats: done.heats,
                wanted: Some(sizes_wanted(&done.step, &done.expected)),
                expected: Some(report::billet(&done.expected)),
                after: Some(report::billet(&done.made.billet)),
                losses: Some(report::losses(&done.made.losses)),
                losses_measured: measured
                    .into_iter()
                    .filter_map(|(word, measured)| measured.then_some(word))
                    .collect(),
                not_as_planned: done.made.drift.as_ref().map(ToString::to_string),
                card: card(done),
                ..plain(number, &done.step)
            }
        });
        let to_come = self.plan.steps.iter().zip(1..).skip(self.at);
        let to_come = to_come.map(|(step, number)| StepData {
            began: (number == self.at + 1)
                .then(|| self.step.began.map(time))
                .flatten(),
            heats: if number == self.at + 1 {
                self.step.heats
            } else {
                0
            },
            ..plain(number, step)
        });
        done.chain(to_come).collect()
    }
}
