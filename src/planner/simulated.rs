//! Made-up smiths with known habits work a plan: what they really have, what they read off it, and
//! the journal that comes of it. For tests alone; it shares no chance with the forecast.

use crate::billet::{Billet, Dimension, Kind, Move, Reading};
use crate::journal::{Entry, Event, Fire};
use crate::plan::{Plan, read};
use crate::planner::chance::Chance;
use crate::session::{Session, make_move};
use crate::units::{Fraction, Mm, Seconds, Stamp};

/// Habits that nobody but the test knows.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Habits {
    /// Log loss of a weld-and-draw: mean and scatter.
    pub(crate) loss: (f64, f64),
    /// Off each end, mm: mean and scatter.
    pub(crate) trim: (f64, f64),
    /// Off each face, mm: mean and scatter.
    pub(crate) grind: (f64, f64),
    /// Heats over heats planned, log: mean of all work, and scatter.
    pub(crate) heats: (f64, f64),
    /// The same of each kind over the mean of all.
    pub(crate) heats_by_kind: [f64; Kind::ALL.len()],
    /// Minutes over the book's, log: mean of all work, and scatter.
    pub(crate) pace: (f64, f64),
    /// The same of each kind over the mean of all.
    pub(crate) pace_by_kind: [f64; Kind::ALL.len()],
    /// How near a draw comes, mm: thickness and width.
    pub(crate) miss: (f64, f64),
}

impl Habits {
    /// Log of heats over heats planned, for one kind of work.
    pub(crate) fn heats_of(&self, kind: Kind) -> f64 {
        self.heats.0 + self.heats_by_kind[kind as usize]
    }

    /// Log of minutes over the book's, for one kind of work.
    pub(crate) fn pace_of(&self, kind: Kind) -> f64 {
        self.pace.0 + self.pace_by_kind[kind as usize]
    }

    /// A smith as the book imagines them: every mean drawn from what is believed before.
    pub(crate) fn drawn(chance: &mut Chance) -> Self {
        Self {
            loss: (chance.around(0.0408, 0.0156).max(0.004), 0.0083),
            trim: (chance.around(10.0, 3.0).max(2.0), 2.5),
            grind: (chance.around(0.5, 0.15).max(0.1), 0.08),
            heats: (chance.around(0.0, 0.28), 0.2),
            heats_by_kind: [0.0; Kind::ALL.len()].map(|_: f64| chance.around(0.0, 0.21)),
            pace: (chance.around(0.0, 0.4), 0.35),
            pace_by_kind: [0.0; Kind::ALL.len()].map(|_: f64| chance.around(0.0, 0.3)),
            miss: (0.2, 0.3),
        }
    }
}

/// Which readings are taken after a draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Habit {
    /// Thickness, width and length, cold.
    Caliper,
    /// The mass.
    Weigh,
    /// Sizes and mass in turn.
    Mixed,
}

/// A job as it was worked.
pub(crate) struct Job {
    /// What the journal folds to.
    pub(crate) session: Session,
    /// What was really there after each step.
    pub(crate) truth: Vec<Billet>,
    /// Heats and minutes that each step really took.
    pub(crate) spent: Vec<(f64, f64)>,
}

pub(crate) const KITCHEN_PAIR: &str = include_str!("../../plans/kitchen-pair.toml");

/// Works a plan up to `steps` steps; the journal has all of it up to there, the truth goes to the end.
pub(crate) fn work(
    text: &str,
    habits: &Habits,
    habit: Habit,
    steps: usize,
    chance: &mut Chance,
    mistype: Option<usize>,
) -> Job {
    let plan = read(text).unwrap().0;
    let allow = plan.allowances();
    let mut log = Log::default();
    log.push(
        0.0,
        Event::Plan {
            hash: crc32fast::hash(text.as_bytes()),
            text: text.to_owned(),
        },
    );
    let mut billet = stacked(&plan, chance);
    let (mut truth, mut spent) = (Vec::new(), Vec::new());
    for (at, step) in plan.steps.iter().enumerate() {
        billet.take_up(&step.bar);
        let pieces = billet.pieces;
        let wanted = done_as(&step.made, habits, chance);
        billet = make_move(&allow, &wanted, &billet, &Reading::default()).billet;
        let heats = match step.heats {
            0 => 0.0,
            planned => {
                let factor = chance
                    .around(habits.heats_of(step.kind()), habits.heats.1)
                    .exp();
                (f64::from(planned) * factor).round().max(1.0)
            }
        };
        let pieces = match step.made {
            Move::Prepare => 9,
            _ => pieces,
        };
        let count = crate::planner::learn::times(&step.made, heats, pieces);
        let pace = chance
            .around(habits.pace_of(step.kind()), habits.pace.1)
            .exp();
        // No smith takes a temper out before its soak is over, or leaves before the watch is kept.
        let minutes = (count * pace * step.kind().row().minutes)
            .max(crate::planner::learn::least_minutes(&plan.steps, step));
        truth.push(billet.clone());
        spent.push((heats, minutes));
        if at < steps {
            log.step(&step.id, step.kind(), heats, minutes);
            if step.kind() == Kind::Draw {
                let typed_wrong = mistype == Some(at);
                log.read(&step.id, &billet, habit, at, typed_wrong, chance);
            }
            log.push(
                0.0,
                Event::Done {
                    step: step.id.clone(),
                },
            );
        }
    }
    let session = Session::fold(log.entries).unwrap();
    Job {
        session,
        truth,
        spent,
    }
}

