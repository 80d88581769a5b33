use super::super::tests::{offers, sound, wish};
use super::super::{Offer, ShelfBar};
use crate::billet::{Hand, Kind, Move};
use crate::plan::{Pattern, check, dry_run};
use crate::units::{Mm, Mm3};

/// Read, checked, worked to the end, the bands wanted, every bar used up, and the metal of all closes.
fn several(offer: &Offer, bars: usize) {
    sound(offer);
    let plan = check(&offer.text).plan.unwrap();
    assert_eq!(plan.bars.len(), bars, "{}", offer.text);
    let walk = dry_run(&plan, 0, &plan.first_billet());
    let last = &walk.rows.last().unwrap().billet;
    for bar in &last.others {
        assert_eq!(bar.pieces, 0, "{} is used up", bar.called());
    }
    // the metal of all bars closes
    let balance = last.balance();
    let there: Mm3 = last.whole().into_iter().sum();
    assert!((balance.left() - there).abs().0 < 1e-3 * there.0);
}

#[test]
fn layered_sides_are_drafted_in_every_figure() {
    for (pattern, sides) in [
        (Pattern::Random, [10, 5]),
        (Pattern::TurnedW, [8, 8]),
        (Pattern::Twist, [6, 0]),
    ] {
        let mut wish = wish();
        wish.goal.pattern = pattern;
        wish.goal.edge_margin = Some(Mm(3.0));
        wish.sides = sides;
        wish.most_welds = 8;
        wish.goal.blade.width = Mm(40.0);
        wish.goal.blade.length = Mm(160.0);
        (wish.goal.bands_least, wish.goal.bands_most) = (20, 160);
        let offers = offers(&wish);
        assert!(!offers.is_empty(), "{pattern:?}");
        let more = sides.iter().filter(|layers| **layers > 0).count();
        for offer in &offers {
            several(offer, 1 + more);
            assert!(
                offer
                    .frame_words()
                    .unwrap()
                    .contains("bar spine-side on the spine")
            );
            assert_eq!(offer.by_bar().len(), 1 + more);
        }
    }
}

#[test]
fn rods_lie_side_by_side_with_hands_by_turns() {
    for rods in [2, 4, 6] {
        let mut wish = wish();
        wish.goal.pattern = Pattern::Twist;
        wish.goal.edge_margin = Some(Mm(4.0));
        wish.rods = rods;
        wish.most_welds = 6;
        wish.goal.blade.width = Mm(38.0);
        wish.goal.blade.length = Mm(300.0);
        (wish.goal.bands_least, wish.goal.bands_most) = (5, 60);
        let offers = offers(&wish);
        assert!(!offers.is_empty(), "{rods}");
        for offer in &offers {
            several(offer, 2);
            let hands: Vec<Hand> = offer
                .plan
                .steps
                .iter()
                .filter_map(|step| match step.made {
                    Move::Twist { hand, .. } => Some(hand),
                    _ => None,
                })
                .collect();
            assert_eq!(hands, [Hand::Right, Hand::Left]);
            let joined = offer.plan.steps.iter().find_map(|step| match &step.made {
                Move::Join { with, .. } => Some(with.len()),
                _ => None,
            });
            assert_eq!(joined, Some(rods as usize - 1));
        }
    }
}

#[test]
fn plain_bars_come_from_the_shelf_where_a_piece_is_large_enough() {
    let mut wish = wish();
    wish.goal.edge_margin = Some(Mm(3.0));
    wish.goal.blade.width = Mm(30.0);
    wish.goal.blade.length = Mm(120.0);
    wish.most_welds = 5;
    (wish.goal.bands_least, wish.goal.bands_most) = (40, 160);
    let piece = |number: u32, size: [f64; 3], grade: &str| ShelfBar {
        number,
        grade: grade.to_owned(),
        size: size.map(Mm),
        from: "first.journal, cut-1".to_owned(),
    };
    let without = offers(&wish);
    // too little metal, another steel, and one that is large enough for the edge
    wish.shelf = vec![
        piece(1, [10.0, 4.0, 20.0], "SAE 1084"),
        piece(2, [40.0, 20.0, 400.0], "75Ni8"),
        piece(3, [40.0, 20.0, 400.0], "SAE 1084"),
    ];
    let with = offers(&wish);
    assert!(!with.is_empty());
    for offer in &with {
        several(offer, 2);
        assert_eq!(offer.plan.takes().collect::<Vec<_>>(), [3]);
        let told = offer.by_bar().join("\n");
        assert!(
            told.contains("piece 3 of the shelf, from first.journal, cut-1; nothing to buy"),
            "{told}"
        );
    }
    let least = |offers: &[Offer]| {
        offers
            .iter()
            .map(|one| one.steel.0)
            .fold(f64::INFINITY, f64::min)
    };
    assert!(least(&with) < least(&without));
}

