//! What must hold of the pictures, whatever the billet.

use std::sync::Arc;

use super::chain::What;
use super::dual::Dual;
use super::samples::{Shop, look, shape};
use super::*;
use crate::billet::SteelId;
use crate::units::Mm;

fn chain(shop: &Shop, hand: Hand) -> Arc<Chain> {
    Arc::new(Chain::new(&shop.first, &shop.history, hand))
}

fn all() -> Vec<(&'static str, Shop)> {
    vec![
        ("random", Shop::random()),
        ("ladder", Shop::ladder()),
        ("raindrop", Shop::raindrop()),
        ("twist", Shop::twist()),
        ("turned", Shop::turned()),
        ("feather", Shop::feather()),
        ("three", Shop::three_layer()),
    ]
}

/// Brightness of a place with no integration at all: 1 for the second steel.
fn point(chain: &Chain, outlook: &view::Outlook, u: f64, v: f64) -> f64 {
    match chain.back(outlook.point(u, v)).what {
        What::Layer(depth) => {
            let strata = &chain.strata;
            f64::from(u8::from(
                strata.steel(strata.layer(depth)) == Some(SteelId(1)),
            ))
        }
        _ => 0.0,
    }
}

fn plain_tones() -> Look {
    let tone = |kept| Tone { kept, carbon: 0.0 };
    Look {
        tones: vec![tone(0.0), tone(1.0), tone(0.0), tone(0.0)],
        ..Look::default()
    }
}

/// Root mean square difference of a scene, and of n by n samples, from `fine` by `fine` samples.
fn against_samples(scene: &Scene, chain: &Chain, n: u32, fine: u32) -> [f64; 2] {
    let picture = scene.render();
    let outlook = &scene.outlook;
    let px = scene.mm_per_px().0;
    let mean = |u: f64, v: f64, n: u32| {
        let mut sum = 0.0;
        for i in 0..n {
            for j in 0..n {
                let s = |k: u32| ((f64::from(k) + 0.5) / f64::from(n) - 0.5) * px;
                sum += point(chain, outlook, u + s(i), v + s(j));
            }
        }
        sum / f64::from(n * n)
    };
    let (mut ours, mut plain, mut count) = (0.0, 0.0, 0.0);
    for y in 0..picture.height {
        for x in 0..picture.width {
            let pixel = picture.at(x, y).unwrap();
            if pixel.metal < 255 || (x + 3 * y) % 5 > 0 {
                continue;
            }
            let [u, v] = scene.place(x, y).map(Mm::get);
            let truth = mean(u, v, fine);
            ours += (f64::from(pixel.light) - truth).powi(2);
            plain += (mean(u, v, n) - truth).powi(2);
            count += 1.0;
        }
    }
    [(ours / count).sqrt(), (plain / count).sqrt()]
}

// Computed, own derivation: at half-millimetre cells the integrated pixel is as true as nine
// samples; one sample is off by 0.3 to 0.45, by the fineness of the layers.
#[test]
fn small_cells_are_integrated_not_sampled() {
    let shop = Shop::ladder();
    let chain = chain(&shop, Hand::default());
    let mut blade = shape(101.0, 28.0, 4.5, 2.0);
    blade.tang = None;
    let scene = Scene::new(
        Arc::clone(&chain),
        View::Blade(blade),
        &plain_tones(),
        [210, 60],
    );
    assert!((scene.mm_per_px().0 - 0.5).abs() < 0.01);
    let [ours, one] = against_samples(&scene, &chain, 1, 10);
    assert!(ours < 0.10, "{ours}");
    assert!(one > 0.3 && one > 3.0 * ours, "{one}");
}

// At the size of a whole screen four pixels share a walk: still truer than four samples each.
#[test]
fn shared_walks_are_truer_than_four_samples_a_pixel() {
    for (name, shop) in all() {
        let chain = chain(&shop, Hand::default());
        let mut blade = shape(101.0, 28.0, 4.5, 2.0);
        blade.tang = None;
        let scene = Scene::new(
            Arc::clone(&chain),
            View::Blade(blade),
            &plain_tones(),
            [1200, 340],
        )
        .closer(8.0, [0.45, 0.6]);
        let wide = Scene::new(
            Arc::clone(&chain),
            View::Blade(blade),
            &plain_tones(),
            [1200, 340],
        );
        assert!(wide.mm_per_px().0 < 0.12 && scene.mm_per_px().0 < 0.12);
        // A window of the wide picture, to keep the brute force short.
        let [ours, four] = against_samples(&cropped(&wide, [160, 120]), &chain, 2, 8);
        assert!(ours < 0.06 && ours <= four + 0.005, "{name}: {ours} {four}");
    }
}

