//! The shop's own figures put into a plan, when the smith says so.

use super::{Lessons, Topic, Work};
use crate::billet::Move;
use crate::plan::Plan;
use crate::planner::ends::EndCut;
use crate::units::{Fraction, Mm, show};

/// The plan with the learnt allowances in place of its own, and what changed. Steps that state an
/// amount of their own keep it; steps already done are in the journal and are not touched by it.
#[must_use]
pub fn accept(plan: &Plan, lessons: &Lessons) -> (Plan, Vec<String>) {
    let mut new = plan.clone();
    let mut said = Vec::new();
    let told = |topic| {
        let one = lessons.get(topic);
        (one.from_n > 0 || one.pinned.is_some()).then(|| one.in_force())
    };
    let old = plan.shop.allowances;
    if let Some(scale) = told(Topic::Scale(Work::WeldAndDraw)) {
        let scale = Fraction::from_percent((scale * 1000.0).round() / 10.0);
        if (scale.0 - old.scale.0).abs() > 1e-9 {
            said.push(format!(
                "scale: {} -> {}",
                show::percent(old.scale, 1),
                show::percent(scale, 1)
            ));
            new.shop.allowances.scale = scale;
        }
    }
    let size = |value: f64, step: f64| Mm((value / step).round().max(1.0) * step);
    if told(Topic::Trim).is_some() {
        let trim = size(lessons.usual_trim(), 0.5);
        if !trim.near(old.trim, 1e-9) {
            said.push(change("trim per end", plan, old.trim, trim));
            new.shop.allowances.trim = trim;
        }
    }
    if let Some(grind) = told(Topic::Grind) {
        let grind = size(grind, 0.05);
        if !grind.near(old.grind, 1e-9) {
            said.push(change("grind per face", plan, old.grind, grind));
            new.shop.allowances.grind = grind;
        }
    }
    let now = new.shop.allowances;
    for step in &mut new.steps {
        match &mut step.made {
            Move::Draw { scale, .. } | Move::CornerCrush { scale, .. }
                if (scale.0 - old.scale.0).abs() < 1e-12 =>
            {
                *scale = now.scale;
            }
            Move::Trim { ends } => {
                let cut = EndCut::of(*ends);
                if cut.bad.near(old.trim, 1e-9) {
                    *ends = cut.with_bad(*ends, now.trim);
                }
            }
            Move::Grind { per_face, .. } if per_face.near(old.grind, 1e-9) => {
                *per_face = now.grind;
            }
            _ => {}
        }
    }
    (new, said)
}

fn change(what: &str, plan: &Plan, old: Mm, new: Mm) -> String {
    format!(
        "{what}: {} -> {}",
        plan.units.length(old),
        plan.units.length(new)
    )
}
