//! Jackets, tiles, unfolded bars and twists that turn back: sections and faces against places worked out here
//! one by one, the metal that went, and what is refused and how.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::suboptimal_flops,
    reason = "a test"
)]

use anvilside::billet::{Billet, Loss, Side, SteelId};
use anvilside::pattern::{Chain, Hand};
use anvilside::plan;
use anvilside::units::Mm;

use crate::common::dice::Dice;

/// A plan of a plain core of 40 x 8 x 200 and a bar of layers, A and B by turns from the bottom.
fn text(layers: &[f64], [wide, long]: [f64; 2], steps: &str) -> String {
    let pieces: Vec<String> = layers
        .iter()
        .enumerate()
        .map(|(at, thick)| format!("\"{} {thick} mm\"", if at % 2 == 0 { "A" } else { "B" }))
        .collect();
    format!(
        "title = \"Test\"\nunits = \"mm\"\n[goal]\npattern = \"straight\"\nbands = [1, 900]\n\
         [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n[steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\nF = \"SAE 1095\"\n\
         [shop]\nhand = true\nscale = \"0 %\"\nkerf = 2\nshortest = 1\n\
         [[bar]]\nname = \"core\"\nwidth = 40\nlength = 200\npieces = [\"F 8 mm\"]\n\
         [[bar]]\nname = \"side\"\nwidth = {wide}\nlength = {long}\npieces = [{}]\n\
         [[step]]\nkind = \"prepare\"\nbar = \"side\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n{steps}",
        pieces.join(", ")
    )
}

/// The bar in hand at the end of a plan, as long as every step of it can be made.
fn end(text: &str) -> Billet {
    let (plan, _) = plan::read(text).unwrap_or_else(|found| panic!("{found:?}\n{text}"));
    let walk = plan::dry_run(&plan, 0, &plan.first_billet());
    assert!(
        walk.rows.len() == plan.steps.len(),
        "{:?}\n{text}",
        walk.found
    );
    let metal = walk.rows.last().unwrap().billet.clone();
    let there: f64 = metal.whole().iter().map(|volume| volume.0).sum();
    assert!((metal.balance().left().0 - there).abs() < 1e-6 * there);
    metal
}

fn says(text: &str, wanted: &str) {
    let found = plan::check(text).found;
    let all: Vec<String> = found
        .iter()
        .map(|one| format!("{}; {}", one.what, one.remedy))
        .collect();
    assert!(all.iter().any(|one| one == wanted), "{wanted}\n{all:#?}");
}

fn chain(metal: &Billet) -> Chain {
    Chain::new(&metal.first, &metal.history, Hand::ruled())
}

const A: SteelId = SteelId(0);
const B: SteelId = SteelId(1);
const F: SteelId = SteelId(2);

/// The steel at a height of layers A and B by turns.
fn layer(layers: &[f64], height: f64) -> SteelId {
    let mut top = 0.0;
    for (at, thick) in layers.iter().enumerate() {
        top += thick;
        if height < top {
            return if at % 2 == 0 { A } else { B };
        }
    }
    if layers.len() % 2 == 1 { A } else { B }
}

fn layers(dice: &mut Dice) -> Vec<f64> {
    let count = 3 + (dice.next() * 5.0) as usize;
    (0..count)
        .map(|_| (dice.between(0.4, 3.0) * 1e3).round() / 1e3)
        .collect()
}

