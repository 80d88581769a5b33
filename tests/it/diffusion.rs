//! Whole billets through whole jobs: what must hold whatever the numbers are. The numbers themselves
//! are rows of `shared/checks/diffusion.toml`.

#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot build its heat has failed"
)]

use anvilside::metal::Composition;
use anvilside::physics::diffusion::{
    CarbonLaw, Care, Faces, Heat, HeatPoint, Profile, Sequence, Surface,
};
use anvilside::units::{Celsius, Mm, Seconds};
use proptest::prelude::*;

/// Up in three minutes, ten minutes at welding heat, down in two; drawn to `end` during the hold.
fn heat(end: f64) -> Heat {
    let moments = [
        (0.0, 800.0, 1.0),
        (180.0, 1150.0, 1.0),
        (780.0, 1150.0, end),
        (900.0, 800.0, end),
    ];
    let point = |(at, t, thickness)| HeatPoint {
        at: Seconds(at),
        temperature: Celsius(t),
        thickness,
    };
    Heat::new(moments.into_iter().map(point).collect()).unwrap()
}

fn two_steels() -> Vec<Composition> {
    let plain = Composition {
        c: 0.95,
        mn: 0.40,
        si: 0.20,
        ..Composition::default()
    };
    let nickel = Composition {
        c: 0.75,
        mn: 0.35,
        si: 0.25,
        ni: 2.0,
        cr: 0.10,
        ..Composition::default()
    };
    vec![plain, nickel]
}

fn layer(steel: usize, mm: f64) -> Sequence {
    Sequence::layer(steel, Mm(mm), if steel == 0 { 0.95 } else { 0.75 })
}

fn block() -> Sequence {
    Sequence::join([0, 1, 0, 1, 0].map(|steel| layer(steel, 5.0)))
}

#[test]
fn sealed_carbon_is_kept_to_rounding() {
    let uneven = Sequence::join([layer(0, 3.0), layer(1, 1.0), layer(0, 0.4), layer(1, 7.0)]);
    let mut billet = Profile::new(two_steels(), uneven);
    let before = billet.stack().mean_carbon();
    for _ in 0..4 {
        billet = billet.heated(&heat(0.3), Faces::default(), Care::default());
        billet = billet.moved(|s| s.folded(3));
        assert!((billet.stack().mean_carbon() / before - 1.0).abs() < 1e-12);
    }
}

#[test]
fn one_block_stands_for_all_its_copies() {
    let once =
        Profile::new(two_steels(), block()).heated(&heat(0.2), Faces::default(), Care::default());
    let sealed =
        once.moved(|s| s.repeated(5))
            .heated(&heat(0.2), Faces::default(), Care::default());
    // The same stack with one layer split in two is not seen to repeat: it is worked out in full.
    let full = once
        .moved(|s| {
            Sequence::join([
                s.repeated(4),
                s.trimmed(Mm(0.0), Mm(2.0)),
                s.trimmed(Mm(3.0), Mm(0.0)),
            ])
        })
        .heated(&heat(0.2), Faces::default(), Care::default());
    for (a, b) in sealed.by_steel().iter().zip(full.by_steel()) {
        assert!((a.mean - b.mean).abs() < 5e-4, "{a:?} {b:?}");
        assert!((a.least - b.least).abs() < 2e-3 && (a.greatest - b.greatest).abs() < 2e-3);
    }
    assert!(full.cell_count() > 4 * sealed.cell_count());
}

#[test]
fn a_stack_and_its_mirror_image_come_out_alike() {
    let uneven = Sequence::join([layer(0, 3.0), layer(1, 1.0), layer(0, 0.4), layer(1, 7.0)]);
    let faces = Faces {
        first: Surface::Bare,
        last: Surface::Sealed,
    };
    let swapped = Faces {
        first: Surface::Sealed,
        last: Surface::Bare,
    };
    let mut one = Profile::new(two_steels(), uneven.clone());
    let mut other = Profile::new(two_steels(), uneven.mirrored());
    for _ in 0..3 {
        one = one.heated(&heat(0.9), faces, Care::default());
        other = other.heated(&heat(0.9), swapped, Care::default());
    }
    for (a, b) in one.by_steel().iter().zip(other.by_steel()) {
        assert!((a.mean - b.mean).abs() < 1e-9, "{a:?} {b:?}");
    }
}

