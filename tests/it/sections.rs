//! Whole plans of several bars by chance, written as text and read as a smith's would be: bars piled, abreast,
//! on edge, turned and flipped, frames with layered sides, jackets and tiles. After each step that puts metal
//! together the section is held against a grid of cells that was worked beside it.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a test"
)]

use std::collections::BTreeMap;

use anvilside::billet::{Billet, Side, StackPiece, SteelId};
use anvilside::pattern::{Chain, Hand};
use anvilside::plan;
use anvilside::units::Mm;

use crate::common::dice::Dice;
use crate::oracle::cells::Grid;

/// What must hold after a step.
enum Held {
    /// The section is these cells; the picture too, but where it bends a jacket round the spine.
    Section(Grid, bool),
    /// The section holds these cells' steels, in other places; the picture as above.
    Shares(Grid, bool),
    /// So many tiles of these cells lie in a row with their end grain up, mirrored by turns or not, on so much
    /// plain steel.
    Tiles(Grid, usize, bool, f64),
}

/// One bar of a plan that is being written.
struct Own {
    name: String,
    cells: Grid,
    /// Like pieces of it.
    pieces: usize,
    /// Other bars are laid on it, and some of them on its upper or lower face.
    laid: [bool; 2],
    /// A jacket is folded round a part of it.
    folded: bool,
    /// It has been piled again with bars on its faces: the tree shows these on the outside.
    moved: bool,
}

struct Written {
    head: String,
    steps: String,
    count: usize,
    held: BTreeMap<usize, Held>,
    /// Constructions by their word.
    kinds: BTreeMap<&'static str, usize>,
}

impl Written {
    fn step(&mut self, bar: &str, kind: &str, keys: &str) {
        self.steps += &format!("[[step]]\nkind = \"{kind}\"\nbar = \"{bar}\"\n{keys}");
        self.count += 1;
    }

    /// What holds after the last step.
    fn holds(&mut self, own: &Own) {
        let cells = own.cells.clone();
        let held = if own.moved {
            Held::Shares(cells, !own.folded)
        } else {
            Held::Section(cells, !own.folded)
        };
        self.held.insert(self.count - 1, held);
    }

    fn made(&mut self, kind: &'static str) {
        *self.kinds.entry(kind).or_default() += 1;
    }

    fn text(&self) -> String {
        format!("{}{}", self.head, self.steps)
    }
}

const LETTERS: [&str; 4] = ["A", "B", "C", "D"];

