//! One thing that happened.

use serde::{Deserialize, Serialize};

use super::spare::{Kept, Spare};
use crate::billet::Dimension;
use crate::plan::{CautionId, StepId};
use crate::units::{Celsius, Seconds, Stamp, show};

/// Where the piece is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Fire {
    /// Lying cold or cooling.
    #[default]
    Cold,
    /// In the fire.
    In,
    /// Out of the fire, hot, being worked.
    Out,
}

/// How a caution was settled.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Resolution {
    /// Answered with a value (empty for items that ask for none).
    Answered(String),
    /// Put off, still owed, with the reason.
    Deferred(String),
    /// Passed over a killer item, with the reason.
    Overridden(String),
}

/// What a count was taken from, where it was not counted by eye.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Photograph {
    /// Name of the file.
    pub file: String,
    /// CRC-32 of its bytes.
    pub checksum: u32,
    /// The line that was followed, pixels from the upper left: across and down of its ends.
    pub line: [i32; 4],
}

impl Photograph {
    /// Of a file of that name; the line as its two ends.
    #[must_use]
    pub fn new(file: &str, checksum: u32, line: Option<[[f32; 2]; 2]>) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "a place in a picture")]
        let whole = |at: f32| at.round() as i32;
        let [[x1, y1], [x2, y2]] = line.unwrap_or_default();
        Self {
            file: Self::named(file),
            checksum,
            line: [x1, y1, x2, y2].map(whole),
        }
    }

    /// The name of a file as an entry keeps it.
    #[must_use]
    pub fn named(file: &str) -> String {
        show::plain(file, 80)
    }

    /// In words: `end-041.jpg, CRC-32 0a1b2c3d, along 12,34,56,78`.
    #[must_use]
    pub fn words(&self) -> String {
        let [x1, y1, x2, y2] = self.line;
        format!(
            "{}, CRC-32 {:08x}, along {x1},{y1},{x2},{y2}",
            self.file, self.checksum
        )
    }
}

/// How far a count may be off, and what it was taken from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counted {
    /// Least that it may be.
    pub low: u64,
    /// Most that it may be.
    pub high: u64,
    /// The photograph.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<Photograph>,
}

/// What happened. Words are short because a smith may read the file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Event {
    /// The plan as taken: the first entry, and each accepted edit. The text makes the journal whole
    /// by itself.
    Plan {
        /// CRC-32 of the text.
        hash: u32,
        /// The file's text.
        text: String,
    },
    /// The program was opened on this job.
    Opened {
        /// Minutes that local time is ahead of UTC.
        offset: i32,
        /// Program version.
        version: String,
    },
    /// The program was left in good order.
    Closed,
    /// The words that defer to local codes and makers' sheets were read.
    LegalRead,
    /// A caution was settled.
    Caution {
        step: StepId,
        /// Which caution.
        item: CautionId,
        how: Resolution,
    },
    /// Cautions that one press settled together.
    Cautions {
        step: StepId,
        /// Which, and how.
        items: Vec<(CautionId, Resolution)>,
    },
    /// The piece went into the fire, came out of it, or was laid down cold.
    Fire {
        step: StepId,
        /// Where it is now.
        now: Fire,
    },
    /// Another of several like pieces was taken up.
    Piece {
        step: StepId,
        /// Its number, from 1.
        piece: u32,
        /// True when the piece in hand went into the fire, and this one came out of it.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        swapped: bool,
    },
    /// A countdown was started by hand (temper cycle, oven).
    Timer {
        step: StepId,
        /// What it is for, as "temper 1".
        name: String,
        /// How long.
        span: Seconds,
    },
    /// The countdown of that name was stopped or its alarm answered.
    TimerDone {
        step: StepId,
        /// What it was for.
        name: String,
    },
    /// A value was read off the bar. Stored cold.
    Measured {
        step: StepId,
        /// What was read.
        what: Dimension,
        /// Cold millimetres, grams or count.
        cold: f64,
        typed: String,
        /// The bar's temperature, when it was read hot.
        hot: Option<Celsius>,
        /// The range of a count.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        counted: Option<Counted>,
    },
    /// A reading was taken back before the step was done.
    Unmeasured { step: StepId, what: Dimension },
    /// The count was in doubt, and this is how it went: the steps since are made again with what was read.
    Recounted {
        /// The step at that moment.
        step: StepId,
        /// Restacks that had other pieces, and how many.
        pieces: Vec<(StepId, u32)>,
        what: String,
    },
    /// The next step of another bar is worked before the step in hand.
    TakenUp {
        /// That step.
        step: StepId,
    },
    /// The step is done.
    Done { step: StepId },
    /// A free line.
    Note {
        /// The step at that moment.
        step: StepId,
        /// Safe text.
        text: String,
    },
    /// A drink was taken.
    Drank,
    /// The fire watch began: last flame out, last spark flown.
    WatchBegan {
        /// How long it lasts.
        span: Seconds,
    },
    /// The smith's decision on a way out; the plan steps it changes come as a `Plan` entry.
    Decided {
        /// The step at that moment.
        step: StepId,
        what: String,
    },
    /// Pieces left over go on the shelf, for other jobs.
    Kept {
        /// The step at that moment.
        step: StepId,
        /// What they are like.
        spare: Box<Spare>,
    },
    /// What happened earlier and is entered now, as from the wall sheet of a day without the laptop. Holds a
    /// reading, a step done, a note or answers of a card; anything else in it counts for nothing.
    Earlier {
        /// When it happened.
        #[serde(with = "super::time::text")]
        at: Stamp,
        of: Box<Event>,
    },
    /// The entry of that number no longer counts.
    Undone {
        /// Sequence number.
        seq: u64,
    },
    /// The entry of that number counts again.
    Redone {
        /// Sequence number.
        seq: u64,
    },
}

