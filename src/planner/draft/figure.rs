//! The steps that make the figure: grooves, dimples, a twist, a turned block, and the plain frame.

use super::bench::{Bench, Say};
use super::covered;
use super::several::{self, TURN};
use super::shape::{Figure, Frame, Shape};
use super::sizes::{CRUSH_GRIND, LIGHT_SCALE};
use super::strokes::{crush, draw, grind, square, trim, weld};
use crate::billet::{Arrange, Faces, Groove, Hand, Move, Refusal};
use crate::plan::Pattern;
use crate::units::Mm;

/// Heats of small hot work. Common practice, no source.
pub(super) const SMALL_HEATS: u32 = 2;

/// Works the figure that the wish asks for.
pub(super) fn figure(bench: &mut Bench<'_>, shape: &Shape) -> Result<(), Refusal> {
    let scale = bench.allow.scale;
    let (width, thickness) = shape.patterned;
    match shape.figure {
        Figure::Flat => {
            let title = match bench.wish.goal.pattern {
                Pattern::ThreeLayer => "Draw out evenly from both faces",
                Pattern::Jacket => "Draw out to a strip",
                _ => "Draw out to the bar",
            };
            draw(bench, title, width, thickness, scale)?;
        }
        Figure::Ladder {
            thick,
            depth,
            width: groove,
            pitch,
            count,
        } => {
            draw(bench, "Draw to ladder thickness", width, thick, scale)?;
            bench.end_day("Measure cold and weigh.")?;
            let say = Say {
                title: Some("Cut the ladder".to_owned()),
                done: Some(format!(
                    "{count} a face, {} deep, staggered by half a pitch",
                    bench.say(depth)
                )),
                notes: vec!["Begin at the far end; the grooves of one face stand across from the lands of the other.".to_owned()],
                ..Say::default()
            };
            let made = Move::Groove {
                count,
                width: groove,
                depth,
                pitch,
                shape: Groove::Round,
            };
            bench.put(made, say)?;
            draw(
                bench,
                "Forge the ladder flat",
                width,
                thickness,
                LIGHT_SCALE,
            )?;
        }
        Figure::Raindrop {
            thick,
            depth,
            diameter,
            count,
        } => {
            draw(bench, "Draw to dimple thickness", width, thick, scale)?;
            bench.end_day("Measure cold and weigh.")?;
            let say = Say {
                title: Some("Drill the dimples".to_owned()),
                done: Some(format!("{count} a face, {} deep", bench.say(depth))),
                notes: vec![
                    "A dimple of one face stands between the dimples of the other.".to_owned(),
                ],
                ..Say::default()
            };
            let made = Move::Dimple {
                count,
                diameter,
                depth,
                pressed: false,
            };
            bench.put(made, say)?;
            draw(
                bench,
                "Forge the dimples flat",
                width,
                thickness,
                LIGHT_SCALE,
            )?;
        }
        Figure::Twist {
            side,
            squared,
            per_face,
        } => twisted(bench, side, squared, per_face, shape.patterned)?,
        Figure::Tiles(tiles) => covered::tiled(bench, &tiles)?,
        Figure::Rods(rods) => several::rods(bench, &rods, shape.patterned)?,
        Figure::Turned { side, crushed } => turned(bench, side, crushed, shape.patterned)?,
        Figure::Feather => {
            bench.put(Move::QuarterTurn, Say::default())?;
            let say = Say {
                title: Some("Split with the wedge".to_owned()),
                heats: SMALL_HEATS,
                window: Some(bench.windows.weld),
                done: Some("split down the middle from end to end".to_owned()),
                cautions: vec![
                    "Both halves go back together at once, clean and still hot.".to_owned(),
                ],
                ..Say::default()
            };
            bench.put(Move::Split { angle: 35.0 }, say)?;
            weld(bench, "Weld the halves")?;
            draw(bench, "Draw out to the bar", width, thickness, scale)?;
        }
    }
    bench.end_day("Measure cold, weigh, and write the length on the bar.")
}

