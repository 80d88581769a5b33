//! Every sample plan, read, walked and held against tables worked by hand.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::collections::BTreeSet;

use anvilside::billet::{Kind, Loss, Reading, Stage, apply};
use anvilside::plan;
use anvilside::planner::forecast::{Start, forecast};
use anvilside::planner::learn::{ShopBook, learn};

fn files() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

#[test]
fn every_sample_is_read_without_a_finding() {
    for (name, text) in files() {
        let (_, found) = plan::read(&text).unwrap_or_else(|found| {
            let lines: Vec<String> = found.iter().map(|d| format!("{name}:{d}")).collect();
            panic!("{}", lines.join("\n"))
        });
        assert!(found.is_empty(), "{name}: {found:?}");
    }
}

/// A sample is a plan to follow: a new shop, with losses as wide as they are before anything was read, gets its
/// blades out of it nine times in ten, and more often than not by every step as it stands.
#[test]
fn every_sample_has_metal_enough() {
    for (name, text) in files() {
        let (plan, _) = plan::read(&text).unwrap();
        let lessons = learn(&[], &ShopBook::default(), Some(&plan));
        let seen = forecast(&Start::of_plan(&plan), &lessons, 11, 600);
        let (enough, holds) = (seen.enough.probability, seen.holds);
        assert!(enough > 0.9, "{name}: {enough}");
        assert!(holds > 0.6, "{name}: {holds}");
    }
}

/// Whoever counts what is there changes nothing, and whoever counts two more has two more.
#[test]
fn a_count_at_an_etched_piece_is_the_count_from_there_on() {
    let mut inspected = 0;
    for (name, text) in files() {
        let (plan, _) = plan::read(&text).unwrap();
        let allow = plan.allowances();
        let walk = plan::dry_run(&plan, 0, &plan.first_billet());
        for (at, step) in plan.steps.iter().enumerate() {
            if step.kind() != Kind::Inspect {
                continue;
            }
            let first = plan.first_billet();
            let before = at.checked_sub(1).map_or(&first, |at| &walk.rows[at].billet);
            let before = before.in_hand(&step.bar);
            for more in [0, 2] {
                let counted = u64::try_from(before.bands()).unwrap() + more;
                let reading = Reading {
                    bands: Some(counted),
                    ..Reading::default()
                };
                let after = apply(&before, &step.made, &allow, &reading).unwrap().billet;
                assert_eq!(after.bands(), u128::from(counted), "{name}: {}", step.id.0);
            }
            inspected += 1;
        }
    }
    assert!(inspected > 5, "{inspected}");
}

/// One line of a table worked by hand: size of one piece, pieces, metal of all, mass, counts.
struct Line {
    step: &'static str,
    size: [f64; 3],
    pieces: u32,
    volume: f64,
    mass: f64,
    nominal: u128,
    bands: u128,
}

const fn line(
    step: &'static str,
    size: [f64; 3],
    pieces: u32,
    volume: f64,
    mass: f64,
    nominal: u128,
    bands: u128,
) -> Line {
    Line {
        step,
        size,
        pieces,
        volume,
        mass,
        nominal,
        bands,
    }
}

/// A whole table: its lines, and the losses up to its last line (scale, trim, grind, kerf, groove,
/// rounding), in the units of the table.
struct Golden {
    file: &'static str,
    /// Millimetres in the table's unit of length, grams in its unit of mass.
    units: (f64, f64),
    /// Half of the last figure that the table prints: of volumes and of masses.
    last: (f64, f64),
    added: f64,
    losses: [f64; 6],
    lines: &'static [Line],
}

// Worked tables of our own: sizes by volume constancy (metal in = metal out + named losses), bands by
// expanding the layers one by one: a skin off all four sides in each of 600 small heats of a draw, its
// depth such that the heats lose the draw's share together, then ground off and stacked.

const KITCHEN: Golden = Golden {
    file: "kitchen-pair.toml",
    units: (1.0, 1000.0),
    last: (0.51, 0.00051),
    added: 0.0,
    losses: [20_003.0, 32_188.0, 23_540.0, 7_140.0, 0.0, 1_729.0],
    lines: &[
        line("stack-1", [40.0, 42.0, 120.0], 1, 201_600.0, 1.583, 9, 9),
        line("draw-1", [40.0, 14.0, 345.5], 1, 193_480.0, 1.519, 9, 9),
        line("cut-1", [40.0, 13.0, 79.5], 4, 165_360.0, 1.298, 9, 9),
        line("restack-1", [40.0, 52.0, 79.5], 1, 165_360.0, 1.298, 36, 33),
        line("draw-2", [40.0, 14.0, 283.0], 1, 158_480.0, 1.244, 36, 33),
        line("cut-2", [40.0, 13.0, 64.0], 4, 133_120.0, 1.045, 36, 29),
        line(
            "restack-2",
            [40.0, 52.0, 64.0],
            1,
            133_120.0,
            1.045,
            144,
            113,
        ),
        line("draw-3", [45.0, 5.0, 567.5], 1, 127_688.0, 1.002, 144, 111),
        line("cut-3", [45.0, 5.0, 125.0], 2, 56_250.0, 0.442, 144, 111),
    ],
};

