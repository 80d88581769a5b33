//! The session and what only the screen knows.

pub(super) mod ahead;
pub(super) mod follow;
pub(super) mod growth;
pub(super) mod mode;
pub(super) mod picture;
pub(super) mod section;
mod soak;

use std::collections::BTreeMap;

use super::keys::ModeKind;
use super::msg::Key;
use super::photo::Looking;
use super::press::Gate;
use super::settings::Settings;
use crate::billet::Dimension;
use crate::journal::{Entry, Event, Fire};
use crate::plan::Plan;
use crate::planner::situation::Situation;
use crate::session::{Burns, CountdownKind, FireAndMetal, ItemView, Session, ShelfSide, Sure};
use crate::units::{Celsius, Seconds, Stamp, Units};
use ahead::{Ahead, Stood};
use follow::Following;
use mode::{Mode, Then};
use picture::Shots;

/// How loud a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tone {
    /// For information.
    Plain,
    /// Look at it.
    Caution,
    /// Stop and act.
    Stop,
}

/// The answer to the last key, gone with the next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// How loud.
    pub tone: Tone,
    /// The words.
    pub text: String,
}

/// What a key was used for in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Use {
    /// It chose one of a few answers.
    Choice,
    /// It went into a value.
    Value,
    /// It settled the card.
    Card,
    /// It moved the work on.
    Work,
}

/// Trouble that stays until it is mended or put away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Banner {
    /// What it is about, so that the same trouble stands once: `disk`, `plan`, `clock`, `copy`.
    pub about: &'static str,
    /// How loud.
    pub tone: Tone,
    /// What is wrong and what to do.
    pub text: String,
}

/// What the screen has told the shelf, and heard of it.
#[derive(Debug, Clone, Default)]
pub struct Shelving {
    /// The entry that it was last looked at.
    pub(super) seen: Option<u64>,
    /// What the shelf knows of this job.
    pub told: Option<ShelfSide>,
    /// What was done on it last.
    pub(super) said: Vec<String>,
}

/// The whole screen.
#[derive(Debug, Clone)]
pub struct Model {
    /// The job.
    pub session: Session,
    /// What the screen is doing.
    pub mode: Mode,
    /// The number being typed.
    pub entry: String,
    /// The field chosen by hand.
    pub field: Option<Dimension>,
    /// The card item chosen by hand.
    pub cursor: Option<usize>,
    /// Sizes are read hot or cold, as chosen by hand, and where the piece was then and since when.
    pub hot: Option<(bool, (Fire, Stamp))>,
    /// The temperature that hot readings are taken at, where chosen by hand.
    pub hot_at: Option<Celsius>,
    /// The typed text that was asked about once, and whether it was typed anew since; the same again is taken.
    pub insisted: Option<(String, bool)>,
    /// The answer to the last key.
    pub reply: Option<Reply>,
    /// Trouble that stays.
    pub banners: Vec<Banner>,
    /// Columns and rows.
    pub size: (u16, u16),
    /// Wall clock of the last message.
    pub now: Stamp,
    /// The clock that never jumps, at the last message.
    pub mono_ms: Option<u64>,
    /// What the smith set.
    pub settings: Settings,
    /// Set on a screen that only shows the job.
    pub following: Option<Following>,
    /// Entries on their way to the disk, and what then.
    pub pending: Option<(Vec<Entry>, Then)>,
    /// Alarms: when each was last rung.
    pub rung: BTreeMap<String, Stamp>,
    /// The numbers of fire and metal, as last worked.
    pub reckoned: Option<FireAndMetal>,
    /// The state of the job that they were last asked for, and when.
    pub asked: Option<(u64, Stamp)>,
    /// What is to come.
    pub ahead: Ahead,
    /// Where the job stands: what every screen shows of it.
    pub situation: Situation,
    pub shelf: Shelving,
    /// Something to draw.
    pub dirty: bool,
    /// Name of the plan file, for words.
    pub plan_name: String,
    /// What the smith is sure of where the count is in doubt.
    pub sure: Sure,
    /// The photographs, once they were looked at.
    pub photo: Option<Box<Looking>>,
    /// The leaf shown of what takes the whole window.
    pub leaf: usize,
    /// When the step in hand came up, on the clock that never jumps.
    pub(super) came_up: Option<u64>,
    /// When a digit that began a value was not taken: the rest of that value is none either.
    pub(super) cut_short: Option<u64>,
    /// The key that acted last, and what it was used for.
    pub(super) used: Option<(Key, Use)>,
    pub(super) gate: Gate,
    pub(super) shots: Shots,
    /// The state of the job and the answer that the situation was last derived from.
    pub(super) stood: Option<Stood>,
}