#[test]
fn a_jacket_of_two_bars_lies_on_both_faces_and_the_edge_is_bare() {
    let mut dice = Dice(71);
    for _ in 0..40 {
        let (own, bare) = (layers(&mut dice), dice.between(3.0, 25.0).round());
        let (high, covered) = (own.iter().sum::<f64>(), 40.0 - bare);
        let metal = end(&text(
            &own,
            [covered, 410.0],
            &format!(
                "[[step]]\nkind = \"cut\"\npieces = 2\nlength = 200\n\
                 [[step]]\nkind = \"jacket\"\nbar = \"core\"\nwith = [\"side\", \"side flipped\"]\nbare = {bare}\n\
                 [[step]]\nkind = \"weld\"\n"
            ),
        ));
        // By hand: the bare edge keeps its area and is as thick as the whole.
        let thick = 8.0 + 2.0 * high;
        let edge = bare * 8.0 / thick;
        let wide = edge + covered;
        let bar = &metal.bar;
        assert!((bar.thickness.0 - thick).abs() < 1e-6 && (bar.width.0 - wide).abs() < 1e-6);
        assert!((bar.plain_on(Side::Edge).0 - edge).abs() < 1e-6);
        let plain = (bare + covered) * 8.0;
        assert!((bar.area_of(F).0 - plain).abs() < 1e-6 * plain);
        // Through the middle: the layers twice and the core; like steels never meet.
        assert_eq!(metal.bands(), 2 * own.len() as u128 + 1);
        let chain = chain(&metal);
        for _ in 0..80 {
            let (y, z) = (wide * dice.next(), thick * dice.next());
            let off = (z - thick / 2.0).abs() - 4.0;
            let wanted = if y < edge || off < 0.0 {
                F
            } else {
                layer(&own, off)
            };
            let near = {
                let mut top = 0.0;
                let seams: Vec<f64> = own
                    .iter()
                    .map(|thick| {
                        top += thick;
                        top
                    })
                    .collect();
                off.abs() < 1e-6
                    || (y - edge).abs() < 1e-6
                    || seams.iter().any(|seam| (seam - off).abs() < 1e-6)
            };
            if near {
                continue;
            }
            assert_eq!(bar.steel_at(Mm(y), Mm(z)), Some(wanted), "{y} {z}");
            let seen = chain.steel_at(Mm(50.0), Mm(y - wide / 2.0), Mm(z - thick / 2.0));
            assert_eq!(seen, Some(wanted), "picture at {y} {z} of {wide} {thick}");
        }
    }
}

/// The steel of a folded jacket: how far the core must be grown, square, to reach a place says which layer.
fn grown(own: &[f64], [y, z]: [f64; 2], [edge, covered]: [f64; 2]) -> SteelId {
    if y < edge {
        return F;
    }
    let reach = (y - edge - covered).max(z.abs() - 4.0);
    if reach < 0.0 { F } else { layer(own, reach) }
}

#[test]
fn a_folded_jacket_goes_round_the_spine_and_keeps_its_metal() {
    let mut dice = Dice(72);
    for _ in 0..40 {
        let (own, bare) = (layers(&mut dice), dice.between(3.0, 20.0).round());
        let (high, covered) = (own.iter().sum::<f64>(), 40.0 - bare);
        // By hand: twice what it covers, the core, and both corners.
        let strip = 2.0 * covered + 8.0 + 2.0 * high;
        let metal = end(&text(
            &own,
            [strip, 200.0],
            &format!(
                "[[step]]\nkind = \"jacket\"\nbar = \"core\"\nwith = \"side\"\nbare = {bare}\n[[step]]\nkind = \"weld\"\n"
            ),
        ));
        let bar = &metal.bar;
        let thick = 8.0 + 2.0 * high;
        let edge = bare * 8.0 / thick;
        let wide = edge + covered + high;
        assert!((bar.thickness.0 - thick).abs() < 1e-6, "{bar:?}");
        assert!((bar.width.0 - wide).abs() < 1e-6, "{bar:?}");
        for (steel, odd) in [(A, 0), (B, 1)] {
            let area: f64 = own.iter().skip(odd).step_by(2).map(|t| t * strip).sum();
            assert!((bar.area_of(steel).0 - area).abs() < 1e-6 * area);
        }
        assert_eq!(metal.bands(), 2 * own.len() as u128 + 1);
        let chain = chain(&metal);
        for _ in 0..150 {
            let (y, z) = (wide * dice.next(), thick * (dice.next() - 0.5));
            let at = |by: f64| grown(&own, [y + by, z + by], [edge, covered]);
            let other = |by: f64| grown(&own, [y + by, z - by], [edge, covered]);
            let wanted = at(0.0);
            if [at(1e-5), at(-1e-5), other(1e-5), other(-1e-5)]
                .iter()
                .any(|near| *near != wanted)
            {
                continue;
            }
            let seen = chain.steel_at(Mm(50.0), Mm(y - wide / 2.0), Mm(z));
            assert_eq!(seen, Some(wanted), "picture at {y} {z} of {wide} {thick}");
        }
    }
}