const PETTY: Golden = Golden {
    file: "turned-w-petty.toml",
    units: (1.0, 1000.0),
    last: (0.51, 0.00051),
    added: 39_848.0,
    losses: [15_656.0, 39_956.0, 20_603.0, 5_078.0, 0.0, 1_071.0],
    lines: &[
        line("stack-1", [30.0, 47.0, 90.0], 1, 126_900.0, 0.996, 13, 13),
        line("draw-1", [24.0, 24.0, 211.5], 1, 121_824.0, 0.956, 13, 13),
        line(
            "corner-crush-1",
            [23.0, 23.0, 225.5],
            1,
            119_290.0,
            0.936,
            13,
            13,
        ),
        line("cut-1", [21.5, 21.5, 49.5], 4, 91_526.0, 0.718, 13, 13),
        line("restack-1", [43.0, 43.0, 49.5], 1, 91_526.0, 0.718, 52, 26),
        line("draw-2", [30.0, 18.0, 162.5], 1, 87_750.0, 0.689, 52, 26),
        line("grind-2", [29.0, 17.0, 146.5], 1, 72_224.0, 0.567, 52, 26),
        line("frame-1", [45.0, 17.0, 146.5], 1, 112_072.0, 0.880, 52, 26),
        line("square-1", [32.0, 18.0, 186.5], 1, 107_424.0, 0.843, 52, 26),
        line("cut-2", [32.0, 18.0, 45.0], 2, 51_840.0, 0.407, 52, 26),
    ],
};

const HUNTER: Golden = Golden {
    file: "ladder-hunter.toml",
    units: (25.4, 453.592_37),
    last: (0.000_51, 0.0051),
    added: 0.0,
    losses: [1.070, 1.445, 2.056, 0.142, 0.828, 0.142],
    lines: &[
        line("stack-1", [1.25, 1.625, 5.0], 1, 10.156, 2.88, 17, 17),
        line("draw-1", [1.25, 0.5, 15.5625], 1, 9.727, 2.76, 17, 17),
        line("cut-1", [1.25, 0.4375, 4.875], 3, 7.998, 2.27, 17, 17),
        line("restack-1", [1.25, 1.3125, 4.875], 1, 7.998, 2.27, 51, 49),
        line("draw-2", [1.25, 0.5, 12.25], 1, 7.656, 2.17, 51, 47),
        line("cut-2", [1.25, 0.4375, 5.6875], 2, 6.221, 1.76, 51, 41),
        line("restack-2", [1.25, 0.875, 5.6875], 1, 6.221, 1.76, 102, 81),
        line("draw-3", [1.25, 0.375, 12.6875], 1, 5.947, 1.69, 102, 79),
        line("groove-1", [1.25, 0.375, 11.9375], 1, 4.767, 1.35, 102, 79),
        line("draw-4", [1.25, 0.25, 14.9375], 1, 4.668, 1.32, 102, 77),
        line("cut-3", [1.25, 0.25, 5.75], 2, 3.594, 1.02, 102, 77),
    ],
};

const THREE: Golden = Golden {
    file: "three-layer.toml",
    units: (1.0, 1000.0),
    last: (0.51, 0.00051),
    added: 0.0,
    losses: [3_696.0, 5_880.0, 0.0, 0.0, 0.0, 63.0],
    lines: &[
        line("stack-1", [40.0, 21.0, 110.0], 1, 92_400.0, 0.725, 3, 3),
        line("draw-1", [42.0, 7.0, 301.5], 1, 88_641.0, 0.696, 3, 3),
        line("trim-1", [42.0, 7.0, 281.5], 1, 82_761.0, 0.650, 3, 3),
        line("cut-1", [42.0, 7.0, 95.0], 1, 27_930.0, 0.219, 3, 3),
    ],
};

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got - want).abs() <= within, "{what}: {got} is not {want}");
}