/// One record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Counts from 1 without gaps.
    pub seq: u64,
    /// Wall clock.
    pub at: Stamp,
    /// What happened.
    pub event: Event,
}

impl Entry {
    /// What happened and when: of what was entered later, the time that it names.
    #[must_use]
    pub fn happened(&self) -> (&Event, Stamp) {
        match &self.event {
            Event::Earlier { at, .. } => (self.event.plain(), *at),
            event => (event, self.at),
        }
    }

    /// The pieces that it keeps.
    #[must_use]
    pub fn kept(&self) -> Option<Kept> {
        let Event::Kept { spare, .. } = &self.event else {
            return None;
        };
        Some(Kept {
            seq: self.seq,
            at: self.at,
            spare: Spare::clone(spare),
        })
    }

    /// When it was entered, where it happened earlier.
    #[must_use]
    pub fn entered(&self) -> Option<Stamp> {
        matches!(self.event, Event::Earlier { .. }).then_some(self.at)
    }
}

impl Resolution {
    /// The words that go with it.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::Answered(text) | Self::Deferred(text) | Self::Overridden(text) => text,
        }
    }
}

impl Event {
    /// The step that it happened in, where it names one.
    #[must_use]
    pub fn step(&self) -> Option<&str> {
        match self.plain() {
            Self::Caution { step, .. }
            | Self::Cautions { step, .. }
            | Self::Fire { step, .. }
            | Self::Piece { step, .. }
            | Self::Timer { step, .. }
            | Self::TimerDone { step, .. }
            | Self::Measured { step, .. }
            | Self::Unmeasured { step, .. }
            | Self::Done { step }
            | Self::Note { step, .. }
            | Self::Recounted { step, .. }
            | Self::Kept { step, .. }
            | Self::Decided { step, .. } => Some(&step.0),
            _ => None,
        }
    }

    /// True for entries after which the metal or the steps to come may be others.
    #[must_use]
    pub fn moves_metal(&self) -> bool {
        matches!(
            self.plain(),
            Self::Plan { .. }
                | Self::Measured { .. }
                | Self::Unmeasured { .. }
                | Self::Piece { .. }
                | Self::TakenUp { .. }
                | Self::Recounted { .. }
                | Self::Done { .. }
                | Self::Undone { .. }
                | Self::Redone { .. }
        )
    }

    /// What happened, whenever it was entered.
    #[must_use]
    pub fn plain(&self) -> &Self {
        match self {
            Self::Earlier { of, .. } => match of.as_ref() {
                held @ (Self::Measured { .. }
                | Self::Done { .. }
                | Self::Note { .. }
                | Self::Cautions { .. }) => held,
                _ => self,
            },
            _ => self,
        }
    }

    /// The same as something that happened at a moment before it is entered.
    #[must_use]
    pub fn earlier(self, at: Stamp) -> Self {
        let of = Box::new(self);
        Self::Earlier { at, of }
    }

    /// True for entries that a smith can take back.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        match self {
            Self::Opened { .. } | Self::Closed | Self::LegalRead => false,
            Self::Undone { .. } | Self::Redone { .. } => false,
            Self::Plan { .. }
            | Self::Caution { .. }
            | Self::Cautions { .. }
            | Self::Fire { .. }
            | Self::Piece { .. }
            | Self::TakenUp { .. }
            | Self::Recounted { .. }
            | Self::Timer { .. }
            | Self::TimerDone { .. }
            | Self::Measured { .. }
            | Self::Unmeasured { .. }
            | Self::Done { .. }
            | Self::Note { .. }
            | Self::Drank
            | Self::WatchBegan { .. }
            | Self::Earlier { .. }
            | Self::Kept { .. }
            | Self::Decided { .. } => true,
        }
    }
}