fn twisted(
    bench: &mut Bench<'_>,
    side: Mm,
    squared: Mm,
    per_face: Mm,
    bar: (Mm, Mm),
) -> Result<(), Refusal> {
    let scale = bench.allow.scale;
    draw(bench, "Draw to a square", side, side, scale)?;
    trim(bench)?;
    let turns = (bench.billet.bar.length / (side * TURN) * 2.0)
        .floor()
        .max(1.0)
        / 2.0;
    let say = Say {
        title: Some("Twist".to_owned()),
        heats: SMALL_HEATS + 2,
        window: Some(bench.windows.draw),
        done: Some("turns even from end to end, no seam open".to_owned()),
        cautions: vec!["Stop when it goes dull: a cold twist shears the seams.".to_owned()],
        ..Say::default()
    };
    let twist = Move::Twist {
        turns,
        over: None,
        from: None,
        hand: Hand::Right,
    };
    bench.put(twist, say)?;
    let done = format!("{} square", bench.say(squared));
    square(
        bench,
        "Square the twist",
        (squared, squared),
        LIGHT_SCALE,
        SMALL_HEATS + 1,
        done,
    )?;
    bench.end_day("Look at all four sides for open seams.")?;
    grind(bench, per_face, Faces::Four)?;
    draw(bench, "Draw out to the bar", bar.0, bar.1, LIGHT_SCALE)
}

fn turned(bench: &mut Bench<'_>, side: Mm, crushed: Mm, bar: (Mm, Mm)) -> Result<(), Refusal> {
    let scale = bench.allow.scale;
    draw(bench, "Draw to a square", side, side, scale)?;
    crush(bench, crushed)?;
    bench.end_day("Mark the top and the front on the bar.")?;
    trim(bench)?;
    grind(bench, CRUSH_GRIND, Faces::Four)?;
    let kerf = bench.allow.kerf;
    let say = Say {
        done: Some("four pieces, top and front marked on each".to_owned()),
        ..Say::default()
    };
    let made = Move::Cut {
        pieces: 4,
        length: None,
        kerf,
        keep_rest: false,
    };
    bench.put(made, say)?;
    if bench.billet.bar.length < bench.allow.shortest {
        return Err(Refusal {
            what: format!(
                "four pieces of {} for the block",
                bench.say(bench.billet.bar.length)
            ),
            remedy: "take more metal".to_owned(),
            key: None,
        });
    }
    let say = Say {
        title: Some("Block two by two, turned".to_owned()),
        done: Some("the W's meet in mirror at both seams".to_owned()),
        cautions: vec!["One piece turned wrong breaks the row: lay all four out and look at the end before tacking.".to_owned()],
        ..Say::default()
    };
    let made = Move::Restack {
        arrange: Arrange::Block {
            columns: 2,
            rows: 2,
            turned: true,
        },
    };
    bench.put(made, say)?;
    weld(bench, "Weld the block")?;
    draw(bench, "Draw out to the bar", bar.0, bar.1, scale)
}

pub(super) fn framed(bench: &mut Bench<'_>, shape: &Shape, frame: &Frame) -> Result<(), Refusal> {
    let plain = bench.wish.plain_steel();
    let [long, most] = several::length(bench, shape, frame);
    let bars = several::sides(bench, frame, plain, [long, most])?;
    trim(bench)?;
    let per_face = bench.allow.grind;
    grind(bench, per_face, Faces::Four)?;
    let several = bars.iter().any(|bar| bar.as_plain().is_none());
    if several {
        several::cut_to(bench, long)?;
    }
    let title = if several {
        "Put the sides on"
    } else {
        "Put the plain bars on"
    };
    let say = Say {
        title: Some(title.to_owned()),
        done: Some(format!(
            "{} on the edge, {} on the spine; the edge side painted",
            bench.say(frame.edge),
            bench.say(frame.spine)
        )),
        cautions: vec!["Paint the edge side now: the two bars are not the same.".to_owned()],
        ..Say::default()
    };
    bench.put(Move::Frame { bars, fit: several }, say)?;
    weld(bench, "Weld the frame")?;
    let (width, thickness) = shape.bar;
    let heats = bench.draw_heats(width, thickness);
    let scale = bench.allow.scale;
    let done = format!("the frame even at both ends, within {}", bench.wish.even());
    square(
        bench,
        "Draw the framed bar on edge",
        (width, thickness),
        scale,
        heats,
        done,
    )?;
    bench.end_day("Measure the frame at both ends.")
}
