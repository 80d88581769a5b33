//! The state that a journal folds to.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::grown::Grown;
use super::live::Live;
use super::make::Made;
use super::marks::Marks;
use super::owed::Owed;
use crate::billet::{Billet, Dimension, Kind, Reading};
use crate::journal::{Entry, Fire, Kept, Resolution};
use crate::plan::{CautionId, Plan, Step, StepId, Walk};
use crate::units::{Celsius, Mm, Seconds, Stamp};

/// A step that is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// The step as it was worked.
    pub step: Step,
    /// When it began: the first entry that named it.
    pub began: Option<Stamp>,
    /// When it was done.
    pub ended: Stamp,
    /// What was read: the mean over the pieces that were measured.
    pub reading: Reading,
    /// What was read of each piece, by number.
    pub each: Vec<(u32, Reading)>,
    /// Which of the readings were taken hot.
    pub hot: BTreeMap<Dimension, Celsius>,
    /// Trips to the fire.
    pub heats: u32,
    /// What the plan said would be there.
    pub expected: Billet,
    /// What is there.
    pub made: Made,
    /// How its cautions were settled.
    pub answers: BTreeMap<CautionId, Resolution>,
}

/// One trip to the fire.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatLog {
    pub step: StepId,
    pub bar: Arc<str>,
    /// The number of the piece; 0 where there was one.
    pub piece: u32,
    /// Cold width and thickness of what went in.
    pub section: (Mm, Mm),
    /// It went in cold.
    pub from_cold: bool,
    /// The lower end of the step's window.
    pub floor: Celsius,
    /// The upper end, or the fire's heat where that is less.
    pub top: Celsius,
    /// How hot the fire stands.
    pub furnace: Celsius,
    /// Into the fire.
    pub into: Stamp,
    /// Out of it.
    pub out: Option<Stamp>,
    /// Back in, or laid down.
    pub ended: Option<Stamp>,
}

/// A line the smith wrote.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    pub at: Stamp,
    /// At which step.
    pub step: StepId,
    pub text: String,
}

/// How sizes were read last, in steps of one kind, on a piece not long out of the fire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habit {
    /// Read hot.
    pub hot: bool,
    pub at: Stamp,
}

/// What has happened in the current step.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StepState {
    /// First entry that named it.
    pub began: Option<Stamp>,
    /// How its cautions were settled so far.
    pub answers: BTreeMap<CautionId, Resolution>,
    /// Killer items to answer again after a break.
    pub recheck: Vec<CautionId>,
    /// Trips to the fire.
    pub heats: u32,
    /// Readings so far, cold.
    pub reading: Reading,
    /// Readings as typed.
    pub typed: BTreeMap<Dimension, String>,
    /// Temperatures of readings taken hot.
    pub hot: BTreeMap<Dimension, Celsius>,
    /// Photographs whose counts were taken for it, by the names of their files, and the count as it was written.
    pub photographs: BTreeMap<String, String>,
    /// Another bar was in hand before it.
    pub other_bar: bool,
    /// Countdowns begun by hand: name, start, span, answered.
    pub timers: Vec<(String, Stamp, Seconds, bool)>,
}

/// Time at work: the gaps between entries, those of over an hour left out. What was entered later counts
/// at the time that it names.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Worked {
    /// Minutes in all.
    pub minutes: f64,
    /// Minutes of them in steps that want the fire.
    pub fire: f64,
    /// Counted until then.
    pub until: Option<Stamp>,
}

/// A piece that is not in hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Aside {
    /// Where it is, and since when.
    pub fire: (Fire, Stamp),
    /// What was read of it in this step, cold.
    pub reading: Reading,
    pub typed: BTreeMap<Dimension, String>,
    /// Temperatures of readings taken hot.
    pub hot: BTreeMap<Dimension, Celsius>,
}

/// A bar that was laid by for another.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LaidBy {
    /// Where it is, and since when.
    pub fire: (Fire, Stamp),
    /// Which of its like pieces was in hand.
    pub hand: u32,
    /// The others of them.
    pub aside: BTreeMap<u32, Aside>,
    /// The step that was left for the other bar, with what had happened in it.
    pub left: Option<(StepId, StepState)>,
}

