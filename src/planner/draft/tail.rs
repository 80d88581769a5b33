//! The steps from the last pile to the finished knife, the same for every candidate of a wish.

use super::bench::{Bench, Say};
use super::knife::{blanks, finish, forge};
use super::pace::Pace;
use super::shape::{CRUSH_GRIND, Figure, Frame, Shape};
use super::windows::{Windows, weld_soak};
use super::wish::Wish;
use crate::billet::{Arrange, Faces, FrameBar, Groove, Kind, Move, Refusal, Side, Sizes, SteelId};
use crate::plan::Pattern;
use crate::units::{Fraction, Mm, Mm3};

/// Heats of a weld, and of small hot work. Common practice, no source.
pub(super) const WELD_HEATS: u32 = 4;
const CRUSH_HEATS: u32 = 4;
const SMALL_HEATS: u32 = 2;
/// Scale of hot work that is no weld-and-draw. Common practice, no source.
const LIGHT_SCALE: Fraction = Fraction(0.02);
/// Length that one full turn of a twist takes, in sides: 1.5 to 4. Common practice, no source.
const TURN: f64 = 2.5;
/// How often the metal is doubled before the steps are given up.
const DOUBLINGS: u32 = 10;

/// What the search must know of the steps behind the last pile.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tail {
    /// Least metal in the last pile, with the spare.
    pub(super) least: Mm3,
    /// Least metal without the spare.
    pub(super) bare: Mm3,
    /// Most metal before a bar gets longer than the forge heats; infinite without a limit.
    pub(super) most: f64,
    /// Section that the pile is drawn to first.
    pub(super) first: (Mm, Mm),
    /// Welds in it, the pile's own counted.
    pub(super) welds: u32,
    /// Minutes, the first draw left out.
    pub(super) minutes: f64,
    /// Bands seen over bands of the pile.
    pub(super) multiplies: u64,
    /// Core thickness and what a grind takes off each face of it before a frame goes on.
    pub(super) skinned: Option<(Mm, Mm)>,
    /// Thickness of the finished bar's core, which the bands share.
    pub(super) core: Mm,
    /// Plain bar added per metal of the pile, mm3 per mm3.
    pub(super) added: f64,
    /// Width and thickness of every bar that is worked, the pile itself left out.
    pub(super) worked: Vec<(Mm, Mm)>,
}

/// Puts the steps on the bench. The pile lies there, not welded.
pub(super) fn run(bench: &mut Bench<'_>, shape: &Shape) -> Result<(), Refusal> {
    weld(bench, "Last weld")?;
    figure(bench, shape)?;
    if let Some(frame) = &shape.frame {
        framed(bench, shape, frame)?;
    }
    blanks(bench, shape)?;
    if bench.wish.forged {
        forge(bench)?;
    }
    finish(bench)
}

impl Tail {
    /// Asks the bench how much metal the steps take.
    ///
    /// Refused when no amount will do.
    pub(super) fn of(
        wish: &Wish,
        windows: Windows,
        pace: &Pace,
        shape: &Shape,
    ) -> Result<Self, Refusal> {
        let at_least = shape.first().1.max(shape.first().0);
        let with = |metal: f64| {
            let mut bench = Bench::pile(wish, windows, pace, Mm3(metal), at_least);
            run(&mut bench, shape).map(|()| bench)
        };
        // The bar that the blanks alone are, and twice that until the steps go through.
        let (width, thickness) = shape.bar;
        let mut plenty = (width * thickness * shape.blank).0 * f64::from(wish.goal.knives);
        let mut tries = 0;
        let mut first: Option<Refusal> = None;
        while let Err(refusal) = with(plenty) {
            tries += 1;
            let first = first.get_or_insert(refusal);
            if tries > DOUBLINGS {
                // with too much metal a bar only gets too long
                return Err(first.clone());
            }
            plenty *= 2.0;
        }
        let bare = lowest(plenty, |metal| with(metal).is_ok());
        let least = bare * (1.0 + wish.spare.0);
        let bench = with(least)?;
        let most = match wish.shop.allowances.longest {
            None => f64::INFINITY,
            Some(longest) => {
                let fits = |metal: f64| with(metal).is_ok_and(|bench| bench.longest <= longest);
                if !fits(bare) {
                    // Too long however little metal there is.
                    bare
                } else {
                    highest(bare, bare * 64.0, fits)
                }
            }
        };
        let first = bench.steps.iter().find(|step| step.kind() == Kind::Draw);
        let drawn = first.map_or(0.0, |step| pace.hot(Kind::Draw, step.heats));
        let added = bench.billet.ledger.added.0 / least;
        let allow = &wish.shop.allowances;
        Ok(Self {
            least: Mm3(least),
            bare: Mm3(bare),
            most,
            first: shape.first(),
            welds: bench.welds,
            minutes: bench.minutes - drawn,
            multiplies: shape.multiplies(),
            skinned: (shape.frame.is_some() && is_flat(shape.figure))
                .then_some((shape.patterned.1, allow.grind)),
            core: match shape.figure {
                // The layers stand on edge.
                Figure::Feather => shape.bar.0,
                _ => shape.bar.1,
            },
            added,
            worked: bench.worked,
        })
    }
}

/// True while a flat grind takes whole layers.
fn is_flat(figure: Figure) -> bool {
    matches!(
        figure,
        Figure::Flat | Figure::Ladder { .. } | Figure::Raindrop { .. }
    )
}

/// The least of what is good, when all above it is good too.
fn lowest(good: f64, is_good: impl Fn(f64) -> bool) -> f64 {
    let (mut bad, mut good) = (0.0, good);
    for _ in 0..60 {
        let middle = f64::midpoint(bad, good);
        if is_good(middle) {
            good = middle;
        } else {
            bad = middle;
        }
        if good - bad < 1.0 {
            break;
        }
    }
    good
}