impl Model {
    /// A screen on a job. A job with a past opens on "you stopped here".
    #[must_use]
    pub fn new(session: Session, settings: Settings, now: Stamp) -> Self {
        let situation = Situation::of(&session, None, false, now);
        let gate = Gate::new(settings.quiet_ms);
        let mode = if !session.legal_read {
            Mode::Legal
        } else if session.opened.is_some_and(|(_, away)| away.is_some()) && session.last.is_some() {
            Mode::Resume
        } else {
            Mode::Step
        };
        Self {
            session,
            mode,
            entry: String::new(),
            field: None,
            cursor: None,
            hot: None,
            hot_at: None,
            insisted: None,
            reply: None,
            banners: Vec::new(),
            size: (80, 24),
            now,
            mono_ms: None,
            settings,
            following: None,
            pending: None,
            rung: BTreeMap::new(),
            reckoned: None,
            asked: None,
            ahead: Ahead::default(),
            situation,
            shelf: Shelving::default(),
            dirty: true,
            plan_name: String::new(),
            sure: Sure::default(),
            photo: None,
            leaf: 0,
            came_up: None,
            cut_short: None,
            used: None,
            gate,
            shots: Shots::default(),
            stood: None,
        }
    }

    /// The plan in force.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.session.plan
    }

    /// The shop's units.
    #[must_use]
    pub fn units(&self) -> Units {
        self.session.plan.units
    }

    /// The mode as the key table knows it.
    #[must_use]
    pub fn mode_kind(&self) -> ModeKind {
        match &self.mode {
            Mode::Resume => ModeKind::Resume,
            Mode::Legal => ModeKind::Legal,
            Mode::Offer => ModeKind::Offer,
            Mode::TakeOver => ModeKind::TakeOver,
            Mode::Step if self.following.is_some() => ModeKind::Following,
            Mode::Step if self.session.is_finished() => ModeKind::Finished,
            Mode::Step if !self.entry.is_empty() => ModeKind::Entry,
            Mode::Step if self.card_asks() => ModeKind::Card,
            Mode::Step => ModeKind::Work,
            Mode::Review => ModeKind::Review,
            Mode::Menu { .. } => ModeKind::Menu,
            Mode::Reason { .. } => ModeKind::Reason,
            Mode::Line { .. } | Mode::Number { .. } => ModeKind::Line,
            Mode::Page { .. } => ModeKind::Page,
            Mode::Far => ModeKind::Far,
            Mode::Picture(_) => ModeKind::Picture,
            Mode::Photo if self.photo.as_ref().is_some_and(|held| held.is_close()) => {
                ModeKind::Photo
            }
            Mode::Photo => ModeKind::Photos,
            Mode::AskPlan { .. } => ModeKind::AskPlan,
            Mode::Leave => ModeKind::Leave,
        }
    }

    /// True while the card of the step in hand has an open item.
    #[must_use]
    pub fn card_asks(&self) -> bool {
        self.situation.card.current().is_some()
    }

    /// True while one press settles the rest of the card together.
    #[must_use]
    pub fn asks_rest(&self) -> bool {
        let card = &self.situation.card;
        let current = card.current().and_then(|at| card.items.get(at));
        self.cursor.is_none() && current.is_some_and(ItemView::is_joint)
    }

    /// Place of the card item that keys act on.
    #[must_use]
    pub fn item(&self) -> Option<usize> {
        let card = &self.situation.card;
        self.cursor
            .filter(|at| *at < card.items.len())
            .or(card.current())
    }

    /// True when sizes are read hot: as chosen by hand while the piece lies as it did then, otherwise as it
    /// was in the last step of this kind.
    #[must_use]
    pub fn reads_hot(&self) -> bool {
        match self.hot {
            Some((hot, lay)) if lay == self.lies() => hot,
            _ => self.session.reads_hot(self.now),
        }
    }

    pub(super) fn choose_hot(&mut self, hot: bool) {
        self.hot = Some((hot, self.lies()));
    }

    fn lies(&self) -> (Fire, Stamp) {
        (self.session.piece(self.now), self.session.fire.1)
    }

    /// The temperature that a hot reading is taken at: chosen by hand; what the piece has cooled to by
    /// now, the figure of the clock beside it; or, where nothing is known of it, the lower part of the
    /// step's window, where bars are measured between two heats.
    #[must_use]
    pub fn hot_temperature(&self) -> Celsius {
        let window = self.session.window();
        self.hot_at.or_else(|| self.cooled_to()).unwrap_or_else(|| {
            window.map_or(Celsius(950.0), |w| {
                Celsius((w.low.0 + (w.high.0 - w.low.0) / 4.0).round())
            })
        })
    }

    /// What a worked piece out of the fire has cooled to.
    fn cooled_to(&self) -> Option<Celsius> {
        if self.session.piece(self.now) != Fire::Out {
            return None;
        }
        let fire = self.reckoned.as_ref()?.fire.as_ref()?;
        let at = fire.cooling.after(self.session.fire_for(self.now));
        let under = fire.cooling.under();
        Some(at.map_or(under, |at| Celsius(at.best.round())))
    }

    /// The steel that the step's own window would burn: told before the heat.
    #[must_use]
    pub fn burns(&self) -> Option<&Burns> {
        let found = self.reckoned.as_ref()?;
        let hot = self.session.current()?.kind().is_hot();
        found.burns.as_ref().filter(|burns| hot && burns.in_window)
    }

    /// True while the numbers on the screen belong to an earlier state of the job.
    #[must_use]
    pub fn is_reckoning(&self) -> bool {
        self.reckoned
            .as_ref()
            .is_none_or(|found| found.seq != self.session.seq)
    }

    /// How soon a tick is wanted; none when nothing counts.
    #[must_use]
    pub fn next_tick(&self) -> Option<Seconds> {
        self.session.is_timing().then_some(Seconds(1.0))
    }

    /// The first alarm that wants an act: a countdown that is over.
    #[must_use]
    pub fn alarm(&self) -> Option<(CountdownKind, String)> {
        self.session
            .countdowns(self.now)
            .into_iter()
            .filter(|count| count.left.0 <= 0.0)
            .filter(|count| matches!(count.kind, CountdownKind::Oven | CountdownKind::FireWatch))
            .map(|count| (count.kind, count.name))
            .next()
    }

    pub(super) fn say(&mut self, tone: Tone, text: impl Into<String>) {
        self.reply = Some(Reply {
            tone,
            text: text.into(),
        });
    }

    pub(super) fn put_up(&mut self, about: &'static str, tone: Tone, text: impl Into<String>) {
        self.banners.retain(|banner| banner.about != about);
        self.banners.push(Banner {
            about,
            tone,
            text: text.into(),
        });
    }

    pub(super) fn take_down(&mut self, about: &'static str) {
        self.banners.retain(|banner| banner.about != about);
    }

    /// Entries for these events, numbered behind the newest.
    pub(super) fn entries(&self, events: Vec<Event>) -> Vec<Entry> {
        (self.session.seq + 1..)
            .zip(events)
            .map(|(seq, event)| Entry {
                seq,
                at: self.now,
                event,
            })
            .collect()
    }
}