/// The job now.
#[derive(Debug, Clone)]
pub struct Session {
    /// The plan in force.
    pub plan: Arc<Plan>,
    /// CRC-32 of the plan text in force.
    pub plan_hash: u32,
    /// Place of the current step; equal to the number of steps when the job is done.
    pub at: usize,
    /// The metal before the current step.
    pub billet: Billet,
    /// The current step in hand.
    pub step: StepState,
    /// The current step made as meant, without its readings.
    pub meant: Arc<Made>,
    /// The current step made with the readings so far.
    pub live: Arc<Made>,
    /// The steps to come, from the current one on with its readings, run on the metal as it is.
    pub ahead: Arc<Walk>,
    /// The same for the plan as written, from the first step, without readings.
    pub planned: Arc<Walk>,
    /// Steps done.
    pub done: Vec<Arc<Done>>,
    /// Cautions put off or passed over, still in view.
    pub owed: Vec<Owed>,
    /// Where the piece in hand is, and since when.
    pub fire: (Fire, Stamp),
    /// Which of several like pieces is in hand, from 1.
    pub hand: u32,
    /// The others that were taken up, by number.
    pub aside: BTreeMap<u32, Aside>,
    /// The other bars that were worked, by name.
    pub laid_by: BTreeMap<String, LaidBy>,
    /// Every trip to the fire.
    pub heats: Grown<HeatLog>,
    pub notes: Grown<Note>,
    /// Decisions on ways out.
    pub decisions: Grown<Note>,
    /// Pieces that went on the shelf.
    pub kept: Grown<Kept>,
    /// The fire watch, when one runs: start and span.
    pub watch: Option<(Stamp, Seconds)>,
    /// How sizes were read last on a hot piece, by kind of step.
    pub habits: BTreeMap<Kind, Habit>,
    /// Last drink, or the start of hot work.
    pub drank: Option<Stamp>,
    /// True once the words on local codes were read.
    pub legal_read: bool,
    /// True while the items of a day's start are due.
    pub day_due: bool,
    /// The step that carries them at present.
    pub day_on: Option<StepId>,
    /// True while the items before the first fire of a day are due.
    pub fire_due: bool,
    /// The step that carries them at present.
    pub fire_on: Option<StepId>,
    /// Answers of this day that hold for the day.
    pub today: BTreeMap<CautionId, String>,
    /// Answers that hold for the whole job.
    pub held: BTreeMap<CautionId, String>,
    /// Items of this day that were passed over.
    pub passed: BTreeSet<CautionId>,
    /// Fire was lit, or an arc struck, since the last day ended: a fire watch is due.
    pub lit: bool,
    /// The span of the fire watch that was kept to its end since then.
    pub watched: Option<Seconds>,
    /// A day with fire went by without its watch.
    pub watch_missed: bool,
    /// Time of the first entry.
    pub started: Option<Stamp>,
    /// Time of the newest entry that the smith made.
    pub last: Option<Stamp>,
    /// Time at work.
    pub worked: Worked,
    /// The last opening: when, and how long the job had lain before it.
    pub opened: Option<(Stamp, Option<Seconds>)>,
    /// Fire state when the job was last left.
    pub left_as: Fire,
    /// Minutes that local time is ahead of UTC.
    pub offset: i32,
    /// Places where the clock went back, by sequence number.
    pub jumps: Grown<(u64, Seconds)>,
    /// Number of the newest entry.
    pub seq: u64,
    pub(super) log: Vec<Entry>,
    /// What of it counts.
    pub(super) counts: Live,
    pub(super) marks: Marks<Session>,
    /// The plan last read from the text of an entry, by its number.
    pub(super) known: Option<(u64, Arc<Plan>)>,
}

impl Session {
    /// A job before its first entry.
    pub(super) fn begin(plan: Arc<Plan>, plan_hash: u32) -> Self {
        let billet = plan.first_billet();
        let mut session = Self {
            meant: Arc::new(Made::nothing(&billet)),
            live: Arc::new(Made::nothing(&billet)),
            ahead: Arc::default(),
            plan,
            plan_hash,
            planned: Arc::default(),
            at: 0,
            billet,
            step: StepState::default(),
            done: Vec::new(),
            owed: Vec::new(),
            fire: (Fire::Cold, Stamp(0)),
            hand: 1,
            aside: BTreeMap::new(),
            laid_by: BTreeMap::new(),
            heats: Grown::default(),
            notes: Grown::default(),
            decisions: Grown::default(),
            kept: Grown::default(),
            watch: None,
            habits: BTreeMap::new(),
            drank: None,
            legal_read: false,
            day_due: true,
            day_on: None,
            fire_due: true,
            fire_on: None,
            today: BTreeMap::new(),
            held: BTreeMap::new(),
            passed: BTreeSet::new(),
            lit: false,
            watched: None,
            watch_missed: false,
            started: None,
            last: None,
            worked: Worked::default(),
            opened: None,
            left_as: Fire::Cold,
            offset: 0,
            jumps: Grown::default(),
            seq: 0,
            log: Vec::new(),
            counts: Live::default(),
            marks: Marks::default(),
            known: None,
        };
        session.place_daily();
        session
    }

    /// The current step; none when the job is done.
    #[must_use]
    pub fn current(&self) -> Option<&Step> {
        self.plan.steps.get(self.at)
    }

    /// The step after the current one.
    #[must_use]
    pub fn next(&self) -> Option<&Step> {
        self.plan.steps.get(self.at + 1)
    }

    /// True once anything was entered after the plan itself.
    #[must_use]
    pub fn has_begun(&self) -> bool {
        self.seq > 1
    }

    /// True when every step is done.
    #[must_use]
    pub fn is_finished(&self) -> bool {
        self.at >= self.plan.steps.len()
    }

    /// The day of the plan that the job is on.
    #[must_use]
    pub fn day(&self) -> u32 {
        self.current()
            .or(self.plan.steps.last())
            .map_or(1, |step| step.day)
    }

    /// The last day of the plan.
    #[must_use]
    pub fn days(&self) -> u32 {
        self.plan
            .steps
            .iter()
            .map(|step| step.day)
            .max()
            .unwrap_or(1)
    }

    /// Every entry, undone ones too.
    #[must_use]
    pub fn log(&self) -> &[Entry] {
        &self.log
    }

    /// The job without its log, for sums beside the screen: what it folds to is kept.
    #[must_use]
    pub fn without_log(&mut self) -> Self {
        self.bare()
    }

    /// The metal after the current step: with its readings, or as meant.
    #[must_use]
    pub fn after_step(&self) -> Option<&Billet> {
        self.current()?;
        Some(if self.reading().is_empty() {
            &self.meant.billet
        } else {
            &self.live.billet
        })
    }

    /// What is expected after the current step, from the metal as it is and without this step's
    /// own readings.
    #[must_use]
    pub fn expected(&self) -> Option<&Billet> {
        self.current().map(|_| &self.meant.billet)
    }
}
