//! The steps still to come, run many times on the measured metal with everything that is not known
//! drawn by chance: sizes, pieces, bands, heats and minutes with 90 % bands, and whether it is enough.
//!
//! What varies: the metal at the start as far as it was read; the smith's own scale, trims, grinds,
//! heats and minutes as far as they are learnt, and every piece of work about them; how near a draw
//! comes to its sizes. Each sample is made with the same moves as the job itself. The same seed gives
//! the same answer.
//!
//! Long because its values are documented one by one.

mod band;
mod edge;
mod enough;
mod planned;
mod smith;
mod start;

#[cfg(test)]
mod tests;

pub use band::percent;
pub use edge::Edge;
pub use enough::Enough;
pub use planned::Planned;
pub use start::{Origin, Start};

use crate::billet::{Billet, Deforms, Kind, Move, Reading, Stage};
use crate::physics::Spread;
use crate::plan::{Need, Plan, Step, StepId};
use crate::planner::chance::Chance;
use crate::planner::learn::{Lessons, times};
use crate::planner::warming::Warming;
use crate::session::make_move;
use crate::units::Mm;

use band::band;
use edge::EdgePlan;
use smith::{Smith, Trade};

/// Samples that give bands good to a few percent of their width.
pub const SAMPLES: u32 = 400;
/// The chance that a job's forecasts are drawn from: the same job shows the same figures, and a way out
/// the odds that it has once it is taken.
pub const SEED: u64 = 20_260_302;
/// What may go into a forecast at most; more changes nothing that a smith could see.
const MOST_SAMPLES: u32 = 20_000;
/// Steps that are worked with all samples; where there are more, or thick stacks, fewer samples are drawn.
const STEPS: usize = 150;
/// Pieces of a first stack that cost as much as the step itself.
const PIECES: usize = 100;
/// Fewest samples that a band is read from.
const FEWEST: usize = 40;

/// What one step leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct StepForecast {
    pub step: StepId,
    pub kind: Kind,
    /// Width of one piece, mm.
    pub width: Spread,
    /// Thickness of one piece, mm.
    pub thickness: Spread,
    /// Length of one piece, mm.
    pub length: Spread,
    pub pieces: Spread,
    /// Mass of all pieces, g.
    pub mass: Spread,
    /// Pieces of the first stack times every restack.
    pub nominal: u128,
    /// Bands that can be seen.
    pub bands: Spread,
    /// Thinnest band, mm.
    pub thinnest: Spread,
    /// What a trim takes off each end, mm, in the mean of both; none of other steps.
    pub ends: Option<Spread>,
    /// Trips to the fire.
    pub heats: Spread,
    /// Minutes at it.
    pub minutes: Spread,
    /// Share of the samples in which the step could be made as the plan has it.
    pub as_planned: f64,
}

/// The whole forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The steps to come, in order.
    pub steps: Vec<StepForecast>,
    /// Whether it is enough for the goal.
    pub enough: Enough,
    /// Plain metal above the edge, where the bar has any to lose.
    pub edge: Option<Edge>,
    /// Share of the samples in which every step could be made as the plan has it, and no blade is forged short.
    pub holds: f64,
    /// Heats in all.
    pub heats: Spread,
    /// Minutes in all.
    pub minutes: Spread,
    /// Minutes of the steps before the next end of day, the one in hand whole.
    pub today: Spread,
    /// Samples run.
    pub samples: u32,
}

/// Values of one quantity, sample by sample.
type Column = Vec<f64>;

/// What is gathered of one step.
#[derive(Debug, Default)]
struct Columns {
    width: Column,
    thickness: Column,
    length: Column,
    pieces: Column,
    mass: Column,
    bands: Column,
    thinnest: Column,
    ends: Column,
    heats: Column,
    minutes: Column,
    nominal: u128,
    as_planned: u32,
}

