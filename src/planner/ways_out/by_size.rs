//! Ways by size: shorter blanks, a thinner or a narrower bar.

use super::search::{Fit, Search};
use super::{NARROWEST, WayKind, edit};
use crate::plan::Plan;
use crate::units::Mm;

impl Search<'_> {
    pub(super) fn shorter_blanks(&self, plan: &Plan, kind: WayKind, with: &str) -> Option<Fit> {
        let cut = edit::last_cut(plan, self.start.at)?;
        let allow = plan.allowances();
        let pieces = f64::from(edit::pieces_of(plan, cut));
        // A bar that comes out short must still give them: as short as it may come first, then nearer to
        // what is expected.
        let lengths = [&self.lean, &self.start.billet].map(|metal| {
            let bar = self.before(plan, cut, metal)?.bar;
            let each = (bar.length - allow.kerf * (pieces - 1.0)) / pieces;
            Some(each)
        });
        let [short, whole] = lengths;
        let (short, whole) = (short?, whole?);
        // As long as they are now is no way; longer is one where more of a thin bar makes up the metal.
        let now = match with {
            "" => Some(edit::length_of(plan, cut).unwrap_or(whole)),
            _ => None,
        };
        self.surest([0.0, 0.5, 1.0].into_iter().filter_map(|part| {
            let each = (short + (whole - short) * part).floor_to(allow.mark);
            let same = now.is_some_and(|now| each.near(now, allow.mark.0 * 0.5));
            if same || !each.is_positive() {
                return None;
            }
            let say = self.units().length(each);
            let title = match (with, self.need.outline) {
                ("", _) if now.is_some_and(|now| each > now) => {
                    format!("Cut the blanks {say} long, more than planned")
                }
                ("", None) => format!("Cut the blanks {say} long and forge them out further"),
                ("", Some(_)) => format!("Cut the blanks {say} long"),
                (with, _) => format!("{with}, blanks of {say}"),
            };
            self.fit(kind, title, edit::with_length(plan, cut, each))
        }))
    }

    /// The section that the blanks are cut from: its draw when that is still to come.
    pub(super) fn section(&self) -> Option<(usize, Option<usize>, Mm, Mm)> {
        let cut = edit::last_cut(&self.base, self.start.at)?;
        let draw = edit::last_draw(&self.base, self.start.at, cut);
        let bar = match draw {
            Some(draw) => self.before(&self.base, draw + 1, &self.start.billet)?.bar,
            None => self.before(&self.base, cut, &self.start.billet)?.bar,
        };
        Some((cut, draw, bar.width, bar.thickness))
    }

    pub(super) fn thinner(&self) -> Option<Fit> {
        let (_, draw, width, thickness) = self.section()?;
        let step = self.base.allowances().mark.max(Mm(0.25)).min(Mm(0.5));
        self.surest(
            down(thickness, step, self.need.thickness).filter_map(|now| {
                let (plan, title) = self.drawn(draw, width, now);
                let title = format!("{title} {} thick", self.units().length(now));
                self.fit(WayKind::Thinner, title, plan)
            }),
        )
    }

    pub(super) fn narrower(&self) -> Option<Fit> {
        let (_, draw, width, thickness) = self.section()?;
        let least = match self.need.outline {
            Some((width, _)) => width,
            None => self.base.goal.blade.width * NARROWEST,
        };
        let step = self.base.allowances().mark.max(Mm(0.5));
        self.surest(down(width, step, least).filter_map(|now| {
            let (plan, title) = self.drawn(draw, now, thickness);
            let title = format!("{title} {} wide", self.units().length(now));
            self.fit(WayKind::Narrower, title, plan)
        }))
    }

    pub(super) fn drawn(
        &self,
        draw: Option<usize>,
        width: Mm,
        thickness: Mm,
    ) -> (Plan, &'static str) {
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
}

/// Sizes under one, a step apart, down to the least.
fn down(from: Mm, step: Mm, least: Mm) -> impl Iterator<Item = Mm> {
    std::iter::successors(Some(from - step), move |now| Some(*now - step))
        .take_while(move |now| *now >= least)
}
