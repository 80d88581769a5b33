//! Where the plain steel of the edge ends, for every construction: worked out column by column from the section of
//! the blank, without the maps of the picture or the law of the forecast, and held against both.

use super::edge::{finished_edge, forecast_edge};
use super::*;

/// Height above the edge, at the heel, at which another steel than the plain one shows first on a face.
///
/// By hand: the bevels are forged with what is ground off each face still on them. A column of the forged wedge
/// comes from a column of the bar so far from its edge that the same share of both sections lies below; in the
/// column every layer keeps its share of the thickness. What is seen lies so deep as is ground off.
fn by_columns(plan: &Plan, blank: &Billet, plain: SteelId, wide: f64) -> f64 {
    let blade = &plan.goal.blade;
    let forged = plan.steps.iter().rev().find_map(|step| match step.made {
        Move::Forge {
            part: Part::Bevels,
            to,
            ..
        } => to.thickness,
        _ => None,
    });
    let ground = (forged.unwrap().0 - blade.spine.0) / 2.0;
    let [spine, edge] = [blade.spine.0, blade.edge.0].map(|thick| thick + 2.0 * ground);
    let thick = |y: f64| edge + (spine - edge) * y / wide;
    let area = |y: f64| y * 0.5 * (edge + thick(y));
    let bar = &blank.bar;
    let mut y = 0.0;
    while y < wide {
        let across = bar.width * (area(y) / area(wide));
        let deep = bar.thickness * (ground / thick(y));
        for through in [deep, bar.thickness - deep] {
            let (on, _) = bar.place(across, through);
            if on.plain() != Some(plain) && bar.steel_at(across, through) != Some(plain) {
                return y;
            }
        }
        y += 0.005;
    }
    panic!("plain all over");
}

/// The blank as it is cut, before it is forged.
fn blank(plan: &Plan) -> Billet {
    let rows = walked(plan);
    let first = plan
        .steps
        .iter()
        .position(|step| matches!(step.made, Move::Forge { .. }));
    rows[first.unwrap() - 1].clone()
}

#[test]
fn the_plain_edge_of_every_construction_ends_where_its_section_says() {
    for name in [
        "turned-w-petty",
        "framed-core",
        "four-twist-edges",
        "jacketed",
        "end-grain-tiles",
    ] {
        let plan = named(name);
        let plain = plan
            .steels
            .iter()
            .position(|steel| steel.letter == 'F')
            .unwrap();
        let wide = plan.goal.blade.width.0;
        let metal = blank(&plan);
        let wanted = by_columns(&plan, &metal, SteelId::from_index(plain), wide);
        let line = finished_edge(name, 'F');
        assert!(
            (line - wanted).abs() < 0.2,
            "{name}: picture {line}, by columns {wanted}"
        );
        // The forecast forges as wide as the plan says, takes 1 mm off the edge, and draws where the seam lies.
        let told = forecast_edge(name);
        assert!(
            told.left.low < wanted
                && wanted < told.left.high
                && (told.left.best - wanted).abs() < 1.2,
            "{name}: by columns {wanted}, {told:?}"
        );
    }
}