/// Runs the steps to come.
#[must_use]
pub fn forecast(start: &Start<'_>, lessons: &Lessons, seed: u64, samples: u32) -> Forecast {
    let from = start.origin.at;
    let steps = start.plan.steps.get(from..).unwrap_or_default();
    let samples = afforded(samples.clamp(1, MOST_SAMPLES), work(start.plan, from));
    let run = Simulation {
        plan: start.plan,
        steps,
        welded: welded(start.plan),
        warming: Warming::all(start.plan, from, &start.origin.billet),
        from,
        done: start.at - from.min(start.at),
        trade: Trade::of(lessons),
        edge: EdgePlan::of(start.plan),
        need: Need::of(start.plan),
        rest: start.rest.and_then(|(place, left)| {
            let step = start.plan.steps.get(place)?;
            Some((step, Warming::of(start.plan, place, &start.billet), left))
        }),
    };
    let mut seen = Seen {
        columns: steps.iter().map(|_| Columns::default()).collect(),
        ..Seen::default()
    };
    for number in 0..samples {
        run.sample(
            start,
            &mut Chance::of_sample(seed, u64::from(number)),
            &mut seen,
        );
    }
    run.sum(seen, samples, start)
}

/// What one run of the steps from there on costs, in steps of a usual plan.
pub(super) fn work(plan: &Plan, from: usize) -> usize {
    let pieces: usize = plan.bars.iter().map(|bar| bar.pieces.len()).sum();
    plan.steps.len().saturating_sub(from) * (1 + pieces / PIECES)
}

/// So many samples of runs that cost so much.
fn afforded(samples: u32, work: usize) -> u32 {
    let part = (samples as usize * STEPS / work.max(STEPS)).max(FEWEST);
    samples.min(u32::try_from(part).unwrap_or(samples))
}

struct Simulation<'p> {
    plan: &'p Plan,
    steps: &'p [Step],
    /// For each step of the whole plan, whether it is worked on a fresh weld.
    welded: Vec<bool>,
    /// For each of the steps, what fire and clock take at the least.
    warming: Vec<Warming>,
    from: usize,
    /// Steps among them that are done already, unread.
    done: usize,
    trade: Trade<'p>,
    edge: EdgePlan,
    need: Need,
    /// A step before them that is not worked to its end, and the part that is left.
    rest: Option<(&'p Step, Warming, f64)>,
}

#[derive(Debug, Default)]
struct Seen {
    columns: Vec<Columns>,
    spare: Column,
    lacking: Column,
    edge: Vec<edge::Sample>,
    heats: Column,
    minutes: Column,
    today: Column,
    holds: u32,
}

