//! When the bar is off: short, thin, narrow, the count lost, or a weld failed.
//!
//! Each way is an edit of the steps to come, worked to the end on the metal as it was measured with
//! the same moves as the job itself, and offered only when every step of it can be made, the knives
//! come out of it and the bands are those wanted. Taking one is the smith's decision: the caller
//! writes it to the journal, and the amended plan's text behind it.

mod changes;
mod cost;
mod course;
mod edit;
mod trouble;

#[cfg(test)]
mod tests;

pub use changes::changes;
pub use cost::Cost;
pub use course::Course;
pub use trouble::{Trouble, troubles};

use crate::billet::{Billet, Kind, Stage};
use crate::plan::{Plan, Row, dry_run};
use crate::planner::forecast::{Enough, Need, Start, forecast};
use crate::planner::learn::Lessons;
use crate::planner::write;
use crate::units::{Grams, Mm, Units};

use course::End;

/// Most ways that are offered.
const MOST: usize = 4;
/// Samples behind the chance of a way.
const SAMPLES: u32 = 200;
const SEED: u64 = 20_252;
/// How far a blade is shortened at most, and by what step.
const SHORTEST_BLADE: f64 = 0.7;
const BLADE_STEP: f64 = 0.025;
/// How far a bar is drawn narrower at most, over what the blade is wide.
const NARROWEST: f64 = 0.6;

/// Ways whose costs differ by less than this many minutes are alike; the simpler goes first.
const ALIKE: f64 = 20.0;

/// The kind of a way, the simplest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WayKind {
    /// Go on as planned.
    GoOn,
    /// Shorter blanks, forged out further.
    ShorterBlanks,
    /// A thinner bar.
    Thinner,
    /// A narrower bar.
    Narrower,
    /// One piece fewer in a restack.
    PieceFewer,
    /// One piece more in a restack.
    PieceMore,
    /// Other counts in the restacks to come, or one restack fewer.
    OtherSequence,
    /// A shorter blade.
    SmallerBlade,
    /// A tang of plain bar.
    PlainTang,
    /// One knife fewer.
    KnifeFewer,
    /// Take the bands as they come.
    TakeBands,
}

/// A way out.
#[derive(Debug, Clone)]
pub struct WayOut {
    /// What kind.
    pub kind: WayKind,
    /// What the smith would do, in a line.
    pub title: String,
    /// What it costs against the plan as it was.
    pub cost: Cost,
    /// What changes in the steps to come, against the plan as it was meant to go.
    pub changes: Vec<String>,
    /// Metal over what the knives need.
    pub spare: Grams,
    /// Whether it is enough, with the chance of it.
    pub enough: Enough,
    /// Chance that every step can be made just as the amended plan has it.
    pub holds: f64,
    /// The amended plan: steps done stay, steps to come are new.
    pub plan: Plan,
    /// Its text.
    pub text: String,
}

impl WayOut {
    /// The smith's decision in words, for the journal.
    #[must_use]
    pub fn decision(&self) -> String {
        format!("{} ({})", self.title, self.cost.text(self.plan.units))
    }
}

/// The ways out of what stands against the plan, best first; none when nothing does.
#[must_use]
pub fn ways_out(start: &Start<'_>, lessons: &Lessons) -> Vec<WayOut> {
    if troubles(start).is_empty() {
        return Vec::new();
    }
    Seeker::of(start, lessons, None).seek()
}

/// The ways out of a weld that failed: so much is cut back, off one end, when the weld is set; then
/// what is left is used as well as it can be.
#[must_use]
pub fn after_failed_weld(start: &Start<'_>, lessons: &Lessons, cut_back: Mm) -> Vec<WayOut> {
    if !cut_back.is_positive() {
        return Vec::new();
    }
    // A pile that is not welded yet is cut back behind its weld.
    let weld = match start.billet.stage {
        Stage::Loose | Stage::Pile => {
            let steps = start.plan.steps.iter().skip(start.at);
            let weld = steps.take_while(|step| step.kind() != Kind::Weld).count();
            start.at + weld + 1
        }
        _ => start.at,
    };
    let plan = edit::with_trim(start.plan, weld, cut_back);
    Seeker::of(start, lessons, Some(plan)).seek()
}

