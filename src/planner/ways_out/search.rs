//! Looks for ways out: each is an edit of the plan, worked to its end on the metal there is.

use std::cell::Cell;

use super::course::{self, Course, End};
use super::{
    ALIKE, BETTER, BLADE_STEP, Cost, FAIR, MOST, SHORTEST_BLADE, WayKind, WayOut, changes, cost,
    edit,
};
use crate::billet::{Billet, Stage};
use crate::plan::{Need, Plan, WalkedStep, dry_run, read};
use crate::planner::forecast::{Forecast, SAMPLES, SEED, Start, forecast, work};
use crate::planner::learn::Lessons;
use crate::planner::warming::Warming;
use crate::planner::write;
use crate::units::{Mm, Units};

/// However little is known of the metal, a margin of more than this leaves no way at all.
const LEANEST: f64 = 0.9;
/// Most steps that are worked to find the ways, hundreds of times a usual plan's; a step of a thick stack counts
/// as several. Whoever plans hundreds of steps is offered what is found by then.
const WORKED: usize = 60_000;

pub(super) struct Search<'s> {
    pub(super) start: &'s Start<'s>,
    pub(super) lessons: &'s Lessons,
    /// What the plan as it was would have come to.
    pub(super) meant: Vec<WalkedStep>,
    /// The plan that the ways begin from.
    pub(super) base: Plan,
    /// True when the base is an edit already.
    pub(super) edited: bool,
    pub(super) need: Need,
    /// Oddities that the plan had by itself; a way may not add to them.
    pub(super) odd: usize,
    /// Welds and minutes of the plan as it was, on the metal there is.
    pub(super) welds: i32,
    pub(super) minutes: f64,
    /// True when the bands are what is wrong.
    pub(super) lost_count: bool,
    /// The odds that a way must better; none where every way is a choice beside one that was taken.
    pub(super) odds: Option<f64>,
    /// The metal at the lower end of what is known of it, one in twenty: a way that fits it has a margin.
    pub(super) lean: Billet,
    /// What may still be worked, and what one plan costs of it.
    left: Cell<usize>,
    each: usize,
}

/// A way that fits.
pub(super) struct Fit {
    pub(super) kind: WayKind,
    pub(super) title: String,
    pub(super) plan: Plan,
    pub(super) end: End,
    pub(super) knives: u32,
    /// It fits the lean metal too.
    pub(super) sure: bool,
}

impl<'s> Search<'s> {
    pub(super) fn of(
        start: &'s Start<'s>,
        lessons: &'s Lessons,
        seen: &Forecast,
        base: Option<Plan>,
    ) -> Self {
        let plan = start.plan;
        let planned = dry_run(plan, 0, &plan.first_billet());
        let course = Course::run(plan, start.at, &start.billet);
        let last = course.rows.last().map_or(&start.billet, |row| &row.billet);
        let edited = base.is_some();
        let base = base.unwrap_or_else(|| plan.clone());
        Self {
            odd: planned.found.len(),
            welds: cost::welds(plan, start.at),
            minutes: minutes(plan, start, lessons, &course.rows),
            lost_count: !course::has_bands(plan, last),
            odds: Some(if course::has_bands(plan, last) {
                seen.holds * seen.enough.probability
            } else {
                0.0
            }),
            meant: planned.rows.into_iter().skip(start.at).collect(),
            need: Need::of(&base),
            lean: lean(start, seen),
            left: Cell::new(WORKED),
            each: work(plan, start.at),
            base,
            edited,
            start,
            lessons,
        }
    }