impl Simulation<'_> {
    fn sample(&self, start: &Start<'_>, chance: &mut Chance, seen: &mut Seen) {
        let allow = self.plan.allowances();
        let smith = self.trade.smith(chance);
        let mut billet = start.origin.drawn(chance);
        let (mut heats, mut minutes, mut trips) = (0.0, 0.0, 0.0);
        let mut ends = self.trade.knows_ends().then(|| start.origin.ends.clone());
        // Read at its end, a day is over.
        let over = |rest: &&(&Step, Warming, f64)| rest.0.kind() == Kind::EndDay;
        let mut today = self.rest.as_ref().filter(over).map(|_| 0.0);
        let mut holds = true;
        // Metal and length are two questions: a blade forged short may have metal to spare.
        let metal = Need {
            blade: Mm::ZERO,
            ..self.need
        };
        let spare = |billet: &Billet| {
            let short = self.need.short_blade(billet);
            let lacks = short.map_or(0.0, |is| (self.need.blade - is).0);
            (metal.spare(billet).mass(billet.density()).0, lacks)
        };
        // What a ground blank has is settled; its outside says nothing of it any more.
        let origin = &start.origin.billet;
        let mut blank = (origin.stage >= Stage::Ground).then(|| spare(origin));
        for (place, (step, column)) in self.steps.iter().zip(&mut seen.columns).enumerate() {
            let kind = step.kind();
            billet.take_up(&step.bar);
            if blank.is_none() && kind.is_shaping() {
                seen.edge.extend(self.edge.sample(chance, &billet));
                blank = Some((0.0, 0.0));
            }
            if kind == Kind::RoughGrind {
                blank = Some(spare(&billet));
            }
            let welded = self.welded.get(self.from + place) == Some(&true);
            let mut spent = self.spent(chance, &smith, step, billet.pieces);
            let warming = self.warming.get(place).copied().unwrap_or_default();
            spent.1 = spent.1.max(warming.minutes(spent.0));
            if place >= self.done {
                if kind == Kind::EndDay {
                    today = today.or(Some(minutes));
                }
                heats += spent.0;
                minutes += spent.1;
            }
            if let Some(stage) = stage_after(kind, billet.stage) {
                billet.stage = stage;
                column.note_time(spent);
                continue;
            }
            trips += spent.0 / f64::from(billet.pieces.max(1));
            let drawn = ends.as_ref().map_or(Mm::ZERO, |ends| ends.of(&step.bar));
            let changed = smith.makes(chance, &step.made, welded, (&billet.bar, trips, drawn));
            if let Some(Move::Trim { ends: [held, far] }) = &changed {
                column.ends.push((*held + *far).0 / 2.0);
            }
            if step.made.books_scale() {
                trips = 0.0;
            }
            let wanted = changed.as_ref().unwrap_or(&step.made);
            let made = make_move(&allow, wanted, &billet, &Reading::default());
            let good = made.drift.is_none() && long_enough(&step.made, &made.billet);
            holds &= good;
            if let Some(ends) = &mut ends {
                ends.step(&step.bar, wanted, &billet, &made.billet);
            }
            billet = made.billet;
            // What was done and lost is not asked for here; without it a step costs less.
            billet.history.clear();
            billet.ledger.losses.clear();
            column.note_time(spent);
            column.note(&billet, good);
        }
        let (spare, lacks) = blank.unwrap_or_else(|| spare(&billet));
        holds &= lacks <= 0.0;
        seen.spare.push(spare);
        seen.lacking.push(lacks);
        // Last, so that it changes no draw of the others.
        let rest = self
            .rest
            .as_ref()
            .map_or((0.0, 0.0), |(step, warming, left)| {
                let (heats, minutes) = self.spent(chance, &smith, step, start.billet.pieces);
                let minutes = minutes.max(warming.minutes(heats));
                ((heats * left).round(), minutes * left)
            });
        seen.heats.push(heats + rest.0);
        seen.minutes.push(minutes + rest.1);
        seen.today.push(today.unwrap_or(minutes) + rest.1);
        seen.holds += u32::from(holds);
    }

    /// Heats and minutes of one step, before the fire and the clock have their say.
    fn spent(
        &self,
        chance: &mut Chance,
        smith: &Smith<'_>,
        step: &Step,
        pieces: u32,
    ) -> (f64, f64) {
        let kind = step.kind();
        let heats = smith.heats(chance, kind, step.heats);
        let pieces = match step.made {
            Move::Prepare => self.plan.first_pieces(step),
            _ => pieces,
        };
        let count = times(&step.made, heats, pieces);
        (heats, smith.minutes(chance, kind, count))
    }

    fn sum(&self, mut seen: Seen, samples: u32, start: &Start<'_>) -> Forecast {
        let share = |count: u32| f64::from(count) / f64::from(samples);
        let before = now(start);
        let mut steps: Vec<StepForecast> = Vec::with_capacity(self.steps.len());
        for (step, columns) in self.steps.iter().zip(seen.columns).skip(self.done) {
            let row = columns.sum(step, steps.last().unwrap_or(&before), share);
            steps.push(row);
        }
        Forecast {
            steps,
            enough: Enough::of(
                &mut seen.spare,
                &mut seen.lacking,
                self.need,
                start.billet.density(),
            ),
            edge: self.edge.sum(&seen.edge),
            holds: share(seen.holds),
            heats: band(&mut seen.heats),
            minutes: band(&mut seen.minutes),
            today: band(&mut seen.today),
            samples,
        }
    }
}

impl Columns {
    fn note_time(&mut self, (heats, minutes): (f64, f64)) {
        self.heats.push(heats);
        self.minutes.push(minutes);
    }