#[test]
fn samples_agree_with_the_tables_worked_by_hand() {
    for golden in [&KITCHEN, &PETTY, &HUNTER, &THREE] {
        let path = format!("{}/plans/{}", env!("CARGO_MANIFEST_DIR"), golden.file);
        let (plan, walk) = plan::check(&std::fs::read_to_string(path).unwrap())
            .sound()
            .unwrap();
        let (mm, grams) = golden.units;
        let mut last = None;
        for want in golden.lines {
            let what = format!("{} {}", golden.file, want.step);
            let row = walk.rows.iter().find(|row| row.step.0 == want.step);
            let bar = &row.unwrap_or_else(|| panic!("{what} is missing")).billet;
            near(bar.bar.width.0 / mm, want.size[0], 1e-9, &what);
            near(bar.bar.thickness.0 / mm, want.size[1], 1e-9, &what);
            near(bar.bar.length.0 / mm, want.size[2], 1e-9, &what);
            assert_eq!(bar.pieces, want.pieces, "{what}");
            near(
                bar.volume().0 / mm.powi(3),
                want.volume,
                golden.last.0,
                &what,
            );
            near(bar.mass().0 / grams, want.mass, golden.last.1, &what);
            assert_eq!(bar.nominal, want.nominal, "{what}");
            assert_eq!(bar.bands(), want.bands, "{what}");
            last = Some(bar);
        }
        let ledger = &last.unwrap().ledger;
        let losses = Loss::ALL.map(|loss| ledger.total(loss).0 / mm.powi(3));
        for ((loss, got), want) in Loss::ALL.iter().zip(losses).zip(golden.losses) {
            near(
                got,
                want,
                golden.last.0,
                &format!("{} {}", golden.file, loss.word()),
            );
        }
        near(
            ledger.added.0 / mm.powi(3),
            golden.added,
            golden.last.0,
            golden.file,
        );
        assert!(plan.steps.len() > golden.lines.len());
    }
}

#[test]
fn every_sample_is_walked_to_the_end_without_a_finding_and_balances() {
    for (name, text) in files() {
        let checked = plan::check(&text);
        assert!(
            checked.found.is_empty(),
            "{}",
            plan::report::findings(&checked, &name)
        );
        let (plan, walk) = checked.sound().unwrap();
        assert_eq!(walk.rows.len(), plan.steps.len(), "{name}");
        let mut lost = 0.0;
        for row in &walk.rows {
            lost += row.losses.iter().map(|entry| entry.volume.0).sum::<f64>();
            let billet = &row.billet;
            let there: f64 = billet.whole().iter().map(|volume| volume.0).sum();
            let all = billet.balance();
            near(all.left().0, there, 1e-3, &format!("{name} {}", row.step));
            near(all.lost().0, lost, 1e-3, &format!("{name} {}", row.step));
        }
        let last = walk.rows.last().unwrap();
        assert_eq!(last.billet.stage, Stage::Etched, "{name}");
        let knives = f64::from(last.billet.pieces) * plan.goal.volume().0;
        near(last.billet.volume().0, knives, 0.02 * knives, &name);
    }
}

#[test]
fn every_kind_of_step_is_used_by_a_sample() {
    let mut unused: BTreeSet<Kind> = Kind::ALL.into_iter().collect();
    for (_, text) in files() {
        let (plan, _) = plan::read(&text).unwrap();
        for step in &plan.steps {
            unused.remove(&step.kind());
        }
    }
    assert!(unused.is_empty(), "{unused:?}");
}

#[test]
fn the_step_table_fits_a_hundred_columns_and_tells_every_step() {
    for (name, text) in files() {
        let checked = plan::check(&text);
        let table = plan::report::table(&checked);
        for line in table.lines() {
            assert!(line.chars().count() <= 100, "{name}: {line}");
        }
        let steps = checked.plan.unwrap().steps.len();
        for number in 1..=steps {
            let start = format!("{number:>3} ");
            assert!(
                table.lines().any(|line| line.starts_with(&start)),
                "{name} {number}"
            );
        }
        assert!(table.contains("= lost: scale"), "{table}");
    }
}

#[test]
fn a_byte_order_mark_and_the_line_ends_of_other_systems_change_nothing() {
    for (name, text) in files() {
        let (plain, _) = plan::read(&text).unwrap();
        let other = format!("\u{feff}{}", text.replace('\n', "\r\n"));
        let (marked, found) = plan::read(&other).unwrap();
        assert!(found.is_empty(), "{name}: {found:?}");
        assert_eq!(plain, marked, "{name}");
    }
}
