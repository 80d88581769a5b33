//! The laws of heat and hardness take any number without a panic, and keep their promises on the
//! sensible ones.

use anvilside::metal::{Composition, Mark, Window};
use anvilside::physics::colours::{Eye, Pin, School};
use anvilside::physics::quench::Quench;
use anvilside::physics::scale::{Fire, Growth, section_lost};
use anvilside::physics::section::{
    Contact, Convection, Faces, Section, Surroundings, cool, soak, soak_through,
};
use anvilside::physics::{
    Spread, critical, decarburisation, expansion, hardenability, hardening, hardness, martensite,
    melting, properties, quench, tempering,
};
use anvilside::units::{Celsius, Fraction, Mm, Seconds};
use proptest::num::f64::ANY;
use proptest::prelude::*;

fn any_metal() -> impl Strategy<Value = Composition> {
    proptest::array::uniform11(prop_oneof![ANY, 0.0..2.0, Just(0.0)]).prop_map(|x| {
        let [c, mn, si, cr, ni, mo, v, w, cu, p, s] = x;
        Composition {
            c,
            mn,
            si,
            cr,
            ni,
            mo,
            v,
            w,
            cu,
            p,
            s,
        }
    })
}

/// A carbon or low-alloy blade steel.
fn blade_steel() -> impl Strategy<Value = Composition> {
    (0.6..1.3, 0.1..1.3, 0.1..0.5, 0.0..1.5, 0.0..2.5, 0.0..0.2).prop_map(
        |(c, mn, si, cr, ni, v)| Composition {
            c,
            mn,
            si,
            cr,
            ni,
            v,
            ..Composition::default()
        },
    )
}

fn in_order(band: Spread) -> bool {
    band.low <= band.best && band.best <= band.high
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn no_input_panics(
        metal in any_metal(),
        a in ANY,
        b in ANY,
        c in ANY,
    ) {
        let (at, time, size) = (Celsius(a), Seconds(b), Mm(c));
        let _ = expansion::cold_from_hot(size, at, &metal);
        let _ = (properties::specific_heat(at), properties::enthalpy(at));
        let _ = (critical::ac1(&metal), critical::ac3(&metal), critical::acm(a));
        let _ = (critical::a3_iron(a), critical::carbon_held(at));
        let _ = (martensite::start(&metal), martensite::retained(&metal, at));
        let _ = martensite::reached(&metal, Fraction(b));
        let _ = (melting::solidus(&metal), melting::limit(&metal));
        let _ = (hardness::as_quenched(a), hardness::vickers(b));
        let _ = tempering::hardness_after(&metal, at, time);
        let _ = tempering::temperature_for(&metal, c, time);
        let _ = hardenability::ideal_diameter_inch(&metal);
        let _ = decarburisation::depth(a, size, Fraction(b));
        let known = Some((Window { low: at, high: Celsius(b) }, Mark::Seen));
        let member = hardening::Member { name: "any", metal, known };
        let _ = hardening::common(&[member, member]);
        let mut face = Growth::clean(&metal);
        face.ramp(at, Celsius(c), time, Fire::Learned(b));
        face.knock_off();
        let _ = (face.metal(), face.thickness(), section_lost(size, Mm(a), Mm(b)));
        let _ = School::Boiler.name(at);
        let eye = Eye {
            school: School::Workshop,
            pins: vec![Pin { name: "orange".into(), celsius: at }],
        };
        let _ = (eye.name(Celsius(b)), eye.band("yellow"));
    }

    #[test]
    fn bands_are_in_order(metal in blade_steel(), at in 100.0..300.0) {
        prop_assert!(in_order(critical::ac1(&metal).unwrap()));
        prop_assert!(in_order(critical::ac3(&metal).unwrap()));
        prop_assert!(in_order(martensite::start(&metal).unwrap()));
        prop_assert!(in_order(martensite::retained(&metal, Celsius(20.0)).unwrap()));
        prop_assert!(in_order(melting::solidus(&metal)));
        let ideal = hardenability::ideal_diameter_inch(&metal).unwrap();
        prop_assert!(in_order(ideal));
        if let Ok(hrc) = tempering::hardness_after(&metal, Celsius(at), Seconds(3600.0)) {
            prop_assert!(in_order(hrc) && hrc.low > 45.0 && hrc.high < 70.0);
        }
        let member = hardening::Member { name: "any", metal, known: None };
        let all = hardening::of(&member).unwrap();
        prop_assert!(in_order(all.hardness) && in_order(all.dissolved) && in_order(all.retained));
        prop_assert!(all.window.low < all.window.high);
        prop_assert!(all.window.high < melting::limit(&metal));
    }

    #[test]
    fn more_time_in_the_fire_never_costs_less(
        at in 600.0..1390.0_f64,
        first in 1.0..4000.0_f64,
        more in 1.0..4000.0_f64,
    ) {
        let mut face = Growth::clean(&Composition::default());
        face.hold(Celsius(at), Seconds(first), Fire::Neutral);
        let before = face.metal();
        face.hold(Celsius(at), Seconds(more), Fire::Neutral);
        prop_assert!(face.metal().best > before.best && in_order(face.metal()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_section_panics(
        sizes in (ANY, ANY),
        temperatures in (ANY, ANY, ANY),
        contact in (ANY, ANY, ANY),
        film in ANY,
    ) {
        let section = Section { width: Mm(sizes.0), thickness: Mm(sizes.1) };
        let around = Surroundings {
            convection: Convection::Fixed(film),
            contact: Faces {
                left: Some(Contact {
                    conductance: contact.0,
                    body: Celsius(contact.1),
                    share: Fraction(contact.2),
                }),
                ..Faces::default()
            },
            ..Surroundings::air()
        };
        let (a, b, c) = (
            Celsius(temperatures.0),
            Celsius(temperatures.1),
            Celsius(temperatures.2),
        );
        let _ = cool(section, a, b, &around);
        let _ = soak(section, a, b, c);
        let _ = soak_through(section, a, b, c, Celsius(10.0));
        let _ = quench::plate(temperatures.0, film);
    }

    #[test]
    fn thicker_and_hotter_last_longer(
        width in 3.0..80.0_f64,
        thickness in 3.0..80.0_f64,
        start in 950.0..1300.0_f64,
    ) {
        let left = |w: f64, t: f64, from: f64| {
            let section = Section { width: Mm(w), thickness: Mm(t) };
            let air = Surroundings::air();
            let course = cool(section, Celsius(from), Celsius(850.0), &air).unwrap();
            course.mean_at(Celsius(850.0)).unwrap()
        };
        let now = left(width, thickness, start);
        prop_assert!(left(width, 1.1 * thickness, start) > now);
        prop_assert!(left(1.1 * width, thickness, start) > now);
        prop_assert!(left(width, thickness, start + 20.0) > now);
    }

    #[test]
    fn a_faster_quench_hardens_thicker(ideal in 0.5..4.0_f64) {
        let mut before = 0.0;
        for kind in Quench::ALL {
            let plate = quench::plate_mm(Spread::around(ideal, 0.1), kind).unwrap();
            prop_assert!(in_order(plate) && plate.best > before);
            before = plate.best;
        }
    }
}