    fn note(&mut self, billet: &Billet, good: bool) {
        let bar = &billet.bar;
        self.width.push(bar.width.0);
        self.thickness.push(bar.thickness.0);
        self.length.push(bar.length.0);
        self.pieces.push(f64::from(billet.pieces));
        self.mass.push(billet.mass().0);
        #[expect(clippy::cast_precision_loss, reason = "shown to a few figures")]
        self.bands.push(billet.bands() as f64);
        self.thinnest.push(bar.layered().core.layers.thinnest().0);
        self.nominal = billet.nominal;
        self.as_planned += u32::from(good);
    }

    /// The step's row; where it leaves the metal as it was, that of the step before.
    fn sum(
        mut self,
        step: &Step,
        before: &StepForecast,
        share: impl Fn(u32) -> f64,
    ) -> StepForecast {
        let timed = StepForecast {
            step: step.id.clone(),
            kind: step.kind(),
            heats: band(&mut self.heats),
            minutes: band(&mut self.minutes),
            ends: None,
            as_planned: 1.0,
            ..before.clone()
        };
        if self.width.is_empty() {
            return timed;
        }
        StepForecast {
            width: band(&mut self.width),
            thickness: band(&mut self.thickness),
            length: band(&mut self.length),
            pieces: band(&mut self.pieces),
            mass: band(&mut self.mass),
            nominal: self.nominal,
            bands: band(&mut self.bands),
            thinnest: band(&mut self.thinnest),
            ends: (!self.ends.is_empty()).then(|| band(&mut self.ends)),
            as_planned: share(self.as_planned),
            ..timed
        }
    }
}

/// The metal before the first step, as if it were a step: its mass and length as well as they are
/// known.
fn now(start: &Start<'_>) -> StepForecast {
    let billet = &start.billet;
    let bar = &billet.bar;
    let about = |value: f64| Spread::around(value, 1.645 * start.known.volume);
    #[expect(clippy::cast_precision_loss, reason = "shown to a few figures")]
    let [bands, low, high] = {
        let [low, high] = billet.bands_between().unwrap_or([billet.bands(); 2]);
        [billet.bands(), low, high].map(|count| count as f64)
    };
    StepForecast {
        step: StepId(String::new()),
        kind: Kind::Prepare,
        width: Spread::exact(bar.width.0),
        thickness: Spread::exact(bar.thickness.0),
        length: about(bar.length.0),
        pieces: Spread::exact(f64::from(billet.pieces)),
        mass: about(billet.mass().0),
        nominal: billet.nominal,
        bands: Spread {
            best: bands,
            low,
            high,
        },
        thinnest: Spread::exact(bar.layered().core.layers.thinnest().0),
        ends: None,
        heats: Spread::exact(0.0),
        minutes: Spread::exact(0.0),
        as_planned: 1.0,
    }
}

/// The stage after a step that leaves the metal as it is; none for the others.
fn stage_after(kind: Kind, stage: Stage) -> Option<Stage> {
    let row = kind.row();
    let keeps = row.deforms == Deforms::Keeps && row.at.contains(&stage);
    keeps.then(|| row.to.unwrap_or(stage))
}

/// A section and a length were asked for: the section is drawn, and the length must come of it.
fn long_enough(wanted: &Move, after: &Billet) -> bool {
    match wanted {
        Move::Draw { to, .. }
        | Move::Square { to, .. }
        | Move::Upset { to, .. }
        | Move::CornerCrush { to, .. } => {
            let section = to.width.is_some() && to.thickness.is_some();
            to.length
                .is_none_or(|length| !section || after.bar.length.0 >= length.0 - Mm(0.5).0)
        }
        _ => true,
    }
}

/// For each step, whether the pile was welded since it was last drawn.
fn welded(plan: &Plan) -> Vec<bool> {
    let mut fresh = false;
    plan.steps
        .iter()
        .map(|step| {
            match step.kind() {
                Kind::Draw => return std::mem::take(&mut fresh),
                kind if kind.piles() || kind == Kind::Weld => fresh = true,
                _ => {}
            }
            fresh
        })
        .collect()
}
