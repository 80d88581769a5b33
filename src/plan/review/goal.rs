//! Does the plan reach what is wanted: metal, pieces, bands, plain steel at the edge.

use super::{at_plan, at_step, before, makes_blade, quench};
use crate::billet::{Billet, Kind, Move, Part, Side};
use crate::physics::frame_margin::Wedge;
use crate::plan::{Diagnostic, Level, Plan, Walk, blank, dry_run};
use crate::units::{Fraction, Mm, show};

/// Metal that a blank should have over the finished knife, for scale, ends and clean-up. Common
/// practice, no source: 1.4 to 1.6 for a forged blade; under 1.2 there is nothing to spare.
const TIGHT: f64 = 1.2;

pub(super) fn review(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let first = plan.first_billet();
    let at = plan
        .steps
        .iter()
        .position(|step| makes_blade(step.kind()))
        .unwrap_or(plan.steps.len());
    let Some(blank) = before(plan, walk, &first, at) else {
        return;
    };
    metal(plan, &blank, found);
    let forged = plan.steps.iter().any(|step| step.kind() == Kind::Forge);
    if !forged && at < plan.steps.len() {
        outline(plan, &blank, found);
    }
    short_blade(plan, walk, found);
    long_blade(plan, found);
    if let Some(last) = walk.rows.last() {
        bands(plan, &last.billet, found);
    }
    edge(plan, &blank, found);
    quench::soft_edge(plan, &blank, found);
}

/// Enough pieces, and enough metal in each.
fn metal(plan: &Plan, blank: &Billet, found: &mut Vec<Diagnostic>) {
    let goal = &plan.goal;
    if blank.pieces < goal.knives {
        found.push(at_plan(
            Level::Error,
            plan,
            "goal.knives",
            format!(
                "the plan makes {} of the {} knives wanted",
                blank.pieces, goal.knives
            ),
            "cut more blanks, or want fewer knives",
        ));
    }
    let (has, takes) = (blank.bar.volume(), goal.volume());
    let (has_text, takes_text) = (plan.units.volume(has), plan.units.volume(takes));
    if has < takes {
        found.push(at_plan(
            Level::Error,
            plan,
            "blade",
            format!("a blank has {has_text}, and the finished knife takes {takes_text}"),
            "make the blanks larger or the knife smaller",
        ));
    } else if has < takes * TIGHT {
        found.push(at_plan(
            Level::Warning,
            plan,
            "blade",
            format!(
                "a blank has {has_text} for a finished knife of {takes_text}: little for scale and grinding"
            ),
            "make the blanks larger or the knife smaller",
        ));
    }
}

/// A blade that is only ground must lie inside its blank.
fn outline(plan: &Plan, blank: &Billet, found: &mut Vec<Diagnostic>) {
    let goal = &plan.goal;
    let tang = goal.tang.map_or(Mm::ZERO, |tang| tang.length);
    let bolster = goal.bolster.map_or(Mm::ZERO, |bolster| bolster.length);
    let pairs = [
        (
            "length",
            goal.blade.length + tang + bolster,
            blank.bar.length,
        ),
        ("width", goal.blade.width, blank.bar.width),
        ("thickness", goal.blade.spine, blank.bar.thickness),
    ];
    for (what, takes, has) in pairs {
        // Half a millimetre is within what a mark shows.
        if takes.0 > has.0 + 0.5 {
            let (takes, has) = (plan.units.length(takes), plan.units.length(has));
            found.push(at_plan(
                Level::Error,
                plan,
                "blade",
                format!("the knife takes {takes} of {what}, and its blank has {has}"),
                "make the blank larger, or forge the blade with a step of kind forge",
            ));
        }
    }
}

/// A blade that is forged, and shorter than it is wanted: the metal is in its width and thickness.
fn short_blade(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let Some((at, long)) = blank::short_blade(plan, walk) else {
        return;
    };
    if let Some(step) = plan.steps.get(at) {
        let units = plan.units;
        let text = format!(
            "the blade comes out ~{} long, and {} is wanted",
            units.length(units.rounded(long)),
            units.length(plan.goal.blade.length)
        );
        let remedy = "forge it narrower or thinner, or cut the blank longer";
        found.push(at_step(Level::Warning, step, "length", text, remedy));
    }
}