/// To a thousandth, as it is written.
fn rough(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

fn begin(dice: &mut Dice) -> (Written, Vec<Own>) {
    let mut out = Written {
        head: "title = \"By chance\"\nunits = \"mm\"\n[goal]\npattern = \"straight\"\nbands = [1, 900]\n\
             [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n\
             [steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\nC = \"SAE 1095\"\nD = \"SAE 1018\"\n\
             [shop]\nhand = true\nscale = \"0 %\"\nkerf = 1\ngrind = 0.5\nmark = 0.001\nshortest = 1\n"
            .to_owned(),
        steps: String::new(),
        count: 0,
        held: BTreeMap::new(),
        kinds: BTreeMap::new(),
    };
    let mut bars = Vec::new();
    for bar in 0..2 + dice.up_to(4) {
        let name = format!("bar-{bar}");
        let plain = dice.up_to(3) == 0;
        let count = if plain { 1 } else { 2 + dice.up_to(5) };
        let first = dice.up_to(4);
        let pieces: Vec<StackPiece> = (0..count)
            .map(|at| StackPiece {
                steel: SteelId(((first + at * (1 + dice.up_to(3))) % 4) as u8),
                thickness: Mm(rough(dice.between(1.0, 8.0))),
            })
            .collect();
        let width = rough(dice.between(20.0, 40.0));
        let listed: Vec<String> = pieces
            .iter()
            .map(|one| {
                format!(
                    "\"{} {} mm\"",
                    LETTERS[usize::from(one.steel.0)],
                    one.thickness.0
                )
            })
            .collect();
        out.head += &format!(
            "[[bar]]\nname = \"{name}\"\nwidth = {width}\nlength = 300\npieces = [{}]\n",
            listed.join(", ")
        );
        bars.push(Own {
            name,
            cells: Grid::stack(&pieces, width),
            pieces: 1,
            laid: [false; 2],
            folded: false,
            moved: false,
        });
    }
    for own in &mut bars {
        out.step(&own.name, "prepare", "");
        if !own.cells.is_plain() {
            out.step(&own.name, "stack", "");
            out.step(&own.name, "weld", "");
        }
        for _ in 0..dice.up_to(4) {
            work(&mut out, dice, own);
        }
        out.holds(own);
        match dice.up_to(4) {
            0 => again(&mut out, dice, own),
            1 => {
                own.pieces = 2 + dice.up_to(2);
                out.step(&own.name, "cut", &format!("pieces = {}\n", own.pieces));
            }
            _ => {}
        }
    }
    (out, bars)
}

/// Work that keeps a bar a bar.
fn work(out: &mut Written, dice: &mut Dice, own: &mut Own) {
    let [w, t] = own.cells.size();
    match dice.up_to(3) {
        0 => {
            let to = [
                rough(w * dice.between(0.7, 1.3)),
                rough(t * dice.between(0.6, 1.3)),
            ];
            let keys = format!(
                "width = {}\nthickness = {}\nscale = \"0 %\"\n",
                to[0], to[1]
            );
            out.step(&own.name, "square", &keys);
            own.cells.to(to);
        }
        1 => {
            let off = rough(dice.between(0.0, 0.06) * w.min(t));
            let four = dice.up_to(2) == 0;
            let faces = if four { "four" } else { "two" };
            out.step(
                &own.name,
                "grind",
                &format!("per-face = {off}\nfaces = \"{faces}\"\n"),
            );
            own.cells.off(if four { off } else { 0.0 }, off);
        }
        _ => {
            out.step(&own.name, "quarter-turn", "");
            own.cells = own.cells.turned();
            own.laid[1] |= own.laid[0];
        }
    }
}

/// Cut and piled again, or set to a block of like pieces.
fn again(out: &mut Written, dice: &mut Dice, own: &mut Own) {
    let [columns, rows] = [1 + dice.up_to(3), 2 + dice.up_to(2)];
    let how = dice.up_to(3);
    let [columns, rows] = if how == 2 { [columns, rows] } else { [1, rows] };
    out.step(&own.name, "cut", &format!("pieces = {}\n", columns * rows));
    let keys = match how {
        0 => String::new(),
        1 => "arrange = \"flipped\"\n".to_owned(),
        _ => format!("arrange = \"block\"\ncolumns = {columns}\nrows = {rows}\n"),
    };
    out.step(&own.name, "restack", &keys);
    own.moved |= own.laid[1] || (columns > 1 && own.laid[0]);
    let piece = own.cells.clone();
    // What is turned over keeps its edge where it was: it is turned end for end.
    let over = piece.over();
    let row = |piece: &Grid| (1..columns).fold(piece.clone(), |all, _| all.beside(piece));
    let flips = how == 1;
    own.cells = (1..rows).fold(row(&piece), |all, at| {
        all.under(&row(if flips && at % 2 == 1 { &over } else { &piece }))
    });
    out.made("restack");
    out.step(&own.name, "weld", "");
    out.holds(own);
}

/// A piece of a bar as it is named, and its cells as they are laid.
fn laid(dice: &mut Dice, own: &Own) -> (String, Grid) {
    let (words, cells) = match dice.up_to(4) {
        0 => ("", own.cells.clone()),
        1 => (" turned", own.cells.turned()),
        2 => (" flipped", own.cells.flipped()),
        _ => (" turned flipped", own.cells.flipped().turned()),
    };
    (format!("{}{words}", own.name), cells)
}

fn join(out: &mut Written, dice: &mut Dice, core: &mut Own, others: &mut Vec<Own>) {
    let (beside, side) = match dice.up_to(2) {
        0 => ("beside", Side::Spine),
        _ => ("pile", Side::Top),
    };
    let mut with = Vec::new();
    let mut cells = core.cells.clone();
    let own = cells.size()[0];
    let deep = others.iter().any(|other| other.laid[0])
        || core.laid[1]
        || (core.laid[0] && core.pieces > 1);
    core.laid = [true, deep || side == Side::Top];
    core.folded |= others.iter().any(|other| other.folded);
    let mut put = |name: String, on: Grid| {
        let covers = if side == Side::Top {
            own
        } else {
            cells.size()[1]
        };
        let flat = side == Side::Top;
        let [w, t] = on.size();
        let fits = if flat { t } else { w };
        if fits < 0.05 {
            return;
        }
        cells = cells.lay(side, &on.fitted(covers, flat));
        with.push(format!("\"{name}\""));
    };
    for other in others.iter() {
        for _ in 0..other.pieces {
            let (name, on) = laid(dice, other);
            put(name, on);
        }
    }
    for _ in 1..core.pieces {
        let (name, on) = laid(dice, core);
        put(name, on);
    }
    others.clear();
    core.pieces = 1;
    core.cells = cells;
    let keys = format!(
        "with = [{}]\nlay = \"{beside}\"\nfit = true\n",
        with.join(", ")
    );
    out.step(&core.name, "join", &keys);
    out.made(if side == Side::Top { "pile" } else { "beside" });
}

/// What is named on a side: a bar as it is laid, or plain steel of a thickness.
type Listed = (String, Option<Grid>, f64, SteelId);

fn frame(out: &mut Written, dice: &mut Dice, core: &mut Own, others: &mut Vec<Own>) {
    let sides = [Side::Bottom, Side::Top, Side::Edge, Side::Spine];
    let mut lists: BTreeMap<usize, Vec<Listed>> = BTreeMap::new();
    for other in others.iter() {
        for _ in 0..other.pieces {
            let (name, on) = laid(dice, other);
            lists
                .entry(dice.up_to(4))
                .or_default()
                .push((name, Some(on), 0.0, SteelId(0)));
        }
    }
    for _ in 0..dice.up_to(3) {
        let (thick, steel) = (rough(dice.between(1.0, 9.0)), dice.up_to(4));
        let name = format!("{} {thick} mm", LETTERS[steel]);
        // On a face of a bar that has edge bars already, plain steel runs between them.
        let side = 2 + dice.up_to(2);
        lists
            .entry(side)
            .or_default()
            .push((name, None, thick, SteelId(steel as u8)));
    }
    let own = core.cells.size()[0];
    let mut keys = "fit = true\n".to_owned();
    for (at, side) in sides.into_iter().enumerate() {
        let Some(list) = lists.get(&at) else { continue };
        let flat = at < 2;
        let covers = if flat { own } else { core.cells.size()[1] };
        for (_, on, thick, steel) in list {
            let on = match on {
                Some(on) => on.fitted(covers, flat),
                None => {
                    let piece = StackPiece {
                        steel: *steel,
                        thickness: Mm(*thick),
                    };
                    let on = Grid::stack(&[piece], covers);
                    if flat { on } else { on.turned() }
                }
            };
            core.cells = core.cells.lay(side, &on);
        }
        let names: Vec<String> = list.iter().map(|one| format!("\"{}\"", one.0)).collect();
        keys += &format!("{} = [{}]\n", side.word(), names.join(", "));
    }
    let deep = others.iter().any(|other| other.laid[0]) || core.laid[1];
    core.folded |= others.iter().any(|other| other.folded);
    core.laid = [
        true,
        deep || lists.contains_key(&0) || lists.contains_key(&1),
    ];
    others.clear();
    out.step(&core.name, "frame", &keys);
    out.made("frame");
}

/// A plain core in a jacket of one bar or two.
fn jacket(out: &mut Written, dice: &mut Dice, core: &mut Own, others: &mut Vec<Own>) {
    let [w, t] = core.cells.size();
    let bare = rough(w * dice.between(0.1, 0.5));
    let covered = w - bare;
    let fold = others.len() == 1 || dice.up_to(2) == 0;
    core.folded |= fold || others.iter().any(|other| other.folded);
    let with = others.drain(..if fold { 1 } else { 2 });
    let with: Vec<(String, Grid)> = with.map(|other| laid(dice, &other)).collect();
    let body = core.cells.part(0.0, covered);
    let whole = if fold {
        let on = with[0]
            .1
            .fitted(2.0 * covered + t + 2.0 * with[0].1.size()[1], true);
        // Its metal goes round: by the root of the square equation of its thickness.
        let [has, high] = on.size();
        let round = 2.0 * covered + t;
        let thick = ((round * round + 8.0 * has * high).sqrt() - round) / 4.0;
        let mut on = on;
        on.to([round + 2.0 * thick, thick]);
        let wide = on.size()[0];
        let spine = on.part(covered, wide - covered).turned().turned().turned();
        on.part(wide - covered, wide)
            .flipped()
            .under(&body)
            .under(&on.part(0.0, covered))
            .beside(&spine)
    } else {
        let [top, bottom] = [&with[0].1, &with[1].1].map(|on| on.fitted(covered, true));
        bottom.under(&body).under(&top)
    };
    let thick = whole.size()[1];
    let mut edge = core.cells.part(0.0, bare);
    edge.to([bare * t / thick, thick]);
    core.cells = edge.beside(&whole);
    core.laid = [true; 2];
    let names: Vec<String> = with.iter().map(|one| format!("\"{}\"", one.0)).collect();
    let keys = format!("with = [{}]\nbare = {bare}\nfit = true\n", names.join(", "));
    out.step(&core.name, "jacket", &keys);
    out.made(if fold {
        "jacket folded"
    } else {
        "jacket of two"
    });
}

/// Tiles of the bar in a row, on plain steel or on nothing.
fn slice(out: &mut Written, dice: &mut Dice, own: &Own) {
    let mirrored = dice.up_to(2) == 0;
    let lay = if mirrored { "mirrored" } else { "alike" };
    let tiles = 2 + dice.up_to(4);
    let mut keys = format!("tiles = {tiles}\nthickness = 6\nlay = \"{lay}\"\n");
    let backing = if dice.up_to(2) == 0 {
        rough(dice.between(1.0, 4.0))
    } else {
        0.0
    };
    if backing > 0.0 {
        keys += &format!("backing = \"C {backing} mm\"\n");
    }
    out.step(&own.name, "slice", &keys);
    out.made("tiles");
    if !own.moved && !own.folded {
        let held = Held::Tiles(own.cells.clone(), tiles, mirrored, backing);
        out.held.insert(out.count - 1, held);
    }
}

/// A plan by chance; the number of its last bars is one, or they stay as they are.
fn plan_by_chance(dice: &mut Dice) -> Written {
    let (mut out, mut free) = begin(dice);
    while free.len() > 1 {
        let plain = free
            .iter()
            .position(|own| own.cells.is_plain() && own.pieces == 1);
        let at = match plain {
            Some(at) if dice.up_to(2) == 0 => at,
            _ => dice.up_to(free.len()),
        };
        let mut core = free.remove(at);
        let some = 1 + dice.up_to(free.len());
        let mut others: Vec<Own> = free.drain(..some).collect();
        let wraps = core.cells.is_plain() && core.pieces == 1;
        if wraps && dice.up_to(4) > 0 {
            jacket(&mut out, dice, &mut core, &mut others);
        } else if core.pieces > 1 || dice.up_to(2) == 0 {
            join(&mut out, dice, &mut core, &mut others);
        } else {
            frame(&mut out, dice, &mut core, &mut others);
        }
        out.holds(&core);
        out.step(&core.name, "weld", "");
        for _ in 0..dice.up_to(4) {
            work(&mut out, dice, &mut core);
            out.holds(&core);
        }
        free.extend(others);
        free.push(core);
    }
    let mut last = free.remove(0);
    if last.pieces == 1 {
        match dice.up_to(3) {
            0 => slice(&mut out, dice, &last),
            1 => {
                // Bars that lie on its faces lie between the pieces then.
                again(&mut out, dice, &mut last);
            }
            _ => {}
        }
    }
    out
}

/// Steels by their part of the section, members' borders and counts along lines, and the picture.
fn section(dice: &mut Dice, metal: &Billet, cells: &Grid, what: &str) {
    let bar = &metal.bar;
    let [w, t] = cells.size();
    shares(metal, cells, what);
    let close = |a: f64, b: f64| (a - b).abs() < 1e-6 * w.max(t);
    let met = |layers: &anvilside::billet::Layers| -> Vec<(SteelId, f64)> {
        layers
            .bands_from(Mm::ZERO)
            .map(|band| (band.steel, band.to.0))
            .collect()
    };
    let same = |seen: &[(SteelId, f64)], wanted: &[(SteelId, f64)], line: &str| {
        let alike = seen.len() == wanted.len()
            && seen
                .iter()
                .zip(wanted)
                .all(|(a, b)| a.0 == b.0 && close(a.1, b.1));
        assert!(alike, "{what}, {line}:\n{seen:?}\n{wanted:?}");
    };
    let turned = cells.turned();
    for _ in 0..25 {
        let (y, z) = (w * dice.next(), t * dice.next());
        if !cells.clear(y, z) {
            continue;
        }
        same(
            &met(&bar.through(Mm(y))),
            &cells.line(y),
            &format!("through at {y}"),
        );
        // Turned on its side, the face that was up lies to the edge.
        same(
            &met(&bar.across(Mm(z))),
            &turned.line(t - z),
            &format!("across at {z}"),
        );
        let wanted = Some(cells.steel(y, z));
        assert_eq!(
            bar.steel_at(Mm(y), Mm(z)),
            wanted,
            "{what}: {y} {z} of {w} {t}"
        );
    }
}

fn picture(dice: &mut Dice, metal: &Billet, cells: &Grid, (seen, what): (bool, &str)) {
    if !seen {
        return;
    }
    let [w, t] = cells.size();
    let chain = Chain::new(&metal.first, &metal.history, Hand::ruled());
    for _ in 0..25 {
        let (y, z) = (w * dice.next(), t * dice.next());
        if !cells.clear(y, z) {
            continue;
        }
        let seen = chain.steel_at(Mm(1.0), Mm(y - 0.5 * w), Mm(z - 0.5 * t));
        assert_eq!(
            seen,
            Some(cells.steel(y, z)),
            "{what}: picture at {y} {z} of {w} {t}"
        );
    }
}

fn shares(metal: &Billet, cells: &Grid, what: &str) {
    let [w, t] = cells.size();
    let bar = &metal.bar;
    assert!(
        (bar.width.0 - w).abs() < 1e-6 * w,
        "{what}: width {} {w}",
        bar.width.0
    );
    assert!(
        (bar.thickness.0 - t).abs() < 1e-6 * t,
        "{what}: thickness {} {t}",
        bar.thickness.0
    );
    for steel in (0..4).map(SteelId) {
        let share = bar.area_of(steel).0 / (w * t);
        let wanted = cells.share(steel);
        assert!(
            (share - wanted).abs() < 1e-7,
            "{what}: {steel:?} {share} {wanted}"
        );
    }
}

/// The end grain lies up on every tile; what was the thickness of the bar lies along the row.
fn tiles(
    dice: &mut Dice,
    metal: &Billet,
    cells: &Grid,
    (count, mirrored, backing): (usize, bool, f64),
    what: &str,
) {
    let [w, t] = cells.size();
    let bar = &metal.bar;
    let long = t * count as f64;
    let sizes = [bar.width.0, bar.thickness.0, bar.length.0];
    for (has, wanted) in sizes.into_iter().zip([w, 6.0 + backing, long]) {
        assert!((has - wanted).abs() < 1e-6 * wanted, "{what}: {sizes:?}");
    }
    for steel in (0..4).map(SteelId) {
        let plain = if steel.0 == 2 {
            w * backing * long
        } else {
            0.0
        };
        let wanted = cells.share(steel) * w * 6.0 * long + plain;
        let has = metal.volume_of(steel).0;
        assert!(
            (has - wanted).abs() < 1e-6 * w * 6.0 * long,
            "{what}: {steel:?} {has} {wanted}"
        );
    }
    let chain = Chain::new(&metal.first, &metal.history, Hand::ruled());
    for _ in 0..25 {
        let (y, z) = (w * dice.next(), t * dice.next());
        let tile = dice.up_to(count);
        if !cells.clear(y, z) {
            continue;
        }
        let turned_over = mirrored && tile % 2 == 1;
        let along = if turned_over { z } else { t - z };
        let x = tile as f64 * t + along;
        let up = 0.5 * backing + dice.between(-2.9, 2.9);
        let seen = chain.steel_at(Mm(x), Mm(y - 0.5 * w), Mm(up));
        assert_eq!(
            seen,
            Some(cells.steel(y, z)),
            "{what}: tile {tile} at {y} {z}"
        );
        if backing > 0.1 {
            let low = -0.5 * (6.0 + backing) + 0.5 * backing;
            assert_eq!(
                chain.steel_at(Mm(x), Mm(y - 0.5 * w), Mm(low)),
                Some(SteelId(2))
            );
        }
    }
}

#[test]
fn three_hundred_plans_of_several_bars_are_their_cells() {
    let mut dice = Dice(40_961);
    let (mut whole, mut held) = (0, 0);
    let mut kinds: BTreeMap<&'static str, usize> = BTreeMap::new();
    let mut refused: BTreeMap<String, usize> = BTreeMap::new();
    while whole < 300 {
        let written = plan_by_chance(&mut dice);
        let text = written.text();
        let (plan, _) = plan::read(&text).unwrap_or_else(|found| panic!("{found:?}\n{text}"));
        assert_eq!(plan.steps.len(), written.count);
        let walk = plan::dry_run(&plan, 0, &plan.first_billet());
        for (at, must) in &written.held {
            let Some(row) = walk.rows.get(*at) else {
                continue;
            };
            held += 1;
            let metal = &row.billet;
            let what = format!("plan {whole}, step {at}\n{text}");
            match must {
                Held::Section(cells, seen) => {
                    section(&mut dice, metal, cells, &what);
                    picture(&mut dice, metal, cells, (*seen, &what));
                }
                Held::Shares(cells, seen) => {
                    shares(metal, cells, &what);
                    picture(&mut dice, metal, cells, (*seen, &what));
                }
                Held::Tiles(cells, count, mirrored, backing) => {
                    tiles(
                        &mut dice,
                        metal,
                        cells,
                        (*count, *mirrored, *backing),
                        &what,
                    );
                }
            }
            let there: f64 = metal.whole().iter().map(|volume| volume.0).sum();
            assert!(
                (metal.balance().left().0 - there).abs() < 1e-6 * there,
                "{what}"
            );
        }
        if walk.rows.len() == plan.steps.len() {
            whole += 1;
            for (kind, count) in &written.kinds {
                *kinds.entry(kind).or_default() += count;
            }
        } else {
            // Far larger than what it lies on: the grind would take it whole.
            let why = walk
                .found
                .iter()
                .find(|one| one.level == plan::Level::Error)
                .unwrap();
            *refused.entry(why.what.clone()).or_default() += 1;
        }
    }
    assert!(
        kinds.len() >= 7 && kinds.values().all(|count| *count > 30),
        "{kinds:?}"
    );
    let refused_in_all: usize = refused.values().sum();
    assert!(
        held > 2_500 && refused_in_all < 60,
        "{held} held, {refused:?}"
    );
}
