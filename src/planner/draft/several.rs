//! Drafts of several bars: layered sides, plain bars from the shelf, and twisted rods side by side.

use super::bench::{Bench, Say};
use super::shape::{Frame, Rods};
use super::strokes::{draw, first, grind, square, trim, weld};
use super::wish::ShelfBar;
use crate::billet::{Faces, FrameBar, Hand, Lay, Move, Piece, Refusal, Side, StackPiece, SteelId};
use crate::plan::{HeatWindow, PlanBar};
use crate::units::{Fraction, Mm};

/// Metal of a side bar over what its sum needs. Common practice, no source.
const OVER: f64 = 1.06;
/// Scale of hot work that is no weld-and-draw, and heats of a twist. Common practice, no source.
const LIGHT_SCALE: Fraction = Fraction(0.02);
const TWIST_HEATS: u32 = 4;
/// Length that one full turn of a twist takes, in sides: 1.5 to 4. Common practice, no source.
pub(super) const TURN: f64 = 2.5;

/// What lies on the sides of a frame, from the inside out; the bars that are made for it are on the bench.
pub(super) fn sides(
    bench: &mut Bench<'_>,
    frame: &Frame,
    plain: SteelId,
) -> Result<Vec<FrameBar>, Refusal> {
    let main = bench.bar_in_hand();
    let long = bench.billet.bar.length - bench.allow.trim * 2.0;
    let long = long.floor_to(bench.allow.mark);
    let cover = frame.core.1;
    let mut laid = Vec::new();
    let mut made = Vec::new();
    for (side, name, layers) in [
        (Side::Spine, "spine-side", bench.wish.sides[0]),
        (Side::Edge, "edge-side", bench.wish.sides[1]),
    ] {
        if layers > 0 {
            layered(bench, name, layers, [cover, frame.layered, long])?;
            made.push(name.to_owned());
            laid.push(of(side, name, 1));
        }
    }
    for (side, thickness) in [(Side::Edge, frame.edge), (Side::Spine, frame.spine)] {
        match from_shelf(bench, plain, cover, thickness, long) {
            Some(piece) => {
                let name = format!("shelf-{}", piece.number);
                bench.begin_bar(shelf_bar(&piece, plain, &name));
                let g = bench.allow.grind * 2.0;
                let title = format!("Draw piece {} of the shelf to size", piece.number);
                draw(bench, &title, cover + g, thickness + g, LIGHT_SCALE)?;
                laid.push(of(side, &name, 1));
                made.push(name);
            }
            None => laid.push(FrameBar::plain(side, plain, thickness)),
        }
    }
    if !made.is_empty() {
        bench.end_day("Measure the bars side by side, cold.")?;
    }
    for name in made {
        bench.turn_to(&name);
        to_length(bench, long)?;
    }
    bench.turn_to(&main);
    Ok(laid)
}

fn of(side: Side, bar: &str, turns: u8) -> FrameBar {
    let bar = bar.to_owned();
    FrameBar {
        side,
        piece: Piece::Of { bar, turns },
    }
}

/// Trims the bar in hand, grinds it bright and cuts it to the length of those it goes with.
fn to_length(bench: &mut Bench<'_>, long: Mm) -> Result<(), Refusal> {
    trim(bench)?;
    let per_face = bench.allow.grind;
    grind(bench, per_face, Faces::Four)?;
    let say = Say {
        title: Some("Cut to length".to_owned()),
        done: Some(format!("as long as the core, {}", bench.say(long))),
        ..Say::default()
    };
    let made = Move::Cut {
        pieces: 1,
        length: Some(long),
        kerf: bench.allow.kerf,
        keep_rest: true,
    };
    bench.put(made, say)
}

/// A bar of so many layers, drawn to what is ground to a side: as high as the core, so thick, so long.
fn layered(
    bench: &mut Bench<'_>,
    name: &str,
    layers: u32,
    [cover, thick, long]: [Mm; 3],
) -> Result<(), Refusal> {
    let none = || Refusal {
        what: "no two bars in stock make the sides".to_owned(),
        remedy: "name two steels of one width".to_owned(),
        key: None,
    };
    let wish = bench.wish;
    let (outer, inner, width) = wish.pairs().into_iter().next().ok_or_else(none)?;
    let piece = |at: usize| {
        let bar = wish.rack.get(at)?;
        let steels = wish.steels();
        let steel = steels.iter().position(|one| one.key == bar.steel.key)?;
        Some(StackPiece {
            steel: SteelId::from_index(steel),
            thickness: bar.thickness,
        })
    };
    let pair = [
        piece(outer).ok_or_else(none)?,
        piece(inner).ok_or_else(none)?,
    ];
    let pieces: Vec<StackPiece> = pair.into_iter().cycle().take(layers as usize).collect();
    let height: Mm = pieces.iter().map(|piece| piece.thickness).sum();
    let g = bench.allow.grind * 2.0;
    let width = width.unwrap_or_else(|| super::shape::up(cover * 1.5, bench.allow.mark));
    let long = whole(bench, long);
    let scale = bench.allow.scale;
    let metal = (cover + g) * (thick + g) * long / (1.0 - scale.0);
    let length = super::shape::up(metal / (width * height), bench.allow.mark);
    bench.begin_bar(PlanBar {
        name: name.to_owned(),
        width,
        length: length.max(bench.allow.shortest),
        pieces,
        ..PlanBar::default()
    });
    first(bench, layers)?;
    weld(bench, "Weld the side")?;
    draw(bench, "Draw the side", cover + g, thick + g, scale)
}