#[test]
fn a_jacket_says_what_does_not_fit() {
    let own = [2.0, 2.0, 2.0];
    let put = |wide: f64, keys: &str| {
        text(
            &own,
            [wide, 200.0],
            &format!("[[step]]\nkind = \"jacket\"\nbar = \"core\"\n{keys}\n"),
        )
    };
    says(
        &put(60.0, "with = \"side\"\nbare = 10"),
        "bar 'side' is 60 mm wide where it covers 80 mm: 20 mm too little; draw bar 'side' to 80 mm, or make the bar under it smaller",
    );
    says(
        &put(80.0, "with = \"side\"\nbare = 40"),
        "40 mm bare of a core of 40 mm leaves nothing to cover; leave less bare, or make the core wider",
    );
    says(
        &put(80.0, "with = \"side\""),
        "a step of kind jacket has no 'bare'; add bare = a size above zero, as \"40 mm\", \"1-3/8 in\" or 40",
    );
    let other = text(
        &own,
        [30.0, 200.0],
        "[[step]]\nkind = \"jacket\"\nbar = \"side\"\nwith = \"core\"\nbare = 5\n",
    );
    says(
        &other,
        "a jacket goes on a plain core, and bar 'side' has 3 bands; make the core of one steel, or lay bars on it with frame",
    );
}

/// Crushed on the corner, so that its end shows lines both ways.
const CRUSHED: &str = "[[step]]\nkind = \"square\"\nwidth = 24\nthickness = 24\n[[step]]\nkind = \"corner-crush\"\nwidth = 20\nthickness = 20\n";

#[test]
fn tiles_show_the_end_grain_that_they_were_cut_from() {
    let mut dice = Dice(73);
    let own = [3.0, 2.0, 4.0, 2.0, 3.0, 5.0, 2.0];
    let before = end(&text(&own, [26.0, 150.0], CRUSHED));
    let old = chain(&before);
    for lay in ["alike", "mirrored", "turned"] {
        let row = end(&text(
            &own,
            [26.0, 150.0],
            &format!(
                "{CRUSHED}[[step]]\nkind = \"slice\"\ntiles = 6\nthickness = 7\nlay = \"{lay}\"\nbacking = \"F 3 mm\"\n"
            ),
        ));
        let bar = &row.bar;
        // By hand: six tiles of 20 x 20 x 7 on 3 mm.
        let sizes = [bar.width.0, bar.thickness.0, bar.length.0];
        assert!(
            sizes
                .iter()
                .zip([20.0, 10.0, 120.0])
                .all(|(a, b)| (a - b).abs() < 1e-6),
            "{sizes:?}"
        );
        assert_eq!(row.bands(), before.bands());
        let kerf = row.ledger.total(Loss::Kerf).0;
        // Five cuts between, and the one that parts what is left.
        assert!((kerf - 6.0 * 2.0 * 400.0).abs() < 1e-6, "{kerf}");
        let new = chain(&row);
        let mut seen = [0, 0];
        for _ in 0..600 {
            let tile = (dice.next() * 6.0).floor().min(5.0);
            let (a, y) = (dice.between(-9.9, 9.9), dice.between(-9.9, 9.9));
            let up = dice.between(0.1, 6.9);
            // The tile as it was sawn, its sawn face up; a page turned over has its other face up; one turned in
            // its plane is worked out by its angle.
            let (from, place) = match lay {
                "mirrored" if tile % 2.0 > 0.5 => (7.0 - up, [y, a]),
                "turned" => {
                    let (sin, cos) = (-tile * std::f64::consts::FRAC_PI_2).sin_cos();
                    let (own_a, own_y) = (a * cos - y * sin, a * sin + y * cos);
                    (up, [own_y, -own_a])
                }
                _ => (up, [y, -a]),
            };
            let wanted = old.steel_at(Mm(tile * 9.0 + from), Mm(place[0]), Mm(place[1]));
            let x = tile * 20.0 + 10.0 + a;
            // The backing lies below: the row's middle is 1.5 mm above that of the bar.
            let got = new.steel_at(Mm(x), Mm(y), Mm(up - 3.5 + 1.5));
            assert_eq!(got, wanted, "{lay} tile {tile} at {a} {y} {up}");
            seen[usize::from(got == Some(B))] += 1;
            assert_eq!(
                new.steel_at(Mm(x), Mm(y), Mm(-4.9 + 2.9 * dice.next())),
                Some(F)
            );
        }
        assert!(seen.iter().all(|count| *count > 100), "{seen:?}");
    }
}