/// Bands through the core counted cell by cell, 200,000 of them, in the section itself: a make that knows
/// nothing of the counts that the search and the model keep.
#[test]
fn bands_of_a_core_between_layered_sides_are_those_of_a_grid_of_cells() {
    let mut wish = wish();
    wish.goal.edge_margin = Some(Mm(3.0));
    wish.sides = [10, 5];
    wish.most_welds = 8;
    wish.goal.blade.width = Mm(40.0);
    wish.goal.blade.length = Mm(160.0);
    (wish.goal.bands_least, wish.goal.bands_most) = (20, 160);
    for offer in &offers(&wish) {
        let plan = &offer.plan;
        let walk = dry_run(plan, 0, &plan.first_billet());
        let blanks = plan
            .steps
            .iter()
            .rposition(|step| step.kind() == Kind::Cut)
            .unwrap();
        let billet = &walk.rows[blanks].billet;
        let bar = &billet.bar;
        let across = bar.frame_on(crate::billet::Side::Edge) + bar.core_width() / 2.0;
        let cells = 200_000;
        let mut runs = 0;
        let mut last = None;
        for cell in 0..cells {
            let through = bar.thickness * ((f64::from(cell) + 0.5) / f64::from(cells));
            let steel = bar.steel_at(across, through);
            runs += u128::from(steel != last);
            last = steel;
        }
        assert_eq!(runs, billet.bands(), "{}", offer.sequence_words());
        // what is forged and ground off afterwards takes bands away, and adds none
        assert!((u128::from(plan.goal.bands_least)..=runs).contains(&offer.bands));
    }
}

/// By trying: the least metal of any stack of that many layers that holds what the side takes, no shorter than can
/// be held and no taller than twice its width. The stock is 40 mm wide: pieces are cut off it either way round.
#[test]
fn a_side_of_a_short_blade_is_cut_from_no_more_than_it_takes() {
    let mut wish = wish();
    wish.goal.edge_margin = Some(Mm(3.0));
    wish.sides = [10, 5];
    wish.most_welds = 8;
    wish.goal.tang = None;
    wish.goal.blade.width = Mm(30.0);
    wish.goal.blade.length = Mm(90.0);
    (wish.goal.bands_least, wish.goal.bands_most) = (20, 160);
    let offers = offers(&wish);
    assert!(!offers.is_empty());
    let allow = wish.shop.allowances;
    for offer in &offers {
        several(offer, 3);
        // The frame holds what the blank takes of it, a tenth over, and what trims, cuts and marks take.
        let walk = dry_run(&offer.plan, 0, &offer.plan.first_billet());
        let steps = offer.plan.steps.iter().zip(&walk.rows);
        let [mut framed, mut blank] = [0.0; 2];
        for (step, row) in steps {
            match step.kind() {
                Kind::Frame => framed = row.billet.bar.volume().0 * (1.0 - allow.scale.0),
                Kind::Cut => {
                    let bar = &row.billet.bar;
                    let ends = allow.trim.0 * 2.0 + allow.kerf.0 + 3.0;
                    blank = bar.section().0 * (bar.length.0 + ends);
                }
                _ => {}
            }
        }
        assert!(framed > blank && framed < 1.15 * blank, "{framed} {blank}");
        for (name, layers) in [("spine-side", 10_u32), ("edge-side", 5)] {
            // The last of its kind: what is far over was cut off before.
            let of = |kind: Kind| {
                let mut own = offer.plan.steps.iter().filter(|step| step.bar == name);
                own.rfind(|step| step.kind() == kind).unwrap().made.clone()
            };
            let (Move::Draw { to, .. }, Move::Cut { length, .. }) = (of(Kind::Draw), of(Kind::Cut))
            else {
                panic!("{name}");
            };
            let section = to.width.unwrap().0 * to.thickness.unwrap().0;
            let long = length.unwrap().0 + 2.0 * allow.trim.0 + allow.kerf.0;
            let needs = section * long * 1.06 / (1.0 - allow.scale.0);
            let high = f64::from(layers / 2) * 9.0 + f64::from(layers % 2) * 6.0;
            let mut least = f64::INFINITY;
            for halves in 1..=400 {
                let cut = f64::from(halves) * 0.5;
                // Across the stock as it comes, or the stock's width along the bar.
                for (width, length) in [(40.0, cut), (cut, 40.0)] {
                    let metal = width * length * high;
                    if metal >= needs && length >= allow.shortest.0 && high <= 2.0 * width {
                        least = least.min(metal);
                    }
                }
            }
            let bar = offer.plan.bars.iter().find(|bar| bar.name == name).unwrap();
            let metal = bar.width.0 * bar.length.0 * high;
            assert!((metal - least).abs() < 1e-6, "{name}: {metal} {least}");
        }
    }
}
