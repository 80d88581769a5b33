//! Ways that cost only waste: a test piece, an end trim, a kerf.

use super::search::{Fit, Search};
use super::{WayKind, edit};
use crate::billet::Move;
use crate::plan::Plan;
use crate::planner::ends::EndCut;
use crate::units::Mm;

/// Parts of a trim that are tried in its place.
const LESS: [f64; 4] = [0.75, 0.5, 0.25, 0.0];
/// What a thin cutting disc or a band saw takes. Common practice, no source.
const THIN: Mm = Mm(1.0);

impl Search<'_> {
    /// The test piece left out: both ends trimmed alike.
    pub(super) fn no_test_piece(&self) -> Option<Fit> {
        let mut plan = self.base.clone();
        let least = self.edit_trims(&mut plan, |ends: [Mm; 2]| {
            let cut = EndCut::of(ends);
            if cut.test_piece.is_positive() {
                [cut.bad; 2]
            } else {
                ends
            }
        })?;
        let title = format!(
            "Leave the test piece out: trim {} off both ends",
            self.units().length(least)
        );
        self.fit(WayKind::NoTestPiece, title, plan)
    }

    /// Less off the ends, as little less as will do; a test piece stays as long as it is, until nothing is trimmed.
    pub(super) fn less_trim(&self) -> Option<Fit> {
        self.surest(LESS.iter().filter_map(|share| {
            let mut plan = self.base.clone();
            let mark = plan.allowances().mark;
            let least = self.edit_trims(&mut plan, |ends: [Mm; 2]| {
                let cut = EndCut::of(ends);
                let bad = (cut.bad * *share).floor_to(mark);
                if bad.is_positive() {
                    cut.with_bad(ends, bad)
                } else {
                    [Mm::ZERO; 2]
                }
            })?;
            let title = if least.is_positive() {
                format!("Trim only {} off the ends", self.units().length(least))
            } else {
                "Trim nothing off the ends that ring clear".to_owned()
            };
            self.fit(WayKind::LessTrim, title, plan)
        }))
    }

    /// A thinner blade for the cuts to come.
    pub(super) fn thin_kerf(&self) -> Option<Fit> {
        let mut plan = self.base.clone();
        let mut changed = false;
        for step in plan.steps.iter_mut().skip(self.start.at) {
            if let Move::Cut { kerf, .. } = &mut step.made
                && *kerf > THIN
            {
                *kerf = THIN;
                changed = true;
            }
        }
        let kerf = self.units().length(THIN);
        let title = format!("Cut with a thinner blade: {kerf} a cut");
        changed
            .then(|| self.fit(WayKind::ThinKerf, title, plan))
            .flatten()
    }

    /// Sets the ends of the last trim to come before the blanks are cut; the bad length that is still taken off
    /// an end, or none when that changes nothing.
    fn edit_trims(&self, plan: &mut Plan, edit: impl Fn([Mm; 2]) -> [Mm; 2]) -> Option<Mm> {
        let cut = edit::last_cut(plan, self.start.at).unwrap_or(plan.steps.len());
        let to_come = plan.steps.get_mut(self.start.at..cut)?;
        let step = to_come
            .iter_mut()
            .rfind(|step| matches!(step.made, Move::Trim { .. }))?;
        let Move::Trim { ends } = &mut step.made else {
            return None;
        };
        let now = edit(*ends);
        if now
            .iter()
            .zip(ends.iter())
            .all(|(new, old)| new.near(*old, 1e-6))
        {
            return None;
        }
        *ends = now;
        step.done_when = None;
        step.cautions.push(
            "Less is trimmed than planned: look for an open seam at both ends first.".to_owned(),
        );
        Some(EndCut::of(now).bad)
    }
}