    pub(super) fn seek(&self) -> Vec<WayOut> {
        let mut fits: Vec<Fit> = Vec::new();
        if self.edited {
            fits.push(self.go_on());
        }
        fits.extend(self.no_test_piece());
        fits.extend(self.less_trim());
        fits.extend(self.thin_kerf());
        fits.extend(self.shorter_blanks(&self.base, WayKind::ShorterBlanks, ""));
        fits.extend(self.thinner());
        fits.extend(self.narrower());
        fits.extend(self.sequences());
        fits.extend(self.smaller_blade());
        fits.extend(self.knife_fewer());
        fits.extend(self.take_bands());
        let weight = |cost: &Cost| (cost.weight(self.start.plan) / ALIKE).round();
        let mut fits: Vec<(f64, Fit)> = fits
            .into_iter()
            .map(|fit| (weight(&self.cost(&fit)), fit))
            .collect();
        // Those with a margin first, and those that cost only waste: odds are worked for the few that are
        // shown.
        fits.sort_by(|(a, one), (b, other)| {
            let rank = |fit: &Fit| !(fit.sure || fit.kind <= WayKind::ThinKerf);
            (rank(one).cmp(&rank(other)))
                .then(a.total_cmp(b))
                .then(one.kind.cmp(&other.kind))
        });
        let mut seen = Vec::new();
        fits.retain(|(_, fit)| {
            let new = !seen.contains(&fit.kind);
            seen.push(fit.kind);
            new
        });
        let (cut, fits): (Vec<_>, Vec<_>) = fits
            .into_iter()
            .map(|(_, fit)| fit)
            .partition(|fit| fit.kind == WayKind::GoOn);
        // What is cut back is gone whichever way is taken: the others are held against going on from there.
        let lost = cut
            .first()
            .map(|fit| !course::has_bands(&fit.plan, &fit.end.last));
        let mut ways: Vec<WayOut> = cut.into_iter().map(|fit| self.way(fit)).collect();
        let odds = match (ways.first(), lost) {
            (Some(cut), Some(false)) => Some(cut.odds()),
            (Some(_), _) => Some(0.0),
            (None, _) => self.odds,
        };
        let others = fits.into_iter().map(|fit| self.way(fit));
        let better = |way: &WayOut| odds.is_none_or(|odds| way.odds() > odds + BETTER);
        ways.extend(others.filter(better).take(MOST - ways.len()));
        ways.sort_by(|a, b| {
            (a.holds < FAIR)
                .cmp(&(b.holds < FAIR))
                .then(weight(&a.cost).total_cmp(&weight(&b.cost)))
                .then(a.kind.cmp(&b.kind))
        });
        ways
    }

    /// The first that fits the lean metal too; where none does, the first.
    pub(super) fn surest(&self, fits: impl Iterator<Item = Fit>) -> Option<Fit> {
        let mut first = None;
        for fit in fits {
            if fit.sure {
                return Some(fit);
            }
            first = first.or(Some(fit));
        }
        first
    }

    pub(super) fn units(&self) -> Units {
        self.base.units
    }

    /// A plan as a way, when every step of it can be made and it leads to the goal. What is to be
    /// counted on an etched end follows.
    pub(super) fn fit(&self, kind: WayKind, title: impl Into<String>, plan: Plan) -> Option<Fit> {
        self.spend()?;
        let mut plan = plan;
        edit::expect_bands(&mut plan, self.start.at, |_| None);
        let end = End::of(&plan, self.start.at, &self.start.billet)?;
        edit::expect_bands(&mut plan, self.start.at, |place| {
            let row = end.rows.get(place)?;
            u64::try_from(row.billet.bands()).ok()
        });
        if !end.is_good(&plan) || end.odd > self.odd {
            return None;
        }
        let lean = End::of(&plan, self.start.at, &self.lean);
        Some(Fit {
            kind,
            title: title.into(),
            sure: lean.is_some_and(|end| end.is_good(&plan)),
            plan,
            end,
            knives: 0,
        })
    }

    /// The cut that is made in any case, and nothing else: offered wherever it leads, so that the metal is
    /// written off.
    fn go_on(&self) -> Fit {
        let plan = self.base.clone();
        let title = "Cut it back and go on as planned";
        self.fit(WayKind::GoOn, title, plan).unwrap_or_else(|| {
            let plan = self.base.clone();
            let course = Course::run(&plan, self.start.at, &self.start.billet);
            Fit {
                kind: WayKind::GoOn,
                title: "Cut it back; the plan is then off".to_owned(),
                sure: false,
                end: End::bent(&plan, self.start.at, &self.start.billet, course.rows),
                plan,
                knives: 0,
            }
        })
    }

    /// One more plan is worked; none when enough were.
    fn spend(&self) -> Option<()> {
        self.left.set(self.left.get().checked_sub(self.each)?);
        Some(())
    }

    /// The metal just before a step to come, as the plan would have it there.
    pub(super) fn before(&self, plan: &Plan, at: usize, metal: &Billet) -> Option<Billet> {
        self.spend()?;
        let course = Course::run(plan, self.start.at, metal);
        match at.checked_sub(self.start.at)? {
            0 => Some(metal.clone()),
            steps => course.rows.get(steps - 1).map(|row| row.billet.clone()),
        }
    }