/// The middle of a scene at its own scale.
fn cropped(scene: &Scene, size: [u32; 2]) -> Scene {
    let mut small = scene.clone();
    let [w, h] = scene.size();
    let [u, v] = scene.middle(w / 2 - size[0] / 2, h / 2 - size[1] / 2);
    small.width = size[0];
    small.height = size[1];
    small.origin = [u - 0.5 * scene.px, v + 0.5 * scene.px];
    small.fill_columns();
    small
}

#[test]
fn splitting_rows_changes_nothing() {
    let shop = Shop::turned();
    let chain = chain(&shop, Hand::default());
    for size in [[400, 90], [1800, 240]] {
        let view = View::Blade(shape(150.0, 28.0, 2.6, 1.2));
        let scene = Scene::new(Arc::clone(&chain), view, &look(), size);
        let whole = scene.render();
        let mut parts = Vec::new();
        let mut row = 0;
        for step in [7, 1, 2, 31, 5, 500] {
            parts.extend(scene.render_rows(row..row + step));
            row += step;
        }
        assert_eq!(whole.pixels.len(), parts.len());
        assert!(whole.pixels == parts);
    }
}

#[test]
fn a_seed_gives_the_same_picture_and_another_seed_another() {
    let shop = Shop::random();
    let draw = |seed| {
        let hand = Hand {
            seed,
            ..Hand::default()
        };
        Scene::new(chain(&shop, hand), View::Face, &look(), [200, 30]).render()
    };
    assert!(draw(4) == draw(4));
    assert!(draw(4) != draw(5));
}

/// Volume ratio of the way back at a point of the bar.
fn determinant(chain: &Chain, [x, y, z]: [f64; 3]) -> f64 {
    let mut p = [
        Dual::<3>::variable(x, 0),
        Dual::variable(y, 1),
        Dual::variable(z, 2),
    ];
    for step in &chain.steps {
        let Ok(next) = step.back(p) else {
            return f64::NAN;
        };
        p = next.point;
    }
    let [a, b, c] = p.map(|q| q.d);
    a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
        + a[2] * (b[0] * c[1] - b[1] * c[0])
}

// Computed, own derivation: even work keeps volume exactly; uneven hammering on the mean.
#[test]
fn volume_is_kept_on_the_way_back() {
    for (name, shop) in all() {
        for hand in [Hand::ruled(), Hand::default()] {
            let chain = chain(&shop, hand);
            let [w, t, l] = chain.size;
            let mut found = Vec::new();
            for n in 0..4000_u64 {
                let dice = |k| noise::signed(noise::mix(noise::mix(9, n), k));
                let p = [
                    (0.5 + 0.49 * dice(1)) * l,
                    0.49 * dice(2) * w,
                    0.49 * dice(3) * t,
                ];
                let det = determinant(&chain, p).abs();
                if det.is_finite() {
                    found.push(det);
                }
            }
            found.sort_by(f64::total_cmp);
            let mean = found.iter().sum::<f64>() / found.len() as f64;
            assert!(found.len() > 1500, "{name}: {}", found.len());
            assert!((mean - 1.0).abs() < 0.05, "{name} {}: {mean}", hand.rough);
            // Twist and corner crush go through the smooth square-disc map, not equal-area at corners.
            let smooth = matches!(name, "twist" | "turned");
            if hand.rough <= 0.0 && !smooth && name != "raindrop" {
                let (least, most) = (found[0], found[found.len() - 1]);
                // The ladder's place along comes from a table of tenths of a millimetre.
                let within = if name == "ladder" { 0.012 } else { 1e-4 };
                let near = |det: f64| (det - 1.0).abs() < within;
                assert!(near(least) && near(most), "{name}: {least} {most}");
            }
        }
    }
}