/// Real stock is a little off its size.
fn stacked(plan: &Plan, chance: &mut Chance) -> Billet {
    let mut billet = plan.first_billet();
    billet.bar.length = Mm(billet.bar.length.0 * (1.0 + chance.around(0.0, 0.01)));
    billet
}

fn done_as(made: &Move, habits: &Habits, chance: &mut Chance) -> Move {
    let mut made = made.clone();
    match &mut made {
        Move::Draw { to, scale } => {
            let log = chance.around(habits.loss.0, habits.loss.1).max(0.0);
            *scale = Fraction(1.0 - (-log).exp());
            to.thickness = to.thickness.map(|t| Mm(chance.around(t.0, habits.miss.0)));
            to.width = to.width.map(|w| Mm(chance.around(w.0, habits.miss.1)));
        }
        Move::Trim { ends } => {
            let factor = chance.around(habits.trim.0, habits.trim.1).max(0.0) / 10.0;
            for end in ends {
                *end = Mm(end.0 * factor);
            }
        }
        Move::Grind { per_face, .. } => {
            *per_face = Mm(chance.around(habits.grind.0, habits.grind.1).max(0.0));
        }
        _ => {}
    }
    made
}

#[derive(Default)]
struct Log {
    entries: Vec<Entry>,
    clock: f64,
}

impl Log {
    fn push(&mut self, minutes: f64, event: Event) {
        self.clock += minutes;
        self.entries.push(Entry {
            seq: self.entries.len() as u64 + 1,
            at: Stamp(1_795_598_000_000).plus(Seconds::from_minutes(self.clock)),
            event,
        });
    }

    fn step(&mut self, id: &crate::plan::StepId, kind: Kind, heats: f64, minutes: f64) {
        let step = || id.clone();
        if kind.is_hot() {
            let each = minutes / heats.max(1.0);
            let mut left = heats;
            while left > 0.5 {
                self.push(
                    0.0,
                    Event::Fire {
                        step: step(),
                        now: Fire::In,
                    },
                );
                self.push(
                    each * 0.8,
                    Event::Fire {
                        step: step(),
                        now: Fire::Out,
                    },
                );
                self.push(
                    each * 0.2,
                    Event::Fire {
                        step: step(),
                        now: Fire::Cold,
                    },
                );
                left -= 1.0;
            }
        } else {
            self.push(
                0.0,
                Event::Note {
                    step: step(),
                    text: "begun".to_owned(),
                },
            );
            self.push(
                minutes,
                Event::Note {
                    step: step(),
                    text: "ready".to_owned(),
                },
            );
        }
    }

    fn read(
        &mut self,
        id: &crate::plan::StepId,
        billet: &Billet,
        habit: Habit,
        at: usize,
        typed_wrong: bool,
        chance: &mut Chance,
    ) {
        let bar = &billet.bar;
        let weigh = match habit {
            Habit::Caliper => false,
            Habit::Weigh => true,
            Habit::Mixed => at.is_multiple_of(2),
        };
        let mut values = if weigh {
            vec![(Dimension::Mass, billet.piece_mass().0, 2.0)]
        } else {
            vec![
                (Dimension::Thickness, bar.thickness.0, 0.3),
                (Dimension::Width, bar.width.0, 0.3),
                (Dimension::Length, bar.length.0, 0.5),
            ]
        };
        for (at, (what, value, sd)) in values.iter_mut().enumerate() {
            let mut cold = chance.around(*value, *sd);
            if typed_wrong && at == 0 {
                // A digit too many or two swapped: 14 read as 41, 1516 as 5116.
                cold *= 2.9;
            }
            self.push(
                0.1,
                Event::Measured {
                    step: id.clone(),
                    what: *what,
                    cold,
                    typed: format!("{cold:.1}"),
                    hot: None,
                },
            );
        }
    }
}