/// The most of what is good, when all below it is good too.
fn highest(good: f64, bad: f64, is_good: impl Fn(f64) -> bool) -> f64 {
    if is_good(bad) {
        return f64::INFINITY;
    }
    let (mut good, mut bad) = (good, bad);
    while bad - good > 1.0 {
        let middle = f64::midpoint(bad, good);
        if is_good(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

pub(super) fn to(width: Mm, thickness: Mm) -> Sizes {
    Sizes {
        width: Some(width),
        thickness: Some(thickness),
        length: None,
    }
}

/// Sets a weld on the pile that lies there.
pub(super) fn weld(bench: &mut Bench<'_>, title: &str) -> Result<(), Refusal> {
    let height = bench.billet.bar.thickness;
    let say = Say {
        title: Some(title.to_owned()),
        heats: WELD_HEATS,
        window: Some(bench.windows.weld),
        soak: Some(weld_soak(height)),
        done: Some("no dark line when it is heated again".to_owned()),
        ..Say::default()
    };
    let made = Move::Weld {
        to: Sizes::default(),
        scale: Fraction::ZERO,
    };
    bench.put(made, say)
}

/// Draws out to a section.
pub(super) fn draw(
    bench: &mut Bench<'_>,
    title: &str,
    width: Mm,
    thickness: Mm,
    scale: Fraction,
) -> Result<(), Refusal> {
    let units = bench.wish.units;
    let say = Say {
        title: Some(title.to_owned()),
        heats: bench.draw_heats(width, thickness),
        window: Some(bench.windows.draw),
        done: Some(format!(
            "{} x {}, even the whole length",
            units.length_bare(width),
            units.length(thickness)
        )),
        ..Say::default()
    };
    let made = Move::Draw {
        to: to(width, thickness),
        scale,
    };
    bench.put(made, say)
}

fn square(
    bench: &mut Bench<'_>,
    title: &str,
    (width, thickness): (Mm, Mm),
    scale: Fraction,
    heats: u32,
    done: String,
) -> Result<(), Refusal> {
    let say = Say {
        title: Some(title.to_owned()),
        heats,
        window: Some(bench.windows.draw),
        done: Some(done),
        ..Say::default()
    };
    let made = Move::Square {
        to: to(width, thickness),
        scale,
    };
    bench.put(made, say)
}

pub(super) fn trim(bench: &mut Bench<'_>) -> Result<(), Refusal> {
    let ends = [bench.allow.trim; 2];
    let say = Say {
        done: Some("both ends ring clear and show no open seam".to_owned()),
        ..Say::default()
    };
    bench.put(Move::Trim { ends }, say)
}

pub(super) fn grind(bench: &mut Bench<'_>, per_face: Mm, faces: Faces) -> Result<(), Refusal> {
    let say = Say {
        done: Some("bright, no pits, faces parallel".to_owned()),
        ..Say::default()
    };
    bench.put(Move::Grind { per_face, faces }, say)
}

fn figure(bench: &mut Bench<'_>, shape: &Shape) -> Result<(), Refusal> {
    let scale = bench.allow.scale;
    let (width, thickness) = shape.patterned;
    match shape.figure {
        Figure::Flat => {
            let title = match bench.wish.goal.pattern {
                Pattern::ThreeLayer => "Draw out evenly from both faces",
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
    bench.put(Move::Twist { turns, over: None }, say)?;
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
    let say = Say {
        title: Some("Crush on the corner".to_owned()),
        heats: CRUSH_HEATS,
        window: Some(bench.windows.draw),
        done: Some("a new square; one W across the end".to_owned()),
        cautions: vec!["Keep it bright: a cold corner opens the seams.".to_owned()],
        ..Say::default()
    };
    let made = Move::CornerCrush {
        to: to(crushed, crushed),
        scale: LIGHT_SCALE,
    };
    bench.put(made, say)?;
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

fn framed(bench: &mut Bench<'_>, shape: &Shape, frame: &Frame) -> Result<(), Refusal> {
    trim(bench)?;
    let per_face = bench.allow.grind;
    grind(bench, per_face, Faces::Four)?;
    let plain = plain_steel(bench.wish);
    let bar = |side, thickness| FrameBar {
        side,
        steel: plain,
        thickness,
    };
    let say = Say {
        title: Some("Put the plain bars on".to_owned()),
        done: Some(format!(
            "{} on the edge, {} on the spine; the edge side painted",
            bench.say(frame.edge),
            bench.say(frame.spine)
        )),
        cautions: vec!["Paint the edge side now: the two bars are not the same.".to_owned()],
        ..Say::default()
    };
    let bars = vec![bar(Side::Edge, frame.edge), bar(Side::Spine, frame.spine)];
    bench.put(Move::Frame { bars }, say)?;
    weld(bench, "Weld the frame")?;
    let (width, thickness) = shape.bar;
    let heats = bench.draw_heats(width, thickness);
    let scale = bench.allow.scale;
    let done = "the frame even at both ends, within 1 mm".to_owned();
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

/// The steel of plain bars: the one with the most carbon makes the edge.
pub(super) fn plain_steel(wish: &Wish) -> SteelId {
    let steels = wish.steels();
    let best = steels
        .iter()
        .enumerate()
        .filter(|(_, steel)| steel.steel.nominal.ni < 0.5)
        .max_by(|a, b| {
            let carbon = |one: &crate::plan::PlanSteel| one.steel.nominal.c;
            carbon(a.1).total_cmp(&carbon(b.1))
        });
    SteelId::from_index(best.map_or(0, |(at, _)| at))
}
