//! Carbon across the width of a bar of several, as the screen tells it after worked heats, against finite
//! volumes over the same logged courses: an edge bar on a layered core, and a layered side between core and edge.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::session::{EdgeCarbon, HeatRun};

use crate::common::Desk;
use crate::oracle::across::Across;

/// Iron and carbon alone: `A` 1.0 %, `B` 0.2 %, `F` 0.3 %.
fn text(bars: &str, steps: &str) -> String {
    format!(
        "title = \"Test\"\nunits = \"mm\"\n[goal]\npattern = \"straight\"\nbands = [1, 900]\n\
         [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n\
         [steels.A]\nc = 1.0\n[steels.B]\nc = 0.2\n[steels.F]\nc = 0.3\n\
         [shop]\nhand = true\nscale = \"0 %\"\nkerf = 0\nshortest = 1\n{bars}{steps}"
    )
}

fn welded(bar: &str) -> String {
    format!(
        "[[step]]\nkind = \"prepare\"\nbar = \"{bar}\"\n[[step]]\nkind = \"stack\"\n\
         [[step]]\nkind = \"weld\"\nheats = 1\nwindow = [\"1100 C\", \"1150 C\"]\nsoak = \"6 min\"\n"
    )
}

const LAST: &str =
    "[[step]]\nkind = \"weld\"\nheats = 3\nwindow = [\"1100 C\", \"1150 C\"]\nsoak = \"15 min\"\n";

/// A plan worked to its end: carbon at the edge then, and the trips to the fire.
fn worked(text: &str) -> (EdgeCarbon, Vec<HeatRun>) {
    let mut desk = Desk::on(text);
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    for _ in 0..desk.model.session.plan.steps.len() {
        desk.finish_step();
    }
    let course = desk.model.session.carbon_course(desk.now, &desk.cache);
    let last = course.last().unwrap().clone().unwrap();
    (
        last.edge.unwrap(),
        desk.model.session.heat_runs(desk.now, &desk.cache),
    )
}

/// Trips to the fire, each as seconds and C.
type Heats = Vec<Vec<(f64, f64)>>;

/// The heats of one step, as seconds and C.
fn heats(runs: &[HeatRun], place: usize) -> Heats {
    let own = runs.iter().filter(|run| run.place == place);
    own.map(|run| run.course.iter().map(|(at, hot)| (at.0, hot.0)).collect())
        .collect()
}

fn all(across: &mut Across, heats: &[Vec<(f64, f64)>], bare: bool) {
    for course in heats {
        across.heat(course, bare);
    }
}

/// What has come into the bar must agree to a part of itself.
fn agree(seen: f64, wanted: f64, start: f64, within: f64) {
    let (came, ought) = (seen - start, wanted - start);
    assert!(
        (came - ought).abs() < within * ought.abs().max(0.01),
        "{seen} {wanted} from {start}"
    );
}

