//! Edits of the steps to come.

use crate::billet::{Kind, Move, Part, Sizes};
use crate::plan::{HeatWindow, Places, Plan, Step, StepId};
use crate::units::{Celsius, Fraction, Mm};

/// Most pieces of a restack that are tried.
pub(super) const MOST_PIECES: u32 = 7;

/// The cut that makes the blanks: the last one that is not piled again.
pub(super) fn last_cut(plan: &Plan, from: usize) -> Option<usize> {
    let cut = plan
        .steps
        .iter()
        .rposition(|step| step.kind() == Kind::Cut)?;
    let piled = plan
        .steps
        .iter()
        .skip(cut)
        .any(|step| step.kind() == Kind::Restack);
    (cut >= from && !piled).then_some(cut)
}

/// The last step before a place that sets the section of the bar.
pub(super) fn last_draw(plan: &Plan, from: usize, before: usize) -> Option<usize> {
    let steps = plan.steps.get(from..before)?;
    let at = steps.iter().rposition(|step| {
        matches!(step.kind(), Kind::Draw | Kind::Square)
            && step.made.target().is_some_and(|to| to.thickness.is_some())
    })?;
    Some(from + at)
}

/// How many pieces a cut makes.
pub(super) fn pieces_of(plan: &Plan, cut: usize) -> u32 {
    match plan.steps.get(cut).map(|step| &step.made) {
        Some(Move::Cut { pieces, .. }) => *pieces,
        _ => 1,
    }
}

/// The length that a cut names for its pieces.
pub(super) fn length_of(plan: &Plan, cut: usize) -> Option<Mm> {
    match plan.steps.get(cut).map(|step| &step.made) {
        Some(Move::Cut { length, .. }) => *length,
        _ => None,
    }
}

/// The plan with another count of pieces, and without a length that belonged to the old one.
pub(super) fn with_pieces(plan: &Plan, cut: usize, count: u32, let_go: bool) -> Plan {
    let mut new = plan.clone();
    if let Some(step) = new.steps.get_mut(cut)
        && let Move::Cut { pieces, length, .. } = &mut step.made
    {
        *pieces = count;
        if let_go {
            *length = None;
        }
        step.done_when = None;
    }
    new
}

/// The plan with another length of the pieces of a cut; what is left over is kept.
pub(super) fn with_length(plan: &Plan, cut: usize, wanted: Mm) -> Plan {
    let mut new = plan.clone();
    if let Some(step) = new.steps.get_mut(cut)
        && let Move::Cut {
            length, keep_rest, ..
        } = &mut step.made
    {
        *length = Some(wanted);
        *keep_rest = true;
        step.done_when = Some(format!("each {}", plan.units.length(wanted)));
    }
    new
}

/// The plan with another section at a draw.
pub(super) fn with_section(
    plan: &Plan,
    draw: usize,
    width: Option<Mm>,
    thickness: Option<Mm>,
) -> Plan {
    let mut new = plan.clone();
    if let Some(step) = new.steps.get_mut(draw) {
        if let Move::Draw { to, .. } | Move::Square { to, .. } = &mut step.made {
            *to = Sizes {
                width: width.or(to.width),
                thickness: thickness.or(to.thickness),
                length: None,
            };
        }
        step.done_when = None;
    }
    new
}

/// The plan with one more draw put in at a place.
pub(super) fn with_draw(plan: &Plan, at: usize, width: Mm, thickness: Mm) -> Plan {
    let to = Sizes {
        width: Some(width),
        thickness: Some(thickness),
        length: None,
    };
    let made = Move::Draw {
        to,
        scale: Fraction::from_percent(1.0),
    };
    let mut step = fresh(plan, at, "draw-on", "Draw out a little further", made);
    step.heats = 2;
    step.window = plan.window(&step).or(Some(HeatWindow {
        low: Celsius(900.0),
        high: Celsius(1100.0),
    }));
    inserted(plan, at, step)
}

/// The plan with one more trim put in at a place: off the far end alone.
pub(super) fn with_trim(plan: &Plan, at: usize, off: Mm) -> Plan {
    let made = Move::Trim {
        ends: [Mm::ZERO, off],
    };
    let step = fresh(plan, at, "cut-back", "Cut the failed weld back", made);
    inserted(plan, at, step)
}

/// The plan with the goal and the forged length of a blade shortened.
pub(super) fn with_blade(plan: &Plan, length: Mm) -> Plan {
    let mut new = plan.clone();
    let less = new.goal.blade.length - length;
    new.goal.blade.length = length;
    for step in &mut new.steps {
        if let Move::Forge {
            part: Part::Blade,
            to,
            ..
        } = &mut step.made
        {
            to.length = to.length.map(|old| (old - less).max(Mm(1.0)));
            step.done_when = None;
        }
    }
    new
}

/// The plan without the first pile that is still to come: its steps from the trim before the cut to
/// the end of the day behind the draw.
pub(super) fn without_pile(plan: &Plan, cut: usize, from: usize) -> Option<Plan> {
    let steps = &plan.steps;
    let kind = |at: usize| steps.get(at).map(Step::kind);
    let mut first = cut;
    while first > from
        && matches!(
            kind(first - 1),
            Some(Kind::Trim | Kind::Grind | Kind::Inspect)
        )
    {
        first -= 1;
    }
    let mut last = cut + 1;
    while !matches!(kind(last), Some(Kind::Draw | Kind::Square) | None) {
        last += 1;
    }
    if kind(last + 1) == Some(Kind::EndDay) {
        last += 1;
    }
    if last >= steps.len() {
        return None;
    }
    let mut new = plan.clone();
    new.steps.drain(first..=last);
    Some(new)
}

/// The plan with one more knife or fewer.
pub(super) fn with_knives(plan: &Plan, cut: usize, knives: u32) -> Plan {
    let mut new = with_pieces(plan, cut, knives, false);
    new.goal.knives = knives;
    if let Some(step) = new.steps.get_mut(cut) {
        step.title = Some(match knives {
            1 => "Cut the blank".to_owned(),
            many => format!("Cut {many} blanks"),
        });
    }
    new
}

/// Sets what is to be counted at etched ends, from a place on.
pub(super) fn expect_bands(plan: &mut Plan, from: usize, count: impl Fn(usize) -> Option<u64>) {
    for (place, step) in plan.steps.iter_mut().skip(from).enumerate() {
        if let Move::Inspect { bands } = &mut step.made {
            *bands = count(place);
        }
    }
}

fn fresh(plan: &Plan, at: usize, name: &str, title: &str, made: Move) -> Step {
    let beside = plan.steps.get(at).or(plan.steps.last());
    let taken = |id: &str| plan.steps.iter().any(|step| step.id.0 == id);
    let number = (1..).find(|n| !taken(&format!("{name}-{n}"))).unwrap_or(1);
    Step {
        id: StepId(format!("{name}-{number}")),
        bar: beside.map_or_else(String::new, |step| step.bar.clone()),
        called: String::new(),
        made,
        title: Some(title.to_owned()),
        day: beside.map_or(1, |step| step.day),
        heats: 0,
        window: None,
        soak: None,
        machine: plan.shop.machine,
        done_when: None,
        cautions: Vec::new(),
        notes: Vec::new(),
        line: 0,
        places: Places::default(),
    }
}

fn inserted(plan: &Plan, at: usize, step: Step) -> Plan {
    let mut new = plan.clone();
    new.steps.insert(at.min(new.steps.len()), step);
    new
}
