//! The record for scripts and spreadsheets: `record --json` and `record --csv`.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use super::readings::ReadingTaken;
use super::{Done, HeatLog, Session};
use crate::billet::Dimension;
use crate::journal::{Event, Resolution, write_stamp};
use crate::plan::{legal, report};
use crate::units::{Stamp, Units, show};

/// The whole record. Times are UTC; add `utc_offset_min` for the shop's own.
#[derive(Debug, Clone, Serialize)]
pub struct RecordData {
    format: u32,
    title: String,
    deferral: &'static str,
    units: Units,
    begun: bool,
    finished: bool,
    first: Option<String>,
    last: Option<String>,
    utc_offset_min: i32,
    entries: u64,
    steels: Vec<SteelData>,
    steps: Vec<StepData>,
    readings: Vec<ReadingData>,
    heats: Vec<HeatData>,
    notes: Vec<NoteData>,
    decisions: Vec<NoteData>,
    owed: Vec<OwedData>,
    in_fire_s: f64,
    mean_band_mm: f64,
    billet: Value,
    totals: Value,
    plan_edits: usize,
    entries_undone: usize,
    clock_went_back: Vec<JumpData>,
}

#[derive(Debug, Clone, Serialize)]
struct SteelData {
    letter: char,
    grade: String,
}

#[derive(Debug, Clone, Serialize)]
struct StepData {
    number: usize,
    id: String,
    kind: &'static str,
    title: String,
    done: bool,
    began: Option<String>,
    ended: Option<String>,
    heats: u32,
    heats_planned: u32,
    expected: Option<Value>,
    after: Option<Value>,
    losses: Option<Value>,
    losses_measured: Vec<&'static str>,
    not_as_planned: Option<String>,
    card: Vec<CardData>,
}

#[derive(Debug, Clone, Serialize)]
struct CardData {
    item: String,
    settled: &'static str,
    words: String,
}

#[derive(Debug, Clone, Serialize)]
struct ReadingData {
    time: String,
    number: usize,
    step: String,
    kind: &'static str,
    what: &'static str,
    cold: f64,
    unit: &'static str,
    typed: String,
    hot_c: Option<f64>,
    wanted: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct HeatData {
    step: String,
    into: String,
    out: Option<String>,
    ended: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
struct NoteData {
    time: String,
    step: String,
    text: String,
}

#[derive(Debug, Clone, Serialize)]
struct OwedData {
    step: String,
    item: String,
    text: String,
    reason: String,
    passed_over: bool,
}

#[derive(Debug, Clone, Serialize)]
struct JumpData {
    entry: u64,
    back_s: f64,
}

fn time(at: Stamp) -> String {
    write_stamp(at).unwrap_or_default()
}

fn unit(what: Dimension) -> &'static str {
    match what {
        Dimension::Mass => "g",
        Dimension::Bands => "",
        Dimension::Thickness | Dimension::Width | Dimension::Length => "mm",
    }
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
            what: taken.what.word(),
            cold: rounded(taken.cold),
            unit: unit(taken.what),
            typed: taken.typed.to_owned(),
            hot_c: taken.hot.map(|at| rounded(at.0)),
            wanted: taken.wanted.map(rounded),
        }
    }

    /// As a row of a table; see [`COLUMNS`].
    fn row(&self) -> [String; 10] {
        let number = |value: Option<f64>| value.map_or(String::new(), |v| show::trimmed(v, 3));
        [
            self.time.clone(),
            self.number.to_string(),
            self.step.clone(),
            self.kind.to_owned(),
            self.what.to_owned(),
            number(Some(self.cold)),
            self.unit.to_owned(),
            self.typed.clone(),
            number(self.hot_c),
            number(self.wanted),
        ]
    }
}

/// The columns of the table of readings.
const COLUMNS: [&str; 10] = [
    "time_utc",
    "step_number",
    "step",
    "kind",
    "what",
    "cold",
    "unit",
    "typed",
    "hot_c",
    "wanted",
];

/// A row by RFC 4180: a field with a comma, a quote or a line end stands in quotes, a quote is doubled.
fn csv_row<'f>(fields: impl IntoIterator<Item = &'f str>) -> String {
    let field = |text: &str| {
        if text.contains([',', '"', '\r', '\n']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.to_owned()
        }
    };
    let fields: Vec<String> = fields.into_iter().map(field).collect();
    fields.join(",")
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

fn heat(heat: &HeatLog) -> HeatData {
    HeatData {
        step: heat.step.0.clone(),
        into: time(heat.into),
        out: heat.out.map(time),
        ended: heat.ended.map(time),
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
        });
        let owed = self.owed.iter().map(|owed| OwedData {
            step: owed.step.0.clone(),
            item: owed.item.0.clone(),
            text: owed.text.clone(),
            reason: owed.reason.clone(),
            passed_over: owed.overridden,
        });
        let jumps = self.jumps.iter().map(|(entry, back)| JumpData {
            entry: *entry,
            back_s: rounded(back.0),
        });
        RecordData {
            format: report::FORMAT,
            title: self.plan.title.clone(),
            deferral: legal(),
            units: self.plan.units,
            begun,
            finished: self.is_finished(),
            first: self.started.filter(|_| begun).map(time),
            last: self.last.filter(|_| begun).map(time),
            utc_offset_min: self.offset,
            entries: self.seq,
            steels: steels.collect(),
            steps: self.steps_data(),
            readings: self.readings().iter().map(ReadingData::of).collect(),
            heats: self.heats.iter().map(heat).collect(),
            notes: notes(&self.notes),
            decisions: notes(&self.decisions),
            owed: owed.collect(),
            // A sum with zero has no minus.
            in_fire_s: rounded(self.in_fire(last).0) + 0.0,
            mean_band_mm: (self.billet.mean_band().0 * 1e6).round() / 1e6,
            billet: report::billet(&self.billet),
            totals: report::totals(&self.billet),
            plan_edits: count(|event| matches!(event, Event::Plan { .. })).saturating_sub(1),
            entries_undone: count(|event| matches!(event, Event::Undone { .. })),
            clock_went_back: jumps.collect(),
        }
    }

    fn steps_data(&self) -> Vec<StepData> {
        let plain = |number: usize, step: &crate::plan::Step| StepData {
            number,
            id: step.id.0.clone(),
            kind: step.kind().word(),
            title: step.name().to_owned(),
            done: false,
            began: None,
            ended: None,
            heats: 0,
            heats_planned: step.heats,
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

    /// The readings as CSV, one row a reading, for spreadsheets.
    #[must_use]
    pub fn readings_csv(&self) -> String {
        let readings = self.readings();
        let rows = readings.iter().map(|taken| {
            let row = ReadingData::of(taken).row();
            csv_row(row.iter().map(String::as_str))
        });
        let all: Vec<String> = std::iter::once(csv_row(COLUMNS)).chain(rows).collect();
        all.join("\r\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn a_field_is_quoted_where_it_must_be() {
        assert_eq!(csv_row(["aaa", "b b", "ccc"]), "aaa,b b,ccc");
        assert_eq!(
            csv_row(["12,5", "b\"bb", "a\r\nb"]),
            "\"12,5\",\"b\"\"bb\",\"a\r\nb\""
        );
        assert_eq!(csv_row(["", ""]), ",");
    }
}
