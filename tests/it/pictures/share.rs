//! Layers, shares and lines of every sample plan.

use super::*;
use anvilside::billet::Bar;

/// Steps whose bar is still a bar with flat layers.
fn is_flat(billet: &Billet) -> bool {
    let core = &billet.bar.core;
    core.figure == Figure::Flat
        && core.stand == Stand::Flat
        && billet.stage <= Stage::Pieces
        && !billet.bar.void.is_positive()
        && !billet
            .history
            .iter()
            .any(|done| matches!(done.made, Move::Groove { .. } | Move::Dimple { .. }))
}

/// Mean light of all metal in a picture.
fn mean_light(picture: &Picture) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for pixel in &picture.pixels {
        let metal = f64::from(pixel.metal);
        sum += metal * f64::from(pixel.light);
        weight += metal;
    }
    sum / weight
}

#[test]
fn even_flat_layers_agree_with_the_layer_tree() {
    let mut tried = 0;
    for (name, plan) in plans() {
        for billet in walked(&plan).iter().filter(|billet| is_flat(billet)) {
            let chain = chain(billet, Hand::ruled());
            let layers = &billet.bar.core.layers;
            let high = layers.height().0;
            for n in 0..997 {
                let depth = high * (f64::from(n) + 0.5) / 997.0;
                // A hair from a seam either is right.
                let near = |by: f64| layers.at(Mm(depth + by));
                if near(-1e-7) != near(1e-7) {
                    continue;
                }
                let seen = chain.steel_at(
                    billet.bar.length * 0.37,
                    billet.bar.width * 0.11,
                    Mm(depth - 0.5 * high),
                );
                assert_eq!(seen, layers.at(Mm(depth)), "{name} at {depth} of {high}");
                tried += 1;
            }
        }
    }
    assert!(tried > 20_000, "{tried}");
}

/// True where the bar, or one that lies on it, is of tiles.
fn is_tiled(bar: &Bar) -> bool {
    bar.core.figure == Figure::Tiled || bar.frame.iter().any(|on| is_tiled(&on.bar))
}

/// Share of a steel at points all through a bar.
fn share_inside(chain: &Chain, bar: &Bar, id: SteelId) -> f64 {
    // Steps that share no factor with tiles or layers: golden ratio, roots of 2 and 3.
    let places = (1..=20_000).map(f64::from).map(|at| {
        let [along, across, through] =
            [0.618_034, 0.414_214, 0.732_051].map(|by| (at * by).fract());
        let (across, through) = (bar.width * (across - 0.5), bar.thickness * (through - 0.5));
        chain.steel_at(bar.length * along, across, through)
    });
    let known: Vec<_> = places.flatten().collect();
    let of = known.iter().filter(|steel| **steel == id).count();
    of as f64 / known.len() as f64
}

#[test]
fn a_picture_holds_as_much_of_each_steel_as_the_metal() {
    for (name, plan) in plans() {
        for billet in walked(&plan).iter().filter(|b| b.stage <= Stage::Pieces) {
            // A split shows its wedge's place in a section: no fair sample of the whole.
            let split = billet.bar.core.figure == Figure::Split;
            if split || billet.bar.void.is_positive() || billet.history.is_empty() {
                continue;
            }
            let twisted = billet.bar.core.figure != Figure::Flat;
            let grooved = billet
                .history
                .iter()
                .any(|done| matches!(done.made, Move::Groove { .. } | Move::Dimple { .. }));
            // The corners of a folded jacket are bent square in the picture.
            let mut steps = plan.steps.iter();
            let jacketed = steps.any(|step| matches!(step.made, Move::Jacket { .. }));
            let ruled = if jacketed { 0.03 } else { 0.012 };
            for (hand, within) in [(Hand::ruled(), ruled), (Hand::default(), 0.03)] {
                let chain = chain(billet, hand);
                for steel in 0..plan.steels.len() {
                    let id = SteelId::from_index(steel);
                    let only = only(&plan, steel);
                    let scene = Scene::new(Arc::clone(&chain), View::End, &only, [160, 160]);
                    let seen = mean_light(&scene.render());
                    // Of a section: the far end of a wrapped blank is plain, and it is the held end that is looked at.
                    let metal = billet.bar.area_of(id) / billet.bar.section();
                    // The square-disc map of twists and crushes is not equal-area at the corners, and
                    // one section of a figure need not hold the share of the whole. Off the outside of a
                    // twisted bar goes more of the outer steel than of the whole, as the picture shows.
                    let within = if twisted || grooved { 0.06 } else { within };
                    if is_tiled(&billet.bar) {
                        // An end is one cut through one tile, so the whole bar is asked; tiles are cut of a crushed block.
                        let inside = share_inside(&chain, &billet.bar, id);
                        assert!((inside - metal).abs() < 0.06, "{name}: {inside} {metal}");
                        continue;
                    }
                    assert!(
                        (seen - metal).abs() < within,
                        "{name} {:?}: {seen} {metal}",
                        billet.history.last().unwrap().made.kind()
                    );
                }
            }
        }
    }
}

// What each family is known by, in numbers, whatever the hand: rungs cross the blade, a W that was framed runs
// along it with a plain edge, a twist is broad and steep, three layers have next to no lines.
#[test]
fn the_families_differ_in_their_numbers_whatever_the_hand() {
    let of = |name: &str, seed: u64| {
        let session = session(name);
        let subject = session.subject(session.last_place(), seed).unwrap();
        Lines::of(subject.chain(), subject.view(Aspect::Blade)).unwrap()
    };
    for seed in 1..=6 {
        let ladder = of("ladder-hunter", seed);
        assert!(ladder.along > 1.2 * ladder.across, "{ladder:?}");
        let turned = of("turned-w-petty", seed);
        assert!(turned.across > 6.0 * turned.along, "{turned:?}");
        let feather = of("feather-chef", seed);
        assert!(feather.across > 3.0 * feather.along && feather.slope > 2.0 * turned.slope);
        let twist = of("twist-boot", seed);
        assert!(
            twist.along + twist.across < 8.0 && twist.slope > 3.0,
            "{twist:?}"
        );
        let three = of("three-layer", seed);
        assert_eq!(three.steepness().word(), "few lines", "{three:?}");
        let random = of("kitchen-pair", seed);
        assert!(random.slope < 1.5, "{random:?}");
        // The word follows the layers: a bar with none but the hammer's waves is never the boldest.
        for bold in [&ladder, &feather, &twist] {
            assert!(random.steepness() < bold.steepness(), "{random:?} {bold:?}");
        }
    }
}

#[test]
fn every_plan_has_lines_to_measure_and_its_own_slope() {
    for (name, plan) in plans() {
        let last = walked(&plan).pop().unwrap();
        let chain = chain(&last, Hand::default());
        let lines = Lines::of(&chain, View::Blade(shape(&plan)));
        let lines = lines.unwrap_or_else(|| panic!("{name}"));
        assert!(lines.along.is_finite() && lines.across > 0.0, "{name}");
        assert!((0.0..=90.0).contains(&lines.slope), "{name}: {lines:?}");
        println!("{name}: {lines:?} {}", lines.steepness().word());
    }
}
