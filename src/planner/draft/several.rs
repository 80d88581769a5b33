//! Drafts of several bars: layered sides, plain bars from the shelf, and twisted rods side by side.

use super::bench::{Bench, Say};
use super::shape::{Frame, Rods, Shape};
use super::sizes::{LIGHT_SCALE, up};
use super::strokes::{draw, first, grind, square, trim, weld};
use super::wish::ShelfBar;
use crate::billet::{
    Faces, FrameBar, Hand, Kind, Lay, Move, Piece, Refusal, Side, StackPiece, SteelId,
};
use crate::plan::{HeatWindow, PlanBar};
use crate::units::{Mm, Mm3};

/// Metal of a side bar over what its sum needs. Common practice, no source.
const OVER: f64 = 1.06;
/// A stack of more than this many sides is cut before it is drawn to one. Common practice, no source.
const SPARE: f64 = 2.0;
/// Heats of a twist. Common practice, no source.
const TWIST_HEATS: u32 = 4;
/// Height of a stack over its width, at most. Common practice, no source.
const LEANS: f64 = 2.0;
/// Length that one full turn of a twist takes, in sides: 1.5 to 4. Common practice, no source.
pub(super) const TURN: f64 = 2.5;

/// How long the bars of a frame are: as long as the core comes out, and no longer than the blanks take, which is
/// given too. What is over of the core is kept.
pub(super) fn length(bench: &Bench<'_>, shape: &Shape, frame: &Frame) -> [Mm; 2] {
    let (wish, allow) = (bench.wish, &bench.allow);
    let there = (bench.billet.bar.length - allow.trim * 2.0).floor_to(allow.mark);
    let blanks = (shape.blank + allow.kerf) * f64::from(wish.goal.knives);
    let bar = blanks + (allow.trim + allow.mark) * 2.0;
    let sides = wish.sides.iter().filter(|layers| **layers > 0);
    let layered: Mm = sides.map(|_| frame.layered).sum();
    let width = frame.core.0 + frame.edge + frame.spine + layered;
    let metal = shape.bar.0 * shape.bar.1 * bar / (1.0 - allow.scale.0);
    let needs = metal / (width * frame.core.1) * (1.0 + wish.spare.0);
    let most = up(needs, allow.mark).max(allow.shortest);
    [there.min(most), most]
}