struct Seeker<'s> {
    start: &'s Start<'s>,
    lessons: &'s Lessons,
    /// What the plan as it was would have come to.
    meant: Vec<Row>,
    /// The plan that the ways begin from.
    base: Plan,
    /// True when the base is an edit already.
    edited: bool,
    need: Need,
    /// Oddities that the plan had by itself; a way may not add to them.
    odd: usize,
    /// Welds and minutes of the plan as it was, on the metal there is.
    welds: i32,
    minutes: f64,
    /// True when the bands are what is wrong.
    lost_count: bool,
}

/// A way that fits.
struct Fit {
    kind: WayKind,
    title: String,
    plan: Plan,
    end: End,
    plain: Grams,
    knives: u32,
}

impl<'s> Seeker<'s> {
    fn of(start: &'s Start<'s>, lessons: &'s Lessons, base: Option<Plan>) -> Self {
        let plan = start.plan;
        let planned = dry_run(plan, 0, &plan.first_billet());
        let course = Course::run(plan, start.at, &start.billet);
        let last = course.rows.last().map_or(&start.billet, |row| &row.billet);
        let edited = base.is_some();
        let base = base.unwrap_or_else(|| plan.clone());
        Self {
            odd: planned.found.len(),
            welds: cost::welds(plan, start.at),
            minutes: cost::minutes(plan, start.at, lessons, &pieces(start, &course.rows)),
            lost_count: !course::has_bands(plan, last),
            meant: planned.rows.into_iter().skip(start.at).collect(),
            need: Need::of(&base),
            base,
            edited,
            start,
            lessons,
        }
    }

    fn seek(&self) -> Vec<WayOut> {
        let mut fits: Vec<Fit> = Vec::new();
        if self.edited {
            let title = match self.base.steps.get(self.start.at..) {
                Some(_) => "Cut it back and go on as planned".to_owned(),
                None => return Vec::new(),
            };
            fits.extend(self.fit(WayKind::GoOn, title, self.base.clone()));
        }
        fits.extend(self.shorter_blanks(&self.base, WayKind::ShorterBlanks, ""));
        fits.extend(self.thinner());
        fits.extend(self.narrower());
        fits.extend(self.sequences());
        fits.extend(self.smaller_blade());
        fits.extend(self.plain_tang());
        fits.extend(self.knife_fewer());
        fits.extend(self.take_bands());
        let mut ways: Vec<WayOut> = fits.into_iter().map(|fit| self.way(fit)).collect();
        ways.sort_by(|a, b| {
            let weight = |way: &WayOut| (way.cost.weight(self.start.plan) / ALIKE).round();
            weight(a).total_cmp(&weight(b)).then(a.kind.cmp(&b.kind))
        });
        let mut seen = Vec::new();
        ways.retain(|way| {
            let new = !seen.contains(&way.kind);
            seen.push(way.kind);
            new
        });
        ways.truncate(MOST);
        ways
    }

    fn units(&self) -> Units {
        self.base.units
    }

    /// A plan as a way, when every step of it can be made and it leads to the goal. What is to be
    /// counted on an etched end follows.
    fn fit(&self, kind: WayKind, title: impl Into<String>, plan: Plan) -> Option<Fit> {
        let mut plan = plan;
        edit::expect_bands(&mut plan, self.start.at, |_| None);
        let end = End::of(&plan, self.start.at, &self.start.billet)?;
        edit::expect_bands(&mut plan, self.start.at, |place| {
            let row = end.rows.get(place)?;
            u64::try_from(row.billet.bands()).ok()
        });
        (end.is_good(&plan) && end.odd <= self.odd).then(|| Fit {
            kind,
            title: title.into(),
            plan,
            end,
            plain: Grams::ZERO,
            knives: 0,
        })
    }