#[test]
fn mirrored_tiles_and_opposite_hands_mirror_each_other() {
    let own = [3.0, 2.0, 4.0, 2.0, 3.0, 5.0, 2.0];
    let row = end(&text(
        &own,
        [26.0, 150.0],
        &format!(
            "{CRUSHED}[[step]]\nkind = \"slice\"\ntiles = 4\nthickness = 7\nlay = \"mirrored\"\n"
        ),
    ));
    let row = chain(&row);
    let mut dice = Dice(74);
    let mut differ = 0;
    for _ in 0..300 {
        let (a, y, z) = (
            dice.between(0.1, 19.9),
            dice.between(-9.9, 9.9),
            dice.between(-3.4, 3.4),
        );
        let at = |x: f64| row.steel_at(Mm(x), Mm(y), Mm(z));
        assert_eq!(at(40.0 - a), at(40.0 + a));
        differ += usize::from(at(40.0 - a) != at(20.0 + a));
    }
    assert!(differ > 50, "the tiles are their own mirror: {differ}");
    let twisted = |hand: &str| {
        let steps = format!(
            "[[step]]\nkind = \"square\"\nwidth = 20\nthickness = 20\n[[step]]\nkind = \"twist\"\nturns = 3.4\nhand = \"{hand}\"\n"
        );
        chain(&end(&text(&own, [26.0, 150.0], &steps)))
    };
    let (right, left) = (twisted("right"), twisted("left"));
    let mut differ = 0;
    for _ in 0..300 {
        let (x, y, z) = (
            dice.between(1.0, 190.0),
            dice.between(-9.9, 9.9),
            dice.between(-9.9, 9.9),
        );
        let at = |chain: &Chain, y: f64| chain.steel_at(Mm(x), Mm(y), Mm(z));
        assert_eq!(at(&right, y), at(&left, -y), "{x} {y} {z}");
        differ += usize::from(at(&right, y) != at(&left, y));
    }
    assert!(differ > 50, "{differ}");
}

#[test]
fn a_twist_turns_back_where_the_second_hand_begins() {
    let own = [3.0, 2.0, 4.0, 2.0, 3.0, 5.0, 1.0];
    let square = "[[step]]\nkind = \"square\"\nwidth = 20\nthickness = 20\n";
    let flat = end(&text(&own, [26.0, 150.0], square));
    let long = flat.bar.length.0;
    let half = (long / 2.0).floor();
    let steps = format!(
        "{square}[[step]]\nkind = \"twist\"\nturns = 2.3\nfrom = 0\nover = {half}\nhand = \"right\"\n\
         [[step]]\nkind = \"twist\"\nturns = 2.3\nfrom = {half}\nover = {half}\nhand = \"left\"\n"
    );
    let back = end(&text(&own, [26.0, 150.0], &steps));
    let (flat, back) = (chain(&flat), chain(&back));
    let mut dice = Dice(75);
    let mut differ = 0;
    for _ in 0..300 {
        let (y, z) = (dice.between(-9.0, 9.0), dice.between(-9.0, 9.0));
        let x = dice.between(1.0, half - 1.0);
        // About the place where the hand changes, both sides are turned alike.
        let at = |x: f64| back.depth_at(Mm(x), Mm(y), Mm(z)).unwrap().0;
        assert!((at(half - x) - at(half + x)).abs() < 1e-6, "{x} {y} {z}");
        // Behind the second twist nothing is left of either.
        let end = long - 1e-3;
        let unturned = flat.depth_at(Mm(end), Mm(y), Mm(z)).unwrap().0;
        assert!((at(end) - unturned).abs() < 1e-3, "{y} {z}");
        differ += usize::from((at(half) - unturned).abs() > 1.0);
    }
    assert!(differ > 100, "{differ}");
    let past = text(
        &own,
        [26.0, 150.0],
        &format!("{square}[[step]]\nkind = \"twist\"\nturns = 2\nfrom = 500\n"),
    );
    says(
        &past,
        &format!("a twist from 500 mm on of a bar of {long} mm; begin nearer to the end held"),
    );
}