/// What lies on the sides of a frame, from the inside out; the bars that are made for it are on the bench.
pub(super) fn sides(
    bench: &mut Bench<'_>,
    frame: &Frame,
    plain: SteelId,
    [long, most]: [Mm; 2],
) -> Result<Vec<FrameBar>, Refusal> {
    let main = bench.bar_in_hand();
    let cover = frame.core.1;
    let mut laid = Vec::new();
    let mut made = Vec::new();
    for (side, name, layers) in [
        (Side::Spine, "spine-side", bench.wish.sides[0]),
        (Side::Edge, "edge-side", bench.wish.sides[1]),
    ] {
        if layers > 0 {
            layered(bench, name, layers, [cover, frame.layered, long, most])?;
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
    cut_to(bench, long)
}

/// Cuts the bar in hand to the length of those it goes with.
pub(super) fn cut_to(bench: &mut Bench<'_>, long: Mm) -> Result<(), Refusal> {
    let say = Say {
        title: Some("Cut to length".to_owned()),
        done: Some(format!("all of one length, {}", bench.say(long))),
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
    [cover, thick, long, most]: [Mm; 4],
) -> Result<(), Refusal> {
    let g = bench.allow.grind * 2.0;
    let scale = bench.allow.scale;
    let section = (cover + g) * (thick + g);
    let metal = section * whole(bench, long) / (1.0 - scale.0);
    let stacks = bench.wish.pairs().into_iter();
    let stacks = stacks.filter_map(|pair| Stack::of(bench, pair, layers, cover, metal));
    // Thinner than the side it cannot be: it is drawn out to it.
    let drawn =
        stacks.filter(|stack| stack.height > thick + g && stack.width * stack.height > section);
    let least = drawn.min_by(|a, b| a.metal().0.total_cmp(&b.metal().0));
    let Some(stack) = least else {
        return Err(Refusal {
            what: format!(
                "no stack of {layers} layers of this stock draws out to a side {} thick",
                bench.say(thick + g)
            ),
            remedy: "take more layers, or thicker bars".to_owned(),
            key: None,
        });
    };
    // The same way for every length of the core, so that the work does not depend on it.
    let takes = section * whole(bench, most) / (1.0 - LIGHT_SCALE.0);
    let spare = stack.metal() * (1.0 - scale.0) > takes * SPARE;
    // As long as can be held: a piece of that holds the side.
    let grown = (takes / (section * bench.allow.shortest)).sqrt();
    let first_to = [cover + g, thick + g].map(|size| up(size * grown, bench.allow.mark));
    let part = spare
        .then_some(first_to)
        .filter(|[_, high]| *high < stack.height);
    let (pieces, across) = (stack.pieces, stack.across);
    bench.begin_bar(PlanBar {
        name: name.to_owned(),
        width: stack.width,
        length: stack.length,
        pieces,
        ..PlanBar::default()
    });
    first(bench, layers)?;
    if let Some(stock) = across {
        let note = format!(
            "Cut {} off the {} stock for each piece: the width of the stock lies along this bar.",
            bench.say(stack.width),
            bench.say(stock)
        );
        bench.note_on(Kind::Prepare, note);
    }
    weld(bench, "Weld the side")?;
    let Some([wide, high]) = part else {
        return draw(bench, "Draw the side", cover + g, thick + g, scale);
    };
    draw(bench, "Draw the stack out", wide, high, scale)?;
    let own = section * whole(bench, long) / (1.0 - LIGHT_SCALE.0);
    let own = up(own / (wide * high), bench.allow.mark).max(bench.allow.shortest);
    let say = Say {
        title: Some("Cut off what the side takes".to_owned()),
        done: Some(format!("{} long; the rest kept", bench.say(own))),
        ..Say::default()
    };
    let made = Move::Cut {
        pieces: 1,
        length: Some(own),
        kerf: bench.allow.kerf,
        keep_rest: true,
    };
    bench.put(made, say)?;
    draw(bench, "Draw the side", cover + g, thick + g, LIGHT_SCALE)
}

/// The first stack of a side.
struct Stack {
    width: Mm,
    length: Mm,
    height: Mm,
    pieces: Vec<StackPiece>,
    /// Width of the stock, where that lies along the bar.
    across: Option<Mm>,
}

impl Stack {
    /// The least that a pair of bars makes, as long as can be held and no taller than twice its width.
    fn of(
        bench: &Bench<'_>,
        (outer, inner, stock): (usize, usize, Option<Mm>),
        layers: u32,
        cover: Mm,
        metal: Mm3,
    ) -> Option<Self> {
        let wish = bench.wish;
        let steels = wish.steels();
        let piece = |at: usize| {
            let bar = wish.rack.get(at)?;
            let steel = steels.iter().position(|one| one.key == bar.steel.key)?;
            Some(StackPiece {
                steel: SteelId::from_index(steel),
                thickness: bar.thickness,
            })
        };
        let pair = [piece(outer)?, piece(inner)?];
        let pieces: Vec<StackPiece> = pair.into_iter().cycle().take(layers as usize).collect();
        let height: Mm = pieces.iter().map(|piece| piece.thickness).sum();
        let (mark, shortest) = (bench.allow.mark, bench.allow.shortest);
        let up = |size: Mm| up(size, mark);
        let narrow = up((height / LEANS).max(Mm(1.0)));
        let width = stock.unwrap_or_else(|| up(cover * 1.5).max(narrow));
        let length = up(metal / (width * height));
        let (width, length, across) = match stock {
            _ if length >= shortest => (width, length, None),
            // Short pieces are laid the other way: what is cut off the stock is the bar's width.
            Some(stock) if stock >= shortest => {
                (up(metal / (stock * height)).max(narrow), stock, Some(stock))
            }
            Some(_) => (width, shortest, None),
            None => (up(metal / (shortest * height)).max(narrow), shortest, None),
        };
        Some(Self {
            width,
            length,
            height,
            pieces,
            across,
        })
    }

    fn metal(&self) -> Mm3 {
        self.width * self.height * self.length
    }
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
        fit: true,
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