    /// The metal just before a step to come, as the plan would have it there.
    fn before(&self, plan: &Plan, at: usize) -> Option<Billet> {
        let course = Course::run(plan, self.start.at, &self.start.billet);
        match at.checked_sub(self.start.at)? {
            0 => Some(self.start.billet.clone()),
            steps => course.rows.get(steps - 1).map(|row| row.billet.clone()),
        }
    }

    fn shorter_blanks(&self, plan: &Plan, kind: WayKind, with: &str) -> Option<Fit> {
        let cut = edit::last_cut(plan, self.start.at)?;
        let bar = self.before(plan, cut)?.bar;
        let allow = plan.allowances();
        let pieces = f64::from(edit::pieces_of(plan, cut));
        let each = (bar.length - allow.kerf * (pieces - 1.0)) / pieces;
        let each = each.floor_to(allow.mark);
        if !each.is_positive() {
            return None;
        }
        let say = self.units().length(each);
        let title = match (with, self.need.outline) {
            ("", None) => format!("Cut the blanks {say} long and forge them out further"),
            ("", Some(_)) => format!("Cut the blanks {say} long"),
            (with, _) => format!("{with}, blanks of {say}"),
        };
        self.fit(kind, title, edit::with_length(plan, cut, each))
    }

    /// The section that the blanks are cut from: its draw when that is still to come.
    fn section(&self) -> Option<(usize, Option<usize>, Mm, Mm)> {
        let cut = edit::last_cut(&self.base, self.start.at)?;
        let draw = edit::last_draw(&self.base, self.start.at, cut);
        let bar = match draw {
            Some(draw) => self.before(&self.base, draw + 1)?.bar,
            None => self.before(&self.base, cut)?.bar,
        };
        Some((cut, draw, bar.width, bar.thickness))
    }

    fn thinner(&self) -> Option<Fit> {
        let (_, draw, width, thickness) = self.section()?;
        let step = self.base.allowances().mark.max(Mm(0.25)).min(Mm(0.5));
        let mut now = thickness - step;
        while now >= self.need.thickness {
            let (plan, title) = self.drawn(draw, width, now);
            let title = format!("{title} {} thick", self.units().length(now));
            if let Some(fit) = self.fit(WayKind::Thinner, title, plan) {
                return Some(fit);
            }
            now = now - step;
        }
        None
    }

    fn narrower(&self) -> Option<Fit> {
        let (_, draw, width, thickness) = self.section()?;
        let least = match self.need.outline {
            Some((width, _)) => width,
            None => self.base.goal.blade.width * NARROWEST,
        };
        let step = self.base.allowances().mark.max(Mm(0.5));
        let mut now = width - step;
        while now >= least {
            let (plan, title) = self.drawn(draw, now, thickness);
            let title = format!("{title} {} wide", self.units().length(now));
            if let Some(fit) = self.fit(WayKind::Narrower, title, plan) {
                return Some(fit);
            }
            now = now - step;
        }
        None
    }

    fn drawn(&self, draw: Option<usize>, width: Mm, thickness: Mm) -> (Plan, &'static str) {
        match draw {
            Some(draw) => (
                edit::with_section(&self.base, draw, Some(width), Some(thickness)),
                "Draw the bar",
            ),
            None => (
                edit::with_draw(&self.base, self.start.at, width, thickness),
                "Draw the bar out again,",
            ),
        }
    }