    pub(super) fn smaller_blade(&self) -> Option<Fit> {
        let whole = self.base.goal.blade.length;
        let mark = self.base.allowances().mark.max(Mm(1.0));
        let shares =
            std::iter::successors(Some(1.0 - BLADE_STEP), |share| Some(share - BLADE_STEP));
        let shares = shares.take_while(|share| *share >= SHORTEST_BLADE);
        self.surest(shares.filter_map(|share| {
            let length = (whole * share).floor_to(mark);
            let plan = edit::with_blade(&self.base, length);
            let title = format!("Make the blade {} long", self.units().length(length));
            let straight = self.fit(WayKind::SmallerBlade, title.clone(), plan.clone());
            straight.or_else(|| self.shorter_blanks(&plan, WayKind::SmallerBlade, &title))
        }))
    }

    pub(super) fn knife_fewer(&self) -> Option<Fit> {
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
    pub(super) fn take_bands(&self) -> Option<Fit> {
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

    pub(super) fn cost(&self, fit: &Fit) -> Cost {
        let at = self.start.at;
        let old = self.start.plan;
        let minutes = minutes(&fit.plan, self.start, self.lessons, &fit.end.rows);
        let meant = self
            .meant
            .last()
            .map_or(self.start.billet.bands(), |row| row.billet.bands());
        let beyond = |bands: u128| -> f64 {
            let (least, most) = (old.goal.bands_least, old.goal.bands_most);
            #[expect(clippy::cast_precision_loss, reason = "compared, not counted")]
            let (bands, least, most) = (bands as f64, least as f64, most as f64);
            (bands / most - 1.0).max(1.0 - bands / least).max(0.0)
        };
        Cost {
            welds: cost::welds(&fit.plan, at) - self.welds,
            minutes: minutes - self.minutes,
            bands: (meant, fit.end.last.bands()),
            pattern: beyond(fit.end.last.bands()),
            blade: old.goal.blade.length - fit.plan.goal.blade.length,
            knives: fit.knives,
        }
    }

    pub(super) fn way(&self, fit: Fit) -> WayOut {
        let cost = self.cost(&fit);
        let head = vec![format!("Amended: {}.", fit.title)];
        let text = write::write(&fit.plan, &head);
        // The odds are those of the plan as it will be read back, from where the metal is known.
        let read = read(&text).map(|(plan, _)| plan).ok();
        let mut plan = read.unwrap_or_else(|| fit.plan.clone());
        if plan.steps.len() == fit.plan.steps.len() {
            let done = fit.plan.steps.iter().take(self.start.at);
            for (step, done) in plan.steps.iter_mut().zip(done) {
                *step = done.clone();
            }
        }
        let amended = Start {
            plan: &plan,
            ..self.start.clone()
        };
        let seen = forecast(&amended, self.lessons, SEED, SAMPLES);
        WayOut {
            kind: fit.kind,
            cost,
            changes: changes(&fit.plan, &self.meant, &fit.end.rows),
            spare: fit.end.spare.mass(fit.end.blank.density()),
            enough: seen.enough,
            holds: seen.holds,
            text,
            title: fit.title,
            plan: fit.plan,
        }
    }
}

/// The bar as short as it comes one time in twenty where its blanks are cut, or as light where none are.
fn lean(start: &Start<'_>, seen: &Forecast) -> Billet {
    let cut = edit::last_cut(start.plan, start.at);
    let sound = seen
        .steps
        .iter()
        .take_while(|step| step.as_planned >= FAIR && !step.kind.is_shaping());
    let before = cut.map_or(usize::MAX, |cut| cut - start.at);
    let share = match (sound.take(before).last(), cut) {
        (Some(step), Some(_)) => step.length.low / step.length.best,
        (Some(step), None) => step.mass.low / step.mass.best,
        (None, _) => 1.0 - 1.645 * start.known.volume,
    };
    let share = if share.is_finite() {
        share.clamp(LEANEST, 1.0)
    } else {
        1.0
    };
    let mut lean = start.billet.clone();
    if lean.stage < Stage::Forged {
        lean.bar.void = lean.bar.void * share;
        lean.bar.length = lean.bar.length * share;
    }
    lean
}

/// Minutes of the steps to come on the metal that they leave.
fn minutes(plan: &Plan, start: &Start<'_>, lessons: &Lessons, rows: &[WalkedStep]) -> f64 {
    let floors = Warming::along(plan, start.at, &start.billet, rows);
    let pieces = pieces(start, rows);
    cost::minutes(plan, start.at, lessons, (&pieces, &floors))
}

/// Pieces before each step to come.
fn pieces(start: &Start<'_>, rows: &[WalkedStep]) -> Vec<u32> {
    std::iter::once(start.billet.pieces)
        .chain(rows.iter().map(|row| row.billet.pieces))
        .collect()
}
