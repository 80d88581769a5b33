//! The rungs of a ladder: open until the floor of the grooves is passed.

use super::*;
use anvilside::billet::Skin;

/// Share of a rendered face's metal that lies in open grooves.
fn open_share(plan: &Plan, chain: Chain) -> f64 {
    let scene = Scene::new(Arc::new(chain), View::Face, &look(plan), [1200, 120]);
    let picture = scene.render();
    let metal = picture.pixels.iter().filter(|pixel| pixel.metal == 255);
    let (open, all) = metal.fold((0.0, 0.0), |(open, all), pixel| {
        let pit = pixel.steel().is_none() && pixel.light < 0.01;
        (open + f64::from(u8::from(pit)), all + 1.0)
    });
    open / all
}

// The worked ladder of the trade: grooves 3/32 in deep in a 3/8 in bar, floor at 9/32 in (7.14 mm),
// forged to 1/4 in (6.35 mm). Cut, 24 grooves 3/16 in wide in 11-15/16 in lie open on a face; pressed
// to any thickness over the floor some are open still, under it none.
#[test]
fn the_rendered_rungs_close_at_the_floor_of_the_grooves() {
    let plan = named("ladder-hunter");
    let steps = walked(&plan);
    let grooved = steps
        .iter()
        .find(|b| {
            let last = b.history.last();
            last.is_some_and(|d| matches!(d.made, Move::Groove { .. }))
        })
        .unwrap();
    let floor = 25.4 * 9.0 / 32.0;
    let pressed = |to: f64, hand: Hand| {
        let mut history = grooved.history.clone();
        let before = history.last().unwrap().after;
        history.push(Deformation {
            made: Move::Draw {
                to: Sizes::default(),
                scale: Fraction(0.0),
            },
            before,
            after: [before[0], Mm(to), before[2] * (before[1].0 / to)],
            pieces: 1,
            skin: Skin::default(),
            joined: Vec::new(),
        });
        Chain::new(&grooved.first, &history, hand)
    };
    let cut = Chain::new(&grooved.first, &grooved.history, Hand::ruled());
    let nominal = 24.0 * 3.0 / 16.0 / (11.0 + 15.0 / 16.0);
    let share = open_share(&plan, cut);
    // The lips are eased, so the mouth is up to 26 % wider than the cutter.
    assert!(
        (1.0..1.27).contains(&(share / nominal)),
        "{share} {nominal}"
    );
    let mut last = share;
    for by in [1.0, 0.5, 0.2, 0.05] {
        let share = open_share(&plan, pressed(floor + by, Hand::ruled()));
        assert!(share > 0.0 && share < last, "{by}: {share} {last}");
        last = share;
    }
    for by in [-0.02, -0.3] {
        let share = open_share(&plan, pressed(floor + by, Hand::ruled()));
        assert!(share <= 0.0, "{by}: {share}");
    }
    // As the plan forges it, by a hand that cut some grooves deeper than others: closed.
    let flat = open_share(&plan, pressed(25.4 / 4.0, Hand::default()));
    assert!(flat <= 0.0, "{flat}");
}

#[test]
fn the_rungs_of_a_ladder_close_past_the_floor_and_not_before() {
    let plan = named("ladder-hunter");
    let steps = walked(&plan);
    let open_after = |done: &dyn Fn(&Move) -> bool| {
        let billet = steps
            .iter()
            .find(|billet| billet.history.last().is_some_and(|last| done(&last.made)))
            .unwrap();
        let chain = chain(billet, Hand::default());
        let [width, thickness, length] = chain.size();
        let open = (0..3000).any(|n| {
            let x = length * (f64::from(n) / 3000.0);
            chain.steel_at(x, width * 0.1, thickness * 0.499).is_none()
        });
        (open, billet.bar.thickness)
    };
    let (open, thick) = open_after(&|made| matches!(made, Move::Groove { .. }));
    assert!(open);
    let at = steps
        .iter()
        .position(|b| {
            b.history
                .last()
                .is_some_and(|d| matches!(d.made, Move::Groove { .. }))
        })
        .unwrap();
    let grooved = &steps[at];
    let Some(Move::Groove { depth, .. }) = grooved.history.last().map(|d| d.made.clone()) else {
        panic!("no groove");
    };
    let floor = thick - depth;
    // Forged to just over and just under the floor of the grooves.
    for (by, closed) in [(0.25, false), (-0.25, true)] {
        let mut history = grooved.history.clone();
        let before = history.last().unwrap().after;
        let to = floor + Mm(by);
        history.push(Deformation {
            made: Move::Draw {
                to: Sizes::default(),
                scale: Fraction(0.0),
            },
            before,
            after: [before[0], to, before[2] * (thick / to)],
            pieces: 1,
            skin: Skin::default(),
            joined: Vec::new(),
        });
        let chain = Chain::new(&grooved.first, &history, Hand::ruled());
        let [width, thickness, length] = chain.size();
        let open = (0..4000).any(|n| {
            let x = length * (f64::from(n) / 4000.0);
            chain.steel_at(x, width * 0.1, thickness * 0.4999).is_none()
        });
        assert_eq!(open, !closed, "{by}");
    }
}