#[test]
fn cells_do_not_grow_with_layers() {
    let mut counts = Vec::new();
    for tens in 3..=9_u32 {
        let layers = 10_u64.pow(tens);
        let pair = Sequence::join([layer(1, 1.0), layer(0, 1.0)]);
        let stack = pair.repeated(layers / 2);
        let thin = stack.scaled(25.0 / stack.thickness().0);
        let billet = Profile::new(two_steels(), thin).heated(
            &heat(1.0),
            Faces::both(Surface::Bare),
            Care::default(),
        );
        let held = billet.by_steel();
        assert!((held[0].mean - held[1].mean - 0.045).abs() < 0.005);
        counts.push(billet.cell_count());
    }
    let (least, most) = (counts.iter().min().unwrap(), counts.iter().max().unwrap());
    assert!(*most < 1200 && *most * 10 < *least * 12, "{counts:?}");
}

#[test]
fn thick_layers_hardly_level_and_thin_ones_do() {
    let contrast = |mm: f64| {
        let stack = Sequence::join([layer(0, mm), layer(1, mm)]).folded(20);
        let billet =
            Profile::new(two_steels(), stack).heated(&heat(1.0), Faces::default(), Care::default());
        let held = billet.by_steel();
        held[0].mean - held[1].mean
    };
    assert!(contrast(5.0) > 0.17);
    let mut last = 0.2;
    for mm in [2.0, 1.0, 0.5, 0.2, 0.05, 0.01] {
        let now = contrast(mm);
        assert!(now < last + 1e-9, "{mm}: {now}");
        last = now;
    }
    assert!((last - 0.046).abs() < 0.002, "{last}");
}

#[test]
fn a_nickel_sheet_takes_little_and_lets_much_through() {
    let mut steels = two_steels();
    steels.push(Composition {
        ni: 99.5,
        ..Composition::default()
    });
    let iron = Sequence::layer(1, Mm(1.0), 0.05);
    let sheet = Sequence::layer(2, Mm(0.05), 0.01);
    let stack = Sequence::join([layer(0, 1.0), sheet, iron.clone()]);
    let with =
        Profile::new(steels.clone(), stack).heated(&heat(1.0), Faces::default(), Care::default());
    let held = with.by_steel();
    assert!(held[2].mean > 0.04 && held[2].mean < 0.13, "{held:?}");
    let without = Profile::new(steels, Sequence::join([layer(0, 1.0), iron])).heated(
        &heat(1.0),
        Faces::default(),
        Care::default(),
    );
    let crossed = held[1].mean - 0.05;
    let freely = without.by_steel()[1].mean - 0.05;
    assert!(
        crossed > 0.5 * freely && crossed < freely,
        "{crossed} {freely}"
    );
}

#[test]
fn a_plain_bar_beside_the_core_takes_carbon_from_it() {
    let core = Profile::new(two_steels(), block().scaled(0.2)).heated(
        &heat(1.0),
        Faces::default(),
        Care::default(),
    );
    let side = core.moved(|layers| {
        Sequence::join([Sequence::layer(0, Mm(6.0), 0.45), layers.blended(Mm(20.0))])
    });
    let after = side.heated(&heat(1.0), Faces::default(), Care::default());
    let at_edge = after.mean_between(Mm(0.0), Mm(1.0));
    let at_core = after.mean_between(Mm(5.0), Mm(6.0));
    assert!(
        (at_edge - 0.45).abs() < 0.01 && at_core > 0.5,
        "{at_edge} {at_core}"
    );
}

