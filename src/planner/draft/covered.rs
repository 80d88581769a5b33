//! The steps that put a plain core in its cover: a folded jacket, or end-grain tiles on both faces.

use super::bench::{Bench, Say};
use super::cover::{Cover, Tiles};
use super::knife::annealing;
use super::sizes::{CRUSH_GRIND, LIGHT_SCALE, up};
use super::strokes::{WELD_HEATS, crush, draw, grind, square, trim, weld, weld_in};
use crate::billet::{Faces, FrameBar, Kind, Move, Piece, Refusal, Side, StackPiece, Tiling};
use crate::plan::{Pattern, PlanBar};
use crate::units::{Fraction, Mm};

/// The core as it is cut over what lies on it. Common practice, no source.
const LONGER: f64 = 1.05;
/// Upside down.
const OVERTURNED: u8 = 2;
/// Heats of a row's weld, which is thin and cools fast. Common practice, no source.
const ROW_HEATS: u32 = WELD_HEATS + 2;

/// A square crushed on its corner, drawn flat, cut to tiles, and the row welded and flattened.
pub(super) fn tiled(bench: &mut Bench<'_>, tiles: &Tiles) -> Result<(), Refusal> {
    let scale = bench.allow.scale;
    bench.name("tiles");
    draw(bench, "Draw to a square", tiles.side, tiles.side, scale)?;
    crush(bench, tiles.crushed)?;
    bench.end_day("Mark the top and the front on the bar.")?;
    trim(bench)?;
    grind(bench, CRUSH_GRIND, Faces::Four)?;
    let g = bench.allow.grind * 2.0;
    let to = (tiles.block.0 + g, tiles.block.1 + g);
    let heats = bench.draw_heats(to.0, to.1);
    let done = "one section from end to end: tiles that differ leave gaps".to_owned();
    square(bench, "Draw the block flat", to, LIGHT_SCALE, heats, done)?;
    let say = Say {
        notes: vec!["So that the saw goes through.".to_owned()],
        ..annealing(bench)
    };
    bench.put(
        Move::Anneal {
            scale: Fraction::from_percent(0.5),
        },
        say,
    )?;
    bench.end_day("")?;
    trim(bench)?;
    let per_face = bench.allow.grind;
    grind(bench, per_face, Faces::Four)?;
    bench.faces_go();
    slice(bench, tiles)?;
    weld_in(bench, "Weld the row", ROW_HEATS)?;
    let heats = bench.draw_heats(tiles.row.0, tiles.row.1);
    let done = "flat, the seams between the tiles closed on the face".to_owned();
    square(
        bench,
        "Flatten the row",
        tiles.row,
        LIGHT_SCALE,
        heats,
        done,
    )
}

fn slice(bench: &mut Bench<'_>, tiles: &Tiles) -> Result<(), Refusal> {
    let (thickness, backing) = (bench.say(tiles.thickness), tiles.backing);
    let plain = bench.wish.plain_steel();
    let say = Say {
        title: Some("Tiles in a row on plain steel".to_owned()),
        done: Some(format!(
            "{} of {thickness}, even within {}; no light between them",
            tiles.count,
            bench.wish.even()
        )),
        cautions: vec![
            "Number the tiles as they are sawn: every second one is turned over like a page."
                .to_owned(),
        ],
        ..Say::default()
    };
    let made = Move::Slice {
        tiles: tiles.count,
        thickness: tiles.thickness,
        lay: Tiling::Mirrored,
        backing: vec![FrameBar::plain(Side::Bottom, plain, backing)],
        kerf: bench.allow.kerf,
        keep_rest: true,
    };
    bench.put(made, say)
}

/// Puts the cover on a plain core, and draws both to the bar.
pub(super) fn covered(bench: &mut Bench<'_>, bar: (Mm, Mm), cover: &Cover) -> Result<(), Refusal> {
    let folds = bench.wish.goal.pattern == Pattern::Jacket;
    let name = if folds { "jacket" } else { "tiles" };
    bench.name(name);
    trim(bench)?;
    let per_face = bench.allow.grind;
    let faces = if folds { Faces::Four } else { Faces::Two };
    grind(bench, per_face, faces)?;
    let piece = |turns| Piece::Of {
        bar: name.to_owned(),
        turns,
    };
    let (with, title, done) = if folds {
        bench.faces_go();
        let done = "of one height at both ends and in the middle";
        (vec![piece(0)], "Fold the jacket over the spine", done)
    } else {
        cut_rows(bench)?;
        let done = "tiles outward on both faces";
        (
            vec![piece(0), piece(OVERTURNED)],
            "A row of tiles on each face",
            done,
        )
    };
    let long = bench.billet.bar.length;
    if long < bench.allow.shortest {
        return Err(Refusal {
            what: format!("a {name} of {}", bench.say(long)),
            remedy: "take more metal".to_owned(),
            key: None,
        });
    }
    let steel = bench.wish.plain_steel();
    let (width, thickness) = cover.core;
    bench.begin_bar(PlanBar {
        name: "core".to_owned(),
        width,
        // Trimmed to what lies on it.
        length: up(long * LONGER, bench.allow.mark),
        pieces: vec![StackPiece { steel, thickness }],
        ..PlanBar::default()
    });
    let say = Say {
        title: Some("Cut and clean the core".to_owned()),
        done: Some("bright on both faces and along the spine; the edge painted".to_owned()),
        ..Say::default()
    };
    bench.put(Move::Prepare, say)?;
    let row = Kind::Jacket.row();
    let say = Say {
        title: Some(title.to_owned()),
        heats: row.heats,
        window: Kind::Jacket.is_hot().then_some(bench.windows.weld),
        done: Some(format!("{} bare at the edge, {done}", bench.say(cover.bare))),
        cautions: folds
            .then(|| {
                format!(
                    "Fold it hot over a bar {} thick, clean the inside, then slide the core in to the bend.",
                    bench.say(thickness)
                )
            })
            .into_iter()
            .collect(),
        ..Say::default()
    };
    let made = Move::Jacket {
        with,
        bare: cover.bare,
        fit: true,
    };
    bench.put(made, say)?;
    if folds {
        // On tiles it is their ends that wear, and no layer is thinned.
        bench.covered();
    }
    let title = if folds {
        "Weld the jacket on"
    } else {
        "Weld both faces on"
    };
    weld(bench, title)?;
    let (width, thickness) = bar;
    let scale = bench.allow.scale;
    draw(bench, "Draw the blade bar", width, thickness, scale)?;
    bench.end_day("Look at both ends: the core in the middle, the bare edge of one height.")
}

/// One row for each face.
fn cut_rows(bench: &mut Bench<'_>) -> Result<(), Refusal> {
    let say = Say {
        title: Some("Cut to two faces".to_owned()),
        done: Some("two of one length".to_owned()),
        ..Say::default()
    };
    let made = Move::Cut {
        pieces: 2,
        length: None,
        kerf: bench.allow.kerf,
        keep_rest: false,
    };
    bench.put(made, say)
}