/// Length that a bar is drawn to for that length: ends, a cut and a little over.
fn whole(bench: &Bench<'_>, long: Mm) -> Mm {
    (long + bench.allow.trim * 2.0 + bench.allow.kerf) * OVER
}

/// The plain piece on the shelf with the least metal that makes a bar of that size.
fn from_shelf(
    bench: &Bench<'_>,
    steel: SteelId,
    cover: Mm,
    thickness: Mm,
    long: Mm,
) -> Option<ShelfBar> {
    let g = bench.allow.grind * 2.0;
    let metal = (cover + g) * (thickness + g) * whole(bench, long);
    let needs = metal / (1.0 - LIGHT_SCALE.0);
    let steels = bench.wish.steels();
    let grade = &steels.get(steel.index())?.steel.grade;
    let taken = bench.takes();
    let mut fit: Vec<&ShelfBar> = bench
        .wish
        .shelf
        .iter()
        .filter(|piece| piece.grade == *grade && !taken.contains(&piece.number))
        // Drawing makes it longer, and never thicker.
        .filter(|piece| piece.metal() >= needs && piece.section() >= (cover + g) * (thickness + g))
        .collect();
    fit.sort_by(|a, b| a.metal().0.total_cmp(&b.metal().0));
    fit.first().map(|piece| (*piece).clone())
}

fn shelf_bar(piece: &ShelfBar, steel: SteelId, name: &str) -> PlanBar {
    let [width, thickness, length] = piece.size;
    PlanBar {
        name: name.to_owned(),
        width,
        length,
        pieces: vec![StackPiece { steel, thickness }],
        shelf: Some(piece.number),
        from: Some(piece.from.clone()),
        ..PlanBar::default()
    }
}

/// Rods side by side, hands by turns: two like bars, one twisted to the right and one to the left, each cut
/// to half of the rods.
pub(super) fn rods(bench: &mut Bench<'_>, rods: &Rods, core: (Mm, Mm)) -> Result<(), Refusal> {
    let scale = bench.allow.scale;
    let (side, squared) = (rods.side, rods.squared);
    bench.name("right");
    draw(bench, "Draw to a square", side, side, scale)?;
    trim(bench)?;
    let each = rods.count / 2;
    if each > 1 {
        let made = Move::Cut {
            pieces: each,
            length: None,
            kerf: bench.allow.kerf,
            keep_rest: false,
        };
        let say = Say {
            done: Some(format!("{each} rods of one length")),
            ..Say::default()
        };
        bench.put(made, say)?;
    }
    if bench.billet.bar.length < bench.allow.shortest {
        return Err(Refusal {
            what: format!("rods of {}", bench.say(bench.billet.bar.length)),
            remedy: "take more metal".to_owned(),
            key: None,
        });
    }
    let turns = (bench.billet.bar.length / (side * TURN) * 2.0)
        .floor()
        .max(1.0)
        / 2.0;
    let window = bench.windows.draw;
    twist(bench, turns, window)?;
    let done = format!("{} square", bench.say(squared));
    square(
        bench,
        "Square the rod",
        (squared, squared),
        LIGHT_SCALE,
        TWIST_HEATS,
        done,
    )?;
    bench.end_day("Look at all four sides of every rod for open seams.")?;
    grind(bench, rods.per_face, Faces::Four)?;
    bench.again_to_the_left("left");
    let with = (1..rods.count).map(|at| Piece::Of {
        bar: if at % 2 == 1 { "left" } else { "right" }.to_owned(),
        turns: 0,
    });
    let made = Move::Join {
        with: with.collect(),
        lay: Lay::Beside,
        fit: false,
    };
    let say = Say {
        title: Some(format!("{} rods side by side", rods.count)),
        done: Some("right, left by turns; ends flush".to_owned()),
        cautions: vec![
            "Lay all out and look along the faces before tacking: neighbours run against each other."
                .to_owned(),
        ],
        ..Say::default()
    };
    bench.put(made, say)?;
    weld(bench, "Weld the rods")?;
    let heats = bench.draw_heats(core.0, core.1);
    let done = "the rods of one width, their seams straight".to_owned();
    square(bench, "Flatten the core", core, scale, heats, done)
}

fn twist(bench: &mut Bench<'_>, turns: f64, window: HeatWindow) -> Result<(), Refusal> {
    let say = Say {
        title: Some("Twist".to_owned()),
        heats: TWIST_HEATS,
        window: Some(window),
        done: Some("turns even from end to end, no seam open".to_owned()),
        cautions: vec![
            "Stop when it goes dull: a cold twist shears the seams.".to_owned(),
            "All rods of this bar to the same hand.".to_owned(),
        ],
        ..Say::default()
    };
    let made = Move::Twist {
        turns,
        over: None,
        from: None,
        hand: Hand::Right,
    };
    bench.put(made, say)
}

#[cfg(test)]
mod tests;
