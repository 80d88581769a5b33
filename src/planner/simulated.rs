//! Made-up smiths with known habits work a plan: what they really have, what they read off it, and
//! the journal that comes of it. For tests alone; it shares no chance with the forecast.

use crate::billet::{Billet, Dimension, Kind, Loses, Move, Reading};
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
    /// What the forecast knows nothing of.
    pub(crate) ways: Ways,
}

/// Ways of a smith that no prior has.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Ways {
    /// Scale off the outside, mm a side and trip to the fire, in place of a share of the metal: a thin bar
    /// loses more.
    pub(crate) outside: f64,
    /// Losses over the job, as a logarithm: the last step's over the first's, about the mean.
    pub(crate) drift: f64,
    /// Chance that a weld fails, is done again and costs metal and a longer trim.
    pub(crate) failed: f64,
    /// Sizes are read hot and typed as cold, this much too long.
    pub(crate) hot: f64,
    /// Chance of a reading mistyped.
    pub(crate) mistyped: f64,
    /// What a trim takes more than its length, of the hollow that the draws before it make for each part of the
    /// thickness and of the stretch; the bar is read after it.
    pub(crate) fish_mouth: f64,
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
            ways: Ways::default(),
        }
    }

    /// The same with every mean so many prior deviations off, each to a side of its own.
    pub(crate) fn off(chance: &mut Chance, deviations: f64) -> Self {
        let mut side = || deviations * if chance.share() < 0.5 { -1.0 } else { 1.0 };
        Self {
            loss: ((0.0408 + 0.0156 * side()).max(0.004), 0.0083),
            trim: (10.0 + 3.0 * side(), 2.5),
            grind: (0.5 + 0.15 * side(), 0.08),
            heats: (0.28 * side(), 0.2),
            heats_by_kind: [0.0; Kind::ALL.len()],
            pace: (0.4 * side(), 0.35),
            pace_by_kind: [0.0; Kind::ALL.len()],
            miss: (0.2, 0.3),
            ways: Ways::default(),
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
    let mut fire = Fires::default();
    for (at, step) in plan.steps.iter().enumerate() {
        billet.take_up(&step.bar);
        let pieces = billet.pieces;
        #[expect(clippy::cast_precision_loss, reason = "a few dozen steps")]
        let drift = habits.ways.drift * (at as f64 / plan.steps.len() as f64 - 0.5);
        let heats = match step.heats {
            0 => 0.0,
            planned => {
                let factor = chance
                    .around(habits.heats_of(step.kind()), habits.heats.1)
                    .exp();
                (f64::from(planned) * factor).round().max(1.0)
            }
        };
        let failed = step.kind() == Kind::Weld && chance.share() < habits.ways.failed;
        let heats = if failed { 2.0 * heats } else { heats };
        fire.failed |= failed;
        fire.heats += heats / f64::from(pieces.max(1));
        let before = billet.clone();
        let wanted = done_as(&step.made, habits, drift, &mut fire, &before, chance);
        billet = make_move(&allow, &wanted, &before, &Reading::default()).billet;
        fire.drawn(step.kind(), &before, &billet);
        let pieces = match step.made {
            Move::Prepare => plan.first_pieces(step),
            _ => pieces,
        };
        let count = crate::planner::learn::times(&step.made, heats, pieces);
        let pace = chance
            .around(habits.pace_of(step.kind()), habits.pace.1)
            .exp();
        // No smith takes a temper out before its soak is over, leaves before the watch is kept, or works a bar
        // that is not hot.
        let minutes = (count * pace * step.kind().row().minutes)
            .max(super::warming::Warming::of(&plan, at, &before).minutes(heats));
        truth.push(billet.clone());
        spent.push((heats, minutes));
        if at < steps {
            log.step(&step.id, step.kind(), heats, minutes);
            if step.kind() == Kind::Draw {
                let typed_wrong = mistype == Some(at);
                log.read(
                    &step.id,
                    &billet,
                    habit,
                    at,
                    (habits.ways, typed_wrong),
                    chance,
                );
            }
            if step.kind() == Kind::Trim && habits.ways.fish_mouth > 0.0 {
                log.length(&step.id, chance.around(billet.bar.length.0, 0.5));
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

/// What has come of the fires since the metal was last drawn.
#[derive(Debug, Default)]
struct Fires {
    heats: f64,
    failed: bool,
    /// The hollow in the ends, for a share of one.
    hollow: f64,
}

impl Fires {
    /// A draw blow by blow: each pushes the faces ahead of the middle by its part of the thickness.
    fn drawn(&mut self, kind: Kind, before: &Billet, after: &Billet) {
        match kind {
            Kind::Draw => {
                let (from, to) = (&before.bar, &after.bar);
                let longer = (from.width * from.thickness) / (to.width * to.thickness);
                let each = longer.powf(0.002);
                let mut thick = from.thickness.0;
                for _ in 0..500 {
                    self.hollow = self.hollow * each + thick * (each - 1.0).max(0.0);
                    thick *= (to.thickness / from.thickness).powf(0.002);
                }
            }
            Kind::Trim | Kind::Cut => self.hollow = 0.0,
            _ => {}
        }
    }
}

/// The move as it is really made. A plan's own amounts are taken for the usual ones: a smith who loses half
/// as much again loses half as much again of each.
fn done_as(
    made: &Move,
    habits: &Habits,
    drift: f64,
    fire: &mut Fires,
    before: &Billet,
    chance: &mut Chance,
) -> Move {
    let mut made = made.clone();
    let to = made.target();
    let is_draw = made.kind() == Kind::Draw;
    if matches!(
        made.kind().row().loses,
        Loses::Weld | Loses::Draw | Loses::Crush
    ) && let Some(scale) = made.scale_mut()
    {
        let planned = -(1.0 - scale.0).ln() / 0.0408;
        let share = chance.around(habits.loss.0, habits.loss.1).max(0.0);
        let mut log = planned * share * drift.exp();
        if habits.ways.outside > 0.0 {
            // Each section loses at its own trips, a weld's too, whatever the plan books where. Both ends of the
            // work, in the mean: the fire eats the bar as it was first and as it comes out last.
            let rim = |width: f64, thick: f64| 2.0 * (width + thick) / (width * thick);
            let (wide, thick) = (before.bar.width.0, before.bar.thickness.0);
            let to_wide = to.and_then(|to| to.width).map_or(wide, |mm| mm.0);
            let to_thick = to.and_then(|to| to.thickness).map_or(thick, |mm| mm.0);
            let rim = f64::midpoint(rim(wide, thick), rim(to_wide, to_thick));
            let depth = habits.ways.outside * chance.around(0.0, 0.2).exp();
            log = rim * depth * std::mem::take(&mut fire.heats);
        }
        // A weld that failed is seen when it is drawn, and leaves bad ends.
        if is_draw && fire.failed {
            log += 0.02;
        }
        *scale = Fraction(1.0 - (-log).exp());
    }
    if let Some(to) = made.target_mut().filter(|_| is_draw) {
        to.thickness = to.thickness.map(|t| Mm(chance.around(t.0, habits.miss.0)));
        to.width = to.width.map(|w| Mm(chance.around(w.0, habits.miss.1)));
    }
    match &mut made {
        Move::Trim { ends } => {
            let worse = if std::mem::take(&mut fire.failed) {
                2.0
            } else {
                1.0
            };
            let factor = worse * chance.around(habits.trim.0, habits.trim.1).max(0.0) / 10.0;
            // A test piece is cut as long as it was asked for, behind ends that are as bad as they are.
            let cut = ends.iter().map(|end| end.0).filter(|end| *end > 0.0);
            let bad = cut.fold(f64::INFINITY, f64::min);
            for end in ends.iter_mut().filter(|end| end.0 > 0.0) {
                *end = Mm(end.0 - bad + bad * factor + habits.ways.fish_mouth * fire.hollow);
            }
        }
        Move::Grind { per_face, .. } => {
            let factor = chance.around(habits.grind.0, habits.grind.1).max(0.0) / 0.5;
            *per_face = *per_face * factor;
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

    fn length(&mut self, id: &crate::plan::StepId, cold: f64) {
        self.push(
            0.1,
            Event::Measured {
                step: id.clone(),
                what: Dimension::Length,
                cold,
                typed: format!("{cold:.1}"),
                hot: None,
                counted: None,
            },
        );
    }

    fn read(
        &mut self,
        id: &crate::plan::StepId,
        billet: &Billet,
        habit: Habit,
        at: usize,
        (ways, typed_wrong): (Ways, bool),
        chance: &mut Chance,
    ) {
        let bar = &billet.bar;
        let weigh = match habit {
            Habit::Caliper => false,
            Habit::Weigh => true,
            Habit::Mixed => at.is_multiple_of(2),
        };
        let thickness = match billet.history.last().map(|done| &done.made) {
            // Of a tile, before it lies on anything.
            Some(Move::Slice { thickness, .. }) => *thickness,
            _ => bar.thickness,
        };
        let mut values = if weigh {
            vec![(Dimension::Mass, billet.piece_mass().0, 2.0)]
        } else {
            vec![
                (Dimension::Thickness, thickness.0, 0.3),
                (Dimension::Width, bar.width.0, 0.3),
                (Dimension::Length, bar.length.0, 0.5),
            ]
        };
        for (at, (what, value, sd)) in values.iter_mut().enumerate() {
            let mut cold = chance.around(*value, *sd);
            if *what != Dimension::Mass {
                cold *= 1.0 + ways.hot;
            }
            if ways.mistyped > 0.0 && chance.share() < ways.mistyped {
                // A digit too many, one too few, or two swapped.
                let wrong = [10.0, 0.1, 2.9, 0.35];
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 3"
                )]
                let which = (chance.share() * 4.0) as usize;
                cold *= wrong[which];
            }
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
                    counted: None,
                },
            );
        }
    }
}