    /// One piece fewer or more, other counts, or one restack fewer: the best of each kind.
    fn sequences(&self) -> Vec<Fit> {
        let cuts = edit::piled_cuts(&self.base, self.start.at);
        let now: Vec<u32> = cuts
            .iter()
            .map(|cut| edit::pieces_of(&self.base, *cut))
            .collect();
        let mut fits = Vec::new();
        if cuts.is_empty() || cuts.len() > 3 {
            return fits;
        }
        let mut best: [Option<(f64, Fit)>; 3] = [None, None, None];
        let mut keep = |slot: usize, fit: Fit| {
            let weight = self.cost(&fit).weight(self.start.plan);
            if let Some(place) = best.get_mut(slot)
                && place.as_ref().is_none_or(|(least, _)| weight < *least)
            {
                *place = Some((weight, fit));
            }
        };
        for counts in combinations(cuts.len()) {
            if counts == now {
                continue;
            }
            let change: i64 = counts
                .iter()
                .zip(&now)
                .map(|(new, old)| i64::from(*new) - i64::from(*old))
                .sum();
            let moved = counts
                .iter()
                .zip(&now)
                .filter(|(new, old)| new != old)
                .count();
            let (slot, kind) = match (moved, change) {
                (1, -1) => (0, WayKind::PieceFewer),
                (1, 1) => (1, WayKind::PieceMore),
                _ => (2, WayKind::OtherSequence),
            };
            let mut plan = self.base.clone();
            for (cut, count) in cuts.iter().zip(&counts) {
                plan = edit::with_pieces(&plan, *cut, *count, true);
            }
            let title = format!("Restack {} high instead of {}", row(&counts), row(&now));
            if let Some(fit) = self.fit(kind, title.clone(), plan.clone()) {
                keep(slot, fit);
            } else if self.lost_count
                && let Some(fit) = self.shorter_blanks(&plan, kind, &title)
            {
                keep(slot, fit);
            }
        }
        if let Some(first) = cuts.first()
            && cuts.len() > 1
            && let Some(fewer) = edit::without_pile(&self.base, *first, self.start.at)
        {
            let left = edit::piled_cuts(&fewer, self.start.at);
            for counts in combinations(left.len()) {
                let mut plan = fewer.clone();
                for (cut, count) in left.iter().zip(&counts) {
                    plan = edit::with_pieces(&plan, *cut, *count, true);
                }
                let title = format!("One restack fewer: {} high", row(&counts));
                if let Some(fit) = self.fit(WayKind::OtherSequence, title, plan) {
                    keep(2, fit);
                }
            }
        }
        fits.extend(best.into_iter().flatten().map(|(_, fit)| fit));
        fits
    }

    fn smaller_blade(&self) -> Option<Fit> {
        let whole = self.base.goal.blade.length;
        let mark = self.base.allowances().mark.max(Mm(1.0));
        let mut share = 1.0 - BLADE_STEP;
        while share >= SHORTEST_BLADE {
            let length = (whole * share).floor_to(mark);
            let plan = edit::with_blade(&self.base, length);
            let title = format!("Make the blade {} long", self.units().length(length));
            let straight = self.fit(WayKind::SmallerBlade, title.clone(), plan.clone());
            let fit =
                straight.or_else(|| self.shorter_blanks(&plan, WayKind::SmallerBlade, &title));
            if fit.is_some() {
                return fit;
            }
            share -= BLADE_STEP;
        }
        None
    }

    fn plain_tang(&self) -> Option<Fit> {
        let tang = self.base.goal.tang?;
        let plan = edit::with_plain_tang(&self.base)?;
        let title = "Weld a plain tang on".to_owned();
        let fit = self
            .fit(WayKind::PlainTang, title.clone(), plan.clone())
            .or_else(|| self.shorter_blanks(&plan, WayKind::PlainTang, &title))?;
        let each = (tang.width * tang.thickness * tang.length).mass(self.start.billet.density());
        Some(Fit {
            plain: each * f64::from(self.base.goal.knives),
            ..fit
        })
    }