#[test]
fn a_cold_heat_changes_nothing() {
    let cold = Heat::soak(
        (Celsius(20.0), Seconds(60.0)),
        (Celsius(650.0), Seconds(6000.0)),
        (Celsius(20.0), Seconds(60.0)),
    )
    .unwrap();
    let billet = Profile::new(two_steels(), block());
    let after = billet.heated(&cold, Faces::both(Surface::Bare), Care::default());
    assert!((after.by_steel()[0].mean - 0.95).abs() < 1e-12);
    assert!(after.blur().width().best.abs() < 1e-12);
}

#[test]
fn blur_adds_up_over_heats() {
    let billet = Profile::new(two_steels(), block());
    let once = billet.heated(&heat(0.5), Faces::default(), Care::default());
    let twice = once.heated(&heat(1.0), Faces::default(), Care::default());
    assert!(twice.blur().width().best > once.blur().width().best);
    let drawn = twice.scaled(0.5);
    assert!((drawn.blur().width().best * 2.0 - twice.blur().width().best).abs() < 1e-12);
    assert!(
        drawn
            .stack()
            .thickness()
            .near(twice.stack().thickness() * 0.5, 1e-9)
    );
}

#[test]
fn nonsense_never_panics_and_stays_finite() {
    let odd = [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300, 1e-300];
    for a in odd {
        for b in odd {
            let stack = Sequence::join([
                Sequence::layer(0, Mm(a), b),
                Sequence::layer(5, Mm(1.0), b),
                Sequence::layer(1, Mm(2.0), 0.8),
            ]);
            let fire = Surface::Exchange {
                metres_per_second: a,
                potential_pct: b,
            };
            let care = Care {
                law: CarbonLaw::Tibbetts,
                cells: a,
                face_cells: b,
                steps: a.min(50.0),
                passes: 0,
            };
            let billet = Profile::new(two_steels(), stack.repeated(3).trimmed(Mm(a), Mm(b)))
                .with_factors(&[a, b])
                .heated(&heat(0.4), Faces::both(fire), care);
            let _ = (
                billet.by_steel(),
                billet.mean_between(Mm(a), Mm(b)),
                billet.at_faces(Mm(a)),
            );
        }
    }
    let nothing = Profile::new(Vec::new(), Sequence::join([]));
    let after = nothing.heated(&heat(1.0), Faces::both(Surface::Bare), Care::default());
    assert!(after.by_steel().is_empty() && after.stack().mean_carbon().abs() < 1e-12);
}

/// Carbon in steps of ten micrometres after each logged stretch of the laminate's six heats.
fn laminate_read(care: Care) -> Vec<Vec<f64>> {
    let pair = Sequence::join([layer(1, 0.2), layer(0, 0.2)]);
    let stack = Sequence::join([layer(0, 0.2), pair.repeated(62)]);
    let mut billet = Profile::new(two_steels(), stack).with_factors(&[1.0, 1.06]);
    let corner = |at: f64, t: f64| HeatPoint {
        at: Seconds(at),
        temperature: Celsius(t),
        thickness: 1.0,
    };
    let up = [corner(0.0, 800.0), corner(180.0, 1150.0)];
    let short = [corner(0.0, 1150.0), corner(60.0, 1150.0)];
    let long = [corner(0.0, 1150.0), corner(540.0, 1150.0)];
    let down = [corner(0.0, 1150.0), corner(120.0, 800.0)];
    let mut heats: Vec<Heat> = [up, short, long, down]
        .into_iter()
        .map(|points| Heat::new(points.to_vec()).unwrap())
        .collect();
    heats.extend(std::iter::repeat_n(heat(1.0), 5));
    let mut read = Vec::new();
    for heat in heats {
        billet = billet.heated(&heat, Faces::both(Surface::Bare), care);
        let bins = (0..1250_u32).map(|i| {
            let from = 0.01 * f64::from(i);
            billet.held_between(0, Mm(from), Mm(from + 0.01)).unwrap()
        });
        read.push(bins.collect());
    }
    read
}