// The core's layers of 2 mm meet the edge bar with their ends: a section of two axes, layer by layer. The program
// has the core as one even blend there.
#[test]
fn an_edge_bar_takes_from_a_layered_core_what_the_whole_section_says() {
    let bars = "[[bar]]\nname = \"core\"\nwidth = 20\nlength = 200\npieces = [\"A 2 mm\", \"B 2 mm\", \"A 2 mm\", \"B 2 mm\", \"A 2 mm\"]\n\
                [[bar]]\nname = \"edge\"\nwidth = 10\nlength = 200\npieces = [\"F 4 mm\"]\n";
    let steps = format!(
        "{}[[step]]\nkind = \"frame\"\nbar = \"core\"\nedge = \"edge turned\"\n{LAST}",
        welded("core")
    );
    let (edge, runs) = worked(&text(bars, &steps));
    let last = runs.iter().map(|run| run.place).max().unwrap();
    let first = heats(&runs, 2);
    let together = heats(&runs, last);
    assert_eq!((first.len(), together.len()), (1, 3));
    // The core's own weld, through its layers; then all of it, 6 mm of the core's width.
    let cell = 0.1;
    let mut through = Across::row(
        cell,
        &[(2.0, 1.0), (2.0, 0.2), (2.0, 1.0), (2.0, 0.2), (2.0, 1.0)],
    );
    all(&mut through, &first, false);
    let layers: Vec<f64> = through.columns.iter().map(|column| column[0]).collect();
    let mut whole = Across {
        cell,
        columns: (0..100)
            .map(|n| {
                if n < 40 {
                    vec![0.3; layers.len()]
                } else {
                    layers.clone()
                }
            })
            .collect(),
    };
    all(&mut whole, &together, false);
    agree(edge.bar.unwrap().high, whole.mean(0.0, 4.0), 0.3, 0.05);
    agree(edge.mean.high, whole.mean(0.0, 0.2), 0.3, 0.05);
    // Bare along one axis: the program tells the width alone, and of the core what its own weld has left it.
    let mut through = Across::row(
        0.05,
        &[(2.0, 1.0), (2.0, 0.2), (2.0, 1.0), (2.0, 0.2), (2.0, 1.0)],
    );
    all(&mut through, &first, true);
    let mut bare = Across::row(0.05, &[(4.0, 0.3), (20.0, through.mean(0.0, 10.0))]);
    all(&mut bare, &together, true);
    let told = edge.bar.unwrap().low;
    assert!(
        (told - bare.mean(0.0, 4.0)).abs() < 2e-3,
        "{told} {}",
        bare.mean(0.0, 4.0)
    );
}

/// A side of a rich and a poor layer between the core and a thin edge: which of them lies next to the edge says
/// how the side was turned.
fn with_side(turned: &str, thick: [f64; 2]) -> (EdgeCarbon, [Heats; 2]) {
    let [a, b] = thick;
    let bars = format!(
        "[[bar]]\nname = \"core\"\nwidth = 20\nlength = 200\npieces = [\"A 5 mm\", \"B 5 mm\"]\n\
         [[bar]]\nname = \"side\"\nwidth = 10\nlength = 200\npieces = [\"A {a} mm\", \"B {b} mm\"]\n"
    );
    let steps = format!(
        "{}{}[[step]]\nkind = \"frame\"\nbar = \"core\"\nedge = [\"side {turned}\", \"F 1.5 mm\"]\n{LAST}",
        welded("side"),
        welded("core")
    );
    let (edge, runs) = worked(&text(&bars, &steps));
    let last = runs.iter().map(|run| run.place).max().unwrap();
    (edge, [heats(&runs, 2), heats(&runs, last)])
}

#[test]
fn a_layered_side_passes_carbon_between_core_and_edge() {
    let mut bars = Vec::new();
    // A layer of 0.6 mm lets the core through.
    for thick in [[0.6, 0.6], [2.0, 0.8]] {
        for (turned, poor_first) in [("turned", true), ("turned flipped", false)] {
            let (edge, [own, together]) = with_side(turned, thick);
            assert_eq!((own.len(), together.len()), (1, 3));
            let cell = 0.05;
            let [a, b] = thick;
            // The side's own weld, then laid from the edge in: the face that was up lies to the edge when it is turned.
            let mut side = Across::row(cell, &[(a, 1.0), (b, 0.2)]);
            all(&mut side, &own, false);
            if poor_first {
                side.columns.reverse();
            }
            let mut row = Across::row(cell, &[(1.5, 0.3)]);
            row.columns.extend(side.columns);
            row.columns
                .extend(Across::row(cell, &[(20.0, 0.6)]).columns);
            all(&mut row, &together, false);
            agree(edge.bar.unwrap().high, row.mean(0.0, 1.5), 0.3, 0.03);
            agree(edge.mean.high, row.mean(0.0, 0.2), 0.3, 0.05);
            bars.push(edge.bar.unwrap().high);
        }
    }
    // The rich layer next to the edge gives it carbon, the poor one takes some.
    assert!(
        bars[1] > bars[0] + 0.03 && bars[3] > bars[2] + 0.1,
        "{bars:?}"
    );
}