/// A blade that is longer than the forge heats, wanted or named by the step that forges it: it must be hardened whole.
fn long_blade(plan: &Plan, found: &mut Vec<Diagnostic>) {
    let Some(most) = plan.shop.allowances.longest else {
        return;
    };
    let is_blade = |part: Part| matches!(part, Part::Blade | Part::Bevels);
    let named = plan.steps.iter().filter_map(|step| match step.made {
        Move::Forge { part, to, .. } if is_blade(part) => to.length,
        _ => None,
    });
    let long = named.fold(plan.goal.blade.length, Mm::max);
    if long <= most {
        return;
    }
    let units = plan.units;
    found.push(at_plan(
        Level::Warning,
        plan,
        "goal.blade",
        format!(
            "the blade is {} long, and the forge heats {} at most",
            units.length(long),
            units.length(most)
        ),
        "want a shorter blade, or heat it in a longer fire and say so at longest in [shop]",
    ));
}

fn bands(plan: &Plan, last: &Billet, found: &mut Vec<Diagnostic>) {
    let goal = &plan.goal;
    let bands = last.bands();
    let (least, most) = (goal.bands_least, goal.bands_most);
    if bands >= u128::from(least) && bands <= u128::from(most) {
        return;
    }
    let (how, want) = if bands < u128::from(least) {
        ("restack once more or with more pieces", "fewer")
    } else {
        ("restack with fewer pieces", "more")
    };
    let how = last_pile(plan).unwrap_or_else(|| how.to_owned());
    let remedy = format!("{how}, or want {want}");
    found.push(at_plan(
        Level::Warning,
        plan,
        "goal.bands",
        format!(
            "the plan ends with {} bands ({} by the multiplication), and {least} to {most} are wanted",
            show::count(bands),
            show::count(last.nominal),
        ),
        remedy,
    ));
}

/// Pieces that the last pile may have.
const PILES: [u32; 6] = [2, 3, 4, 5, 6, 7];

/// The piece counts of the last pile that reach the bands wanted: each is the plan itself, run with it.
fn last_pile(plan: &Plan) -> Option<String> {
    let cut = plan.piled_cuts(0).pop()?;
    let id = plan.steps.get(cut)?.id.clone();
    let wanted = u128::from(plan.goal.bands_least)..=u128::from(plan.goal.bands_most);
    let ways = PILES.into_iter().filter_map(|count| {
        let mut other = plan.clone();
        if let Some(Move::Cut { pieces, length, .. }) =
            other.steps.get_mut(cut).map(|step| &mut step.made)
        {
            (*pieces, *length) = (count, None);
        }
        let walk = dry_run(&other, 0, &other.first_billet());
        let whole = walk.rows.len() == other.steps.len();
        let bands = walk.rows.last()?.billet.bands();
        let says = || format!("{count} pieces make {}", show::count(bands));
        (whole && wanted.contains(&bands)).then(says)
    });
    let ways: Vec<String> = ways.collect();
    (!ways.is_empty()).then(|| format!("at {id} {}", ways.join(", ")))
}

/// Plain steel above the edge, where the goal asks for it: as if the bevels were forged.
fn edge(plan: &Plan, blank: &Billet, found: &mut Vec<Diagnostic>) {
    let Some(wanted) = plan.goal.edge_margin else {
        return;
    };
    let plain = blank.bar.plain_on(Side::Edge);
    let blade = &plan.goal.blade;
    let wedge = Wedge {
        height: blade.width,
        spine: blade.spine,
        edge: blade.edge,
    };
    let share = plain / blank.bar.width;
    let margin = wedge
        .margin(Fraction(share.clamp(0.0, 1.0)))
        .map_or(plain, |margin| margin.ground);
    // Behind it a plain core goes on to where the bevel comes out of it.
    let core = blank.bar.middle_band();
    let lines = core.and_then(|(core, off)| wedge.core_lines(core, off).ok());
    let margin = lines.map_or(margin, |lines| margin.max(lines.far));
    if margin < wanted {
        let (has, asked) = (plan.units.length(margin), plan.units.length(wanted));
        found.push(at_plan(
            Level::Warning,
            plan,
            "goal.edge-margin",
            format!("ground bevels leave about {has} of plain steel above the edge, and {asked} are wanted"),
            "put a thicker bar on the edge side (kind frame, edge)",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::check;

    #[test]
    fn a_blade_longer_than_the_forge_heats_is_said() {
        let text = std::fs::read_to_string("plans/kitchen-pair.toml").unwrap();
        let with = |longest: u32| {
            let checked =
                check(&text.replace("[shop]\n", &format!("[shop]\nlongest = {longest}\n")));
            assert_eq!(checked.errors(), 0);
            let all = checked.found.iter().map(ToString::to_string);
            let long = all.filter(|one| one.contains("the blade is"));
            long.collect::<Vec<_>>()
        };
        // Forged to 213 mm, 210 of it wanted.
        assert!(with(213).is_empty());
        assert!(
            with(212)[0].contains("the blade is 213 mm long, and the forge heats 212 mm at most")
        );
    }
}