#[test]
fn the_usual_care_keeps_every_cell_within_five_thousandths() {
    let usual = laminate_read(Care::default());
    let fine = laminate_read(Care {
        cells: 20.0,
        face_cells: 40.0,
        steps: 120.0,
        ..Care::default()
    });
    for (mark, (a, b)) in usual.iter().zip(&fine).enumerate() {
        let off = a.iter().zip(b).map(|(a, b)| (a - b).abs());
        let worst = off.fold(0.0, f64::max);
        assert!(worst < 0.005, "mark {mark}: {worst}");
    }
}

/// A stack of layers, joins, repeats, turns and drawings, without any order to it.
fn any_stack() -> impl Strategy<Value = Sequence> {
    let leaf = (0..2_usize, 0.05..4.0_f64, 0.1..1.1_f64)
        .prop_map(|(steel, mm, carbon)| Sequence::layer(steel, Mm(mm), carbon));
    leaf.prop_recursive(4, 24, 4, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 2..4).prop_map(Sequence::join),
            (inner.clone(), 2..5_u64).prop_map(|(s, n)| s.repeated(n)),
            (inner.clone(), 2..5_u64).prop_map(|(s, n)| s.folded(n)),
            inner.clone().prop_map(|s| s.mirrored()),
            (inner, 0.1..1.0_f64).prop_map(|(s, f)| s.scaled(f)),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 40,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn sealed_stacks_keep_their_carbon_and_never_leave_its_range(
        stack in any_stack(),
        end in 0.3..1.0_f64,
    ) {
        let start = Profile::new(two_steels(), stack).with_factors(&[1.0, 1.06]);
        let before = start.by_steel();
        let after = start.heated(&heat(end), Faces::default(), Care::default());
        let change = after.stack().mean_carbon() / start.stack().mean_carbon() - 1.0;
        prop_assert!(change.abs() < 1e-11, "{change}");
        let least = before.iter().map(|s| s.least).fold(f64::INFINITY, f64::min) / 1.06;
        let most = before.iter().map(|s| s.greatest).fold(0.0, f64::max) * 1.06;
        for held in after.by_steel() {
            prop_assert!(held.least > least - 1e-6 && held.greatest < most + 1e-6, "{held:?}");
        }
        let thinner = after.stack().thickness().0 / start.stack().thickness().0;
        prop_assert!((thinner - end).abs() < 1e-9);
    }

    #[test]
    fn bare_stacks_only_lose(stack in any_stack()) {
        let start = Profile::new(two_steels(), stack).with_factors(&[1.0, 1.06]);
        let bare = start.heated(&heat(1.0), Faces::both(Surface::Bare), Care::default());
        prop_assert!(bare.stack().mean_carbon() < start.stack().mean_carbon());
        for held in bare.by_steel() {
            prop_assert!(held.least >= 0.0, "{held:?}");
        }
        let again = bare.heated(&heat(1.0), Faces::both(Surface::Bare), Care::default());
        prop_assert!(again.stack().mean_carbon() <= bare.stack().mean_carbon());
    }

    #[test]
    fn a_stack_laid_out_layer_by_layer_comes_out_as_its_tree(
        mm in proptest::collection::vec(0.1..2.0_f64, 2..5),
        times in 2..6_u64,
    ) {
        let one = |(i, mm): (usize, &f64)| layer(i % 2, *mm);
        let tree = Sequence::join(mm.iter().enumerate().map(one)).repeated(times);
        let laid = (0..times).flat_map(|_| mm.iter().enumerate().map(one));
        let laid = Sequence::join(laid);
        let faces = Faces { first: Surface::Bare, last: Surface::Sealed };
        let run = |stack| {
            Profile::new(two_steels(), stack).heated(&heat(1.0), faces, Care::default()).by_steel()
        };
        for (a, b) in run(tree).iter().zip(run(laid)) {
            prop_assert!((a.mean - b.mean).abs() < 2e-3, "{a:?} {b:?}");
        }
    }
}
