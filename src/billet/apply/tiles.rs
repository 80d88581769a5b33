//! End grain to the face: a bar sliced to tiles that lie in a row, or cut from both faces and unfolded.
//!
//! A tile keeps the width of the bar; what was its thickness lies along the row. Layers then run across the
//! row, one tile after the other, so the sequence is kept as that of one tile.

use super::cut::part;
use super::lay::on_sides;
use super::section::{Outside, stretch};
use super::stack::{gaps, join, join_read};
use super::work::{Work, amount, positive, refuse};
use crate::billet::{
    Bar, Core, Figure, Layers, Loss, Member, Move, Reading, Refusal, Side, Stand, Tiling,
};
use crate::units::{Mm, Mm3};

/// A web under this part of the bar's thickness tears as the bar is opened, one over the other does not
/// open. Common practice, no source.
const WEB: [f64; 2] = [0.08, 0.35];

/// Tiles in a row, on a backing where one is named.
pub(super) fn slice(work: &mut Work<'_>) -> Result<(), Refusal> {
    let Move::Slice {
        tiles,
        thickness,
        lay,
        backing,
        kerf,
        keep_rest,
    } = work.made
    else {
        return Ok(());
    };
    closed(work)?;
    if *lay == Tiling::Turned {
        gaps(work, "lay")?;
    }
    part(work, *tiles, Some(*thickness), *kerf, *keep_rest)?;
    let count = work.now.pieces;
    work.now.pieces = 1;
    work.now.bar = in_a_row(&work.now.bar, count, *lay);
    let tile = work.now.bar.thickness;
    on_sides(work, backing, false)?;
    // What is read is the thickness of a tile, before it lies on anything.
    let under = work.now.bar.thickness - tile;
    let reading = Reading {
        thickness: work.reading.thickness.map(|tile| tile + under),
        ..*work.reading
    };
    join_read(work, Loss::Rounding, &reading)
}

/// Cut from both faces in turn and opened flat.
pub(super) fn unfold(work: &mut Work<'_>, cuts: u32, web: Mm, kerf: Mm) -> Result<(), Refusal> {
    let (web, kerf) = (positive("web", web)?, amount("kerf", kerf)?);
    closed(work)?;
    let bar = &work.was.bar;
    if web >= bar.thickness {
        return Err(refuse(
            "web",
            format!(
                "a web of {} in a bar {} thick is no cut",
                work.say(web),
                work.say(bar.thickness)
            ),
            "leave a tenth to a third of the thickness",
        ));
    }
    let count = f64::from(cuts) + 1.0;
    let each = (bar.length - kerf * (count - 1.0)) / count;
    if cuts == 0 || !each.is_positive() {
        return Err(refuse(
            "cuts",
            format!("{cuts} cuts in a bar of {}", work.say(bar.length)),
            "write a number of cuts that leaves steel between them",
        ));
    }
    let gone = kerf * (count - 1.0) * (bar.thickness - web) * bar.width;
    let metal = bar.volume() - gone;
    let share = web / bar.thickness;
    if !(WEB[0]..=WEB[1]).contains(&share) {
        let what = if share < WEB[0] {
            "tears"
        } else {
            "does not open"
        };
        let text = format!(
            "a web of {} under a bar of {} {what}: leave a tenth to a third",
            work.say(web),
            work.say(bar.thickness)
        );
        work.warn(Some("web"), text);
    }
    if each > bar.thickness {
        let text = format!(
            "{} from cut to cut is more than the bar's {}: it bends and does not unfold; cut closer",
            work.say(each),
            work.say(bar.thickness)
        );
        work.warn(Some("cuts"), text);
    }
    let (width, pieces) = (bar.width, f64::from(work.was.pieces));
    work.lose(Loss::Kerf, gone * pieces, false);
    let mut cut = bar.clone();
    cut.length = each;
    let mut open = in_a_row(&cut, cuts.saturating_add(1), Tiling::Mirrored);
    // What the cuts left between the tiles goes into the length.
    let to = Outside {
        width,
        thickness: each,
        length: metal / (width * each),
    };
    stretch(&mut open, to);
    work.now.bar = open;
    join(work, Loss::Kerf)
}

/// Refuses a bar with open grooves: its tiles would have holes.
fn closed(work: &Work<'_>) -> Result<(), Refusal> {
    if work.was.bar.void.is_positive() {
        return Err(refuse(
            "kind",
            format!("{} has open grooves or dimples", work.was.called()),
            "forge it flat before it is cut",
        ));
    }
    Ok(())
}

/// Tiles as long as the bar is now, in a row.
fn in_a_row(bar: &Bar, count: u32, lay: Tiling) -> Bar {
    // Bars along edge and spine stay there as long as tiles are not turned in their plane.
    let beside = |on: &Member| matches!(on.side, Side::Edge | Side::Spine);
    let stays = lay != Tiling::Turned && bar.frame.iter().all(beside);
    let along = bar.thickness * f64::from(count);
    let (frame, layers) = if stays {
        let tiled = |on: &Member| {
            let mut on = on.clone();
            // It was cut with the whole.
            on.bar.length = bar.length;
            on.bar = in_a_row(&on.bar, count, lay);
            on
        };
        let frame: Vec<Member> = bar.frame.iter().map(tiled).collect();
        (frame, bar.core.layers.clone())
    } else {
        (Vec::new(), mixed(bar))
    };
    let plain = layers.bands() == 1;
    let mut out = Bar {
        width: bar.width,
        thickness: bar.length,
        length: along,
        void: Mm3::ZERO,
        depth: Mm::ZERO,
        core: Core {
            layers,
            stand: Stand::Flat,
            figure: if plain { Figure::Flat } else { Figure::Tiled },
            blocks: bar.core.blocks,
        },
        frame,
        cap: None,
    };
    let core = if plain {
        out.core_thickness()
    } else {
        bar.thickness
    };
    out.core.layers = out.core.layers.scaled_to(core);
    out
}

/// The layers of a whole section one after the other, each as thick as its part of the area.
fn mixed(bar: &Bar) -> Layers {
    let area = bar.section();
    let part = |layers: &Layers, of: f64| layers.scaled_to(bar.thickness * of);
    let core = bar.core_width() * bar.core_thickness();
    let mut all = vec![part(&bar.core.layers, core / area)];
    for on in &bar.frame {
        all.push(part(&mixed(&on.bar), on.bar.section() / area));
    }
    Layers::pile(all)
}