#[test]
fn an_unfolded_bar_shows_its_end_grain_and_has_lost_its_cuts() {
    let own = [3.0, 2.0, 4.0, 2.0, 3.0, 5.0, 2.0];
    let before = end(&text(&own, [26.0, 150.0], CRUSHED));
    let old = chain(&before);
    let long = before.bar.length.0;
    let steps = format!("{CRUSHED}[[step]]\nkind = \"unfold\"\ncuts = 13\nweb = 4\nkerf = 1\n");
    let open = end(&text(&own, [26.0, 150.0], &steps));
    // By hand: 14 parts, as thick as they were long; 13 cuts of 1 mm, 16 deep in a bar of 20.
    let each = (long - 13.0) / 14.0;
    let gone = 13.0 * 16.0 * 20.0;
    let whole = (long * 400.0 - gone) / (20.0 * each);
    let bar = &open.bar;
    assert!((bar.thickness.0 - each).abs() < 1e-6);
    assert!(
        (bar.length.0 - whole).abs() < 1e-6,
        "{} {whole}",
        bar.length.0
    );
    assert!((open.ledger.total(Loss::Kerf).0 - gone).abs() < 1e-6);
    let new = chain(&open);
    let mut dice = Dice(76);
    let (mut seen, mut alike) = (0, 0);
    for _ in 0..600 {
        let part = (dice.next() * 14.0).floor().min(13.0);
        let (a, y) = (dice.between(-9.9, 9.9), dice.between(-9.9, 9.9));
        // What was sawn lies up on every part, by turns that of its far and of its near cut.
        let (from, z) = if part % 2.0 > 0.5 {
            (0.1, a)
        } else {
            (each - 0.1, -a)
        };
        let wanted = old.steel_at(Mm(part * (each + 1.0) + from), Mm(y), Mm(z));
        let x = (part * 20.0 + 10.0 + a) * whole / 280.0;
        let got = new.steel_at(Mm(x), Mm(y), Mm(each / 2.0 - 0.1));
        assert_eq!(got, wanted, "part {part} at {a} {y}");
        seen += usize::from(got == Some(B));
        // Neighbours hang together at their folds.
        let fold = part.max(1.0) * whole / 14.0;
        let at = |x: f64| new.steel_at(Mm(x), Mm(y), Mm(0.0));
        alike += usize::from(at(fold - 1e-6) == at(fold + 1e-6));
    }
    assert!(seen > 100 && alike == 600, "{seen} {alike}");
    let unfold = |keys: &str| {
        text(
            &own,
            [26.0, 150.0],
            &format!("{CRUSHED}[[step]]\nkind = \"unfold\"\n{keys}\n"),
        )
    };
    says(
        &unfold("cuts = 13\nweb = 20"),
        "a web of 20 mm in a bar 20 mm thick is no cut; leave a tenth to a third of the thickness",
    );
    says(
        &unfold("cuts = 13\nweb = 1"),
        "a web of 1 mm under a bar of 20 mm tears; leave a tenth to a third",
    );
}

#[test]
fn tiles_keep_a_plain_edge_and_say_what_does_not_fit() {
    let own = [4.0, 4.0, 4.0];
    let framed = "[[step]]\nkind = \"frame\"\nedge = \"F 6 mm\"\n[[step]]\nkind = \"weld\"\n";
    let slice = |lay: &str| {
        format!("{framed}[[step]]\nkind = \"slice\"\ntiles = 5\nthickness = 6\nlay = \"{lay}\"\n")
    };
    let row = end(&text(&own, [20.0, 100.0], &slice("mirrored")));
    assert!((row.bar.plain_on(Side::Edge).0 - 6.0).abs() < 1e-9);
    assert!((row.bar.length.0 - 60.0).abs() < 1e-9);
    for steel in [A, B, F] {
        // 20 x 8 of A, 20 x 4 of B, 6 x 12 of F, over 30 mm of bar.
        let wanted = [160.0, 80.0, 72.0][usize::from(steel.0)] * 30.0;
        assert!((row.volume_of(steel).0 - wanted).abs() < 1e-6 * wanted);
    }
    says(
        &text(&own, [20.0, 100.0], &slice("turned")),
        "pieces of 26 x 12 mm turned against each other leave gaps; square them first, or do not turn them",
    );
    says(
        &text(
            &own,
            [20.0, 100.0],
            "[[step]]\nkind = \"slice\"\ntiles = 50\nthickness = 6\n",
        ),
        "50 of 6 mm need 398 mm with their cuts; the bar is 100 mm and yields 12, not 50; cut 12",
    );
}