    fn knife_fewer(&self) -> Option<Fit> {
        let knives = self
            .base
            .goal
            .knives
            .checked_sub(1)
            .filter(|left| *left > 0)?;
        let cut = edit::last_cut(&self.base, self.start.at)?;
        let plan = edit::with_knives(&self.base, cut, knives);
        let title = match knives {
            1 => "Make one knife of it".to_owned(),
            many => format!("Make {many} knives of it"),
        };
        let straight = self.fit(WayKind::KnifeFewer, title.clone(), plan.clone());
        let fit = straight.or_else(|| self.shorter_blanks(&plan, WayKind::KnifeFewer, &title))?;
        Some(Fit { knives: 1, ..fit })
    }

    /// The bands as they come.
    fn take_bands(&self) -> Option<Fit> {
        if !self.lost_count {
            return None;
        }
        let course = Course::run(&self.base, self.start.at, &self.start.billet);
        let bands = u64::try_from(course.rows.last()?.billet.bands()).ok()?;
        let mut plan = self.base.clone();
        plan.goal.bands_least = plan.goal.bands_least.min(bands);
        plan.goal.bands_most = plan.goal.bands_most.max(bands);
        let title = format!("Take the {bands} bands that come of it");
        self.fit(WayKind::TakeBands, title.clone(), plan.clone())
            .or_else(|| self.shorter_blanks(&plan, WayKind::TakeBands, &title))
    }

    fn cost(&self, fit: &Fit) -> Cost {
        let at = self.start.at;
        let old = self.start.plan;
        let counts = pieces(self.start, &fit.end.rows);
        let minutes = cost::minutes(&fit.plan, at, self.lessons, &counts);
        let meant = self
            .meant
            .last()
            .map_or(self.start.billet.bands(), |row| row.billet.bands());
        let beyond = |bands: u128| -> f64 {
            let (least, most) = (old.goal.bands_least, old.goal.bands_most);
            #[expect(clippy::cast_precision_loss, reason = "compared, not counted")]
            let (bands, least, most) = (bands as f64, least as f64, most as f64);
            (bands / most - 1.0).max(least / bands - 1.0).max(0.0)
        };
        let plain = i32::from(fit.plain.is_positive());
        Cost {
            welds: cost::welds(&fit.plan, at) - self.welds + plain,
            steel: fit.plain,
            minutes: minutes - self.minutes,
            bands: (meant, fit.end.last.bands()),
            pattern: beyond(fit.end.last.bands()),
            blade: old.goal.blade.length - fit.plan.goal.blade.length,
            knives: fit.knives,
        }
    }

    fn way(&self, fit: Fit) -> WayOut {
        let cost = self.cost(&fit);
        let amended = Start {
            plan: &fit.plan,
            at: self.start.at,
            billet: self.start.billet.clone(),
            known: self.start.known,
        };
        let seen = forecast(&amended, self.lessons, SEED, SAMPLES);
        let head = vec![format!("Amended: {}.", fit.title)];
        WayOut {
            kind: fit.kind,
            cost,
            changes: changes(&fit.plan, &self.meant, &fit.end.rows),
            spare: fit.end.spare.mass(fit.end.blank.density()),
            enough: seen.enough,
            holds: seen.holds,
            text: write::write(&fit.plan, &head),
            title: fit.title,
            plan: fit.plan,
        }
    }
}

/// Pieces before each step to come.
fn pieces(start: &Start<'_>, rows: &[Row]) -> Vec<u32> {
    std::iter::once(start.billet.pieces)
        .chain(rows.iter().map(|row| row.billet.pieces))
        .collect()
}

/// Every row of piece counts.
fn combinations(length: usize) -> Vec<Vec<u32>> {
    let mut all: Vec<Vec<u32>> = vec![Vec::new()];
    for _ in 0..length {
        all = all
            .into_iter()
            .flat_map(|row| {
                (2..=edit::MOST_PIECES).map(move |count| {
                    let mut longer = row.clone();
                    longer.push(count);
                    longer
                })
            })
            .collect();
    }
    all
}

fn row(counts: &[u32]) -> String {
    let words: Vec<String> = counts.iter().map(ToString::to_string).collect();
    words.join(" then ")
}
