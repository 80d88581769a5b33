//! Looks for ways out: each is an edit of the plan, worked to its end on the metal there is.

use super::course::{self, Course, End};
use super::{
    ALIKE, BLADE_STEP, Cost, MOST, SAMPLES, SEED, SHORTEST_BLADE, WayKind, WayOut, changes, cost,
    edit,
};
use crate::billet::Billet;
use crate::plan::{Plan, Row, dry_run};
use crate::planner::forecast::{Need, Start, forecast};
use crate::planner::learn::Lessons;
use crate::planner::write;
use crate::units::{Grams, Mm, Units};

pub(super) struct Seeker<'s> {
    pub(super) start: &'s Start<'s>,
    pub(super) lessons: &'s Lessons,
    /// What the plan as it was would have come to.
    pub(super) meant: Vec<Row>,
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
}

/// A way that fits.
pub(super) struct Fit {
    pub(super) kind: WayKind,
    pub(super) title: String,
    pub(super) plan: Plan,
    pub(super) end: End,
    pub(super) plain: Grams,
    pub(super) knives: u32,
}

impl<'s> Seeker<'s> {
    pub(super) fn of(start: &'s Start<'s>, lessons: &'s Lessons, base: Option<Plan>) -> Self {
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

    pub(super) fn seek(&self) -> Vec<WayOut> {
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

    pub(super) fn units(&self) -> Units {
        self.base.units
    }

    /// A plan as a way, when every step of it can be made and it leads to the goal. What is to be
    /// counted on an etched end follows.
    pub(super) fn fit(&self, kind: WayKind, title: impl Into<String>, plan: Plan) -> Option<Fit> {
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
    pub(super) fn before(&self, plan: &Plan, at: usize) -> Option<Billet> {
        let course = Course::run(plan, self.start.at, &self.start.billet);
        match at.checked_sub(self.start.at)? {
            0 => Some(self.start.billet.clone()),
            steps => course.rows.get(steps - 1).map(|row| row.billet.clone()),
        }
    }

    pub(super) fn smaller_blade(&self) -> Option<Fit> {
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

    pub(super) fn plain_tang(&self) -> Option<Fit> {
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

    pub(super) fn way(&self, fit: Fit) -> WayOut {
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