#[test]
fn a_bar_of_one_piece_is_a_bar_as_it_is_bought() {
    let own = [2.0, 2.0, 2.0];
    let metal = end(&text(
        &own,
        [30.0, 200.0],
        "[[step]]\nkind = \"draw\"\nbar = \"core\"\nwidth = 20\nthickness = 6\n\
         [[step]]\nkind = \"cut\"\npieces = 1\nlength = 200\n\
         [[step]]\nkind = \"frame\"\nbar = \"side\"\nedge = \"core\"\n",
    ));
    assert!((metal.bar.plain_on(Side::Edge).0 - 20.0).abs() < 1e-9);
}

/// Bars as the page of the format names them, each a step before it is laid.
const NAMED: [(&str, &str); 9] = [
    (
        "core",
        "width = 26\nlength = 200\npieces = [\"A 9 mm\", \"B 9 mm\"]",
    ),
    (
        "ten",
        "width = 18\nlength = 200\npieces = [\"5 x (A 1 mm, B 1 mm)\"]",
    ),
    (
        "five",
        "width = 18\nlength = 200\npieces = [\"2 x (A 2 mm, B 1 mm)\", \"A 2 mm\"]",
    ),
    (
        "right",
        "width = 12\nlength = 200\npieces = [\"A 6 mm\", \"B 6 mm\"]",
    ),
    (
        "left",
        "width = 12\nlength = 200\npieces = [\"A 6 mm\", \"B 6 mm\"]",
    ),
    ("blank", "width = 30\nlength = 200\npieces = [\"F 6 mm\"]"),
    (
        "strip",
        "width = 56\nlength = 200\npieces = [\"A 2 mm\", \"B 1 mm\", \"A 2 mm\"]",
    ),
    (
        "block",
        "width = 30\nlength = 100\npieces = [\"A 8 mm\", \"B 7 mm\"]",
    ),
    (
        "rod",
        "width = 12\nlength = 200\npieces = [\"A 6 mm\", \"B 6 mm\"]",
    ),
];

#[test]
fn every_construction_on_the_page_of_the_format_can_be_worked() {
    let page = plan::format_page();
    let (_, own) = page.split_once("## Constructions").unwrap();
    let examples: Vec<&str> = own
        .split("```toml\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect();
    assert_eq!(examples.len(), 9);
    for example in examples {
        let mut text = String::from(
            "title = \"Test\"\nunits = \"mm\"\n[goal]\npattern = \"straight\"\nbands = [1, 900]\n\
             [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n[steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\nF = \"SAE 1095\"\n\
             [shop]\nhand = true\nscale = \"0 %\"\nshortest = 1\n",
        );
        for (name, stack) in NAMED {
            text += &format!("[[bar]]\nname = \"{name}\"\n{stack}\n");
        }
        for (name, _) in NAMED.iter().filter(|(name, _)| *name != "blank") {
            text += &format!(
                "[[step]]\nkind = \"prepare\"\nbar = \"{name}\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n"
            );
            if ["right", "left"].contains(name) {
                text += "[[step]]\nkind = \"cut\"\npieces = 2\n";
            }
        }
        let metal = end(&format!("{text}{example}"));
        let kinds = example
            .lines()
            .filter(|line| line.starts_with("kind"))
            .count();
        assert!(
            (8..=15).contains(&example.lines().count()) && (2..=3).contains(&kinds),
            "{example}"
        );
        assert!(metal.volume().is_positive());
    }
}
