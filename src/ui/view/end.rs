//! The end of the bar to scale: steels by hatch, frame by letter, the face that is up.

use ratatui::layout::Rect;

use super::pen::{Pen, columns, fitting};
use super::shading;
use crate::billet::{Bar, Billet, Figure, Side, Stage, Stand, SteelId};
use crate::pattern::pixels_for;
use crate::session::Aspect;
use crate::ui::model::Model;
use crate::ui::model::picture::{Glance, Grain};
use crate::ui::settings::Shades;
use crate::ui::theme::Meaning;
use crate::units::Mm;

/// A terminal cell is about this much taller than wide.
const CELL: f64 = 1.9;
/// A cell shows one steel when it is at least this much of the cell.
const CLEAR: f64 = 0.8;
const HEAD: &str = "END VIEW";

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.height < 3 || area.width < 12 {
        return;
    }
    let session = &model.session;
    let billet = if session.reading().is_empty() {
        &session.billet
    } else {
        &session.live.billet
    };
    let units = model.units();
    let bar = &billet.bar;
    let size = format!(
        "{}{} x {} {}",
        if billet.stage >= Stage::Forged {
            "blank "
        } else {
            ""
        },
        units.length_bare(bar.width),
        units.length_bare(bar.thickness),
        units.length_unit()
    );
    let dot = pen.glyphs.dot();
    let (up, how) = lie(billet);
    let pieces = match billet.pieces {
        0 | 1 => String::new(),
        many => format!(" {dot} {many} like this"),
    };
    let head = if billet.name.is_empty() {
        HEAD.to_owned()
    } else {
        format!("END VIEW {}", billet.name)
    };
    let room = area.width.saturating_sub(columns(&head) + 1);
    let text = fitting(
        [
            format!("{size} {dot} {up}, {how}{pieces}"),
            format!("{size} {dot} {how}{pieces}"),
            format!("{size} {dot} {how}"),
            size,
        ],
        room,
    );
    pen.headed(area, 0, &head, &text, Meaning::Text);
    let foot = area.height - 1;
    let view = Rect::new(area.x, area.y + 1, area.width, foot - 1);
    let greys = !shading::is_plain(&model.settings) && model.settings.shades != Shades::Sixteen;
    let legend = if greys && shaded(model, billet, view, pen) {
        let long = shading::legend(model, session.at, true);
        fitting(
            [long, shading::legend(model, session.at, false)],
            area.width,
        )
    } else {
        hatched(model, billet, view, pen);
        fitting(
            [legend(model, pen, true), legend(model, pen, false)],
            area.width,
        )
    };
    pen.line(area, foot, &legend, Meaning::Text);
}

/// In greys fine enough for it: the picture itself, with the letters of the frame on it.
fn shaded(model: &Model, billet: &Billet, view: Rect, pen: &mut Pen<'_>) -> bool {
    let inside = Rect::new(
        view.x + 1,
        view.y,
        view.width.saturating_sub(2),
        view.height,
    );
    let [wide, high] = pixels_for(inside.width, inside.height);
    let Some(shot) = model.shot(Glance::whole(model.session.at, Aspect::End), [wide, high]) else {
        return false;
    };
    let bar = &billet.bar;
    let px = shot.mm_per_px.0.max(1e-9);
    if bar.thickness.0.min(bar.width.0) < px {
        // Too thin for the picture to show it.
        return false;
    }
    shading::put(&shot, &model.settings, [inside.x, inside.y], pen);
    let middle = [
        f64::from(inside.width) / 2.0,
        f64::from(inside.height) / 2.0,
    ];
    let half = [bar.width.0 / px / 2.0, bar.thickness.0 / px / 4.0];
    let [left, right] = [middle[0] - half[0], middle[0] + half[0]];
    let [top, bottom] = [middle[1] - half[1], middle[1] + half[1]];
    let letter = |side: Side| {
        let steel = bar.on(side).last()?.plain()?;
        Some(billet.steels.get(steel.index())?.letter)
    };
    let style = pen.style(Meaning::Bar);
    let deep = |side: Side, per: f64| bar.frame_on(side).0 / px / per / 2.0;
    for (side, x, y) in [
        (Side::Edge, left + deep(Side::Edge, 1.0), middle[1]),
        (Side::Spine, right - deep(Side::Spine, 1.0), middle[1]),
        (Side::Top, middle[0], top + deep(Side::Top, 2.0)),
        (Side::Bottom, middle[0], bottom - deep(Side::Bottom, 2.0)),
    ] {
        if let Some(letter) = letter(side) {
            let (x, y) = (cells((x - 0.5).max(0.0)), cells((y - 0.5).max(0.0)));
            pen.dot(inside.x + x, inside.y + y, letter, style);
        }
    }
    marks(
        bar,
        view,
        [
            inside.x + cells(left.max(0.0)) - 1,
            (inside.x + cells(right)).min(view.right() - 1),
        ],
        [view.y + cells(top.max(0.0)), cells(2.0 * half[1])],
        pen,
    );
    true
}

/// The face that is up, and which side will be the edge.
fn marks(bar: &Bar, view: Rect, beside: [u16; 2], [top, high]: [u16; 2], pen: &mut Pen<'_>) {
    let up = pen.style(Meaning::Head);
    for (side, x) in [Side::Edge, Side::Spine].into_iter().zip(beside) {
        pen.dot(x, top, '^', up);
        if bar.frame_on(side).is_positive() && high > 1 && top + high / 2 < view.bottom() {
            let mark = if side == Side::Edge { 'e' } else { 's' };
            pen.dot(x, top + high / 2, mark, up);
        }
    }
}

/// Which face is up, and how the layers lie.
pub(super) fn lie(billet: &Billet) -> (&'static str, &'static str) {
    let up = match billet.turns % 4 {
        0 => "face 1 up",
        1 => "face 2 up",
        2 => "face 3 up",
        _ => "face 4 up",
    };
    let core = &billet.bar.core;
    let how = match (billet.stage, core.figure, core.stand) {
        (Stage::Loose | Stage::Pile, _, _) => "loose pile",
        (_, Figure::Crushed, _) if core.blocks != [1; 2] => "block, turned",
        (_, Figure::Crushed, _) => "layers bent to W",
        (_, Figure::Block, _) => "block, turned",
        (_, Figure::Twisted, _) => "twisted",
        (_, Figure::Split, _) => "split",
        (_, Figure::Tiled, _) => "end grain up",
        (_, Figure::Flat, Stand::OnEdge) => "on edge",
        (_, Figure::Flat, Stand::Flat) => "flat",
    };
    (up, how)
}

fn legend(model: &Model, pen: &Pen<'_>, named: bool) -> String {
    model
        .plan()
        .steels
        .iter()
        .enumerate()
        .map(|(at, steel)| {
            let grade = if named {
                steel.steel.grade.as_str()
            } else {
                ""
            };
            format!("{} {} {grade}", pen.glyphs.hatch(at), steel.letter)
                .trim_end()
                .to_owned()
        })
        .chain(std::iter::once(format!("{} finer", pen.glyphs.mixed())))
        .collect::<Vec<_>>()
        .join("  ")
}

fn hatched(model: &Model, billet: &Billet, view: Rect, pen: &mut Pen<'_>) {
    let bar = &billet.bar;
    if !bar.width.is_positive() || !bar.thickness.is_positive() || view.height == 0 {
        return;
    }
    // One column at each side is kept for the face marks.
    let columns = f64::from(view.width.saturating_sub(2));
    let rows = f64::from(view.height);
    let scale = (bar.width.0 / columns).max(bar.thickness.0 / (rows * CELL));
    let wide = cells(bar.width.0 / scale).max(1);
    let high = cells(bar.thickness.0 / (scale * CELL)).max(1);
    let left = view.x + 1;
    let top = view.y + (view.height.saturating_sub(high)) / 2;
    let bent = std::iter::once(bar)
        .chain(bar.frame.iter().map(|on| &on.bar))
        .any(|bar| bar.core.figure != Figure::Flat);
    let size = [u32::from(wide), u32::from(high)];
    let grains = bent.then(|| model.grains(model.session.at, size)).flatten();
    for y in 0..high.min(view.height) {
        // Row 0 is the face that is up.
        let from = bar.thickness * (f64::from(high - 1 - y) / f64::from(high));
        let to = bar.thickness * (f64::from(high - y) / f64::from(high));
        for x in 0..wide {
            let a = bar.width * (f64::from(x) / f64::from(wide));
            let b = bar.width * (f64::from(x + 1) / f64::from(wide));
            let grain = grains
                .as_ref()
                .and_then(|all| all.get(usize::from(y) * usize::from(wide) + usize::from(x)));
            let (glyph, meaning) = cell(billet, grain, [a, b], [from, to], pen);
            let style = pen.style(meaning);
            pen.dot(left + x, top + y, glyph, style);
        }
    }
    marks(bar, view, [view.x, left + wide], [top, high], pen);
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of cells on a screen; the cast saturates"
)]
fn cells(n: f64) -> u16 {
    (n + 1e-6).round() as u16
}

/// The glyph for one cell: frame bars by their letter, the core by hatch, a mix by the mixed hatch.
fn cell(
    billet: &Billet,
    grain: Option<&Grain>,
    across: [Mm; 2],
    through: [Mm; 2],
    pen: &Pen<'_>,
) -> (char, Meaning) {
    let mid = |[a, b]: [Mm; 2]| (a + b) / 2.0;
    let (x, z) = (mid(across), mid(through));
    let (bar, [inside, above]) = billet.bar.place(x, z);
    if let Some(steel) = bar.plain().filter(|_| !std::ptr::eq(bar, &billet.bar)) {
        let letter = billet
            .steels
            .get(steel.index())
            .map_or('?', |steel| steel.letter);
        return (letter, Meaning::Steel(steel.0));
    }
    if bar.core.figure != Figure::Flat {
        return match grain {
            Some(Grain::Steel(steel)) => (pen.glyphs.hatch(steel.index()), Meaning::Steel(steel.0)),
            Some(Grain::Mixed) => (pen.glyphs.mixed(), Meaning::Text),
            Some(Grain::Open) => (' ', Meaning::Text),
            None => ('~', Meaning::Text),
        };
    }
    let layers = &bar.core.layers;
    let height = layers.height();
    let span = match bar.core.stand {
        Stand::Flat => through.map(|d| above + (d - z)),
        // On edge the sequence runs from the spine side.
        Stand::OnEdge => [across[1], across[0]].map(|d| height - (inside + (d - x))),
    };
    let [from, to] = span.map(|d| d.max(Mm::ZERO).min(height));
    let whole = (to - from).0;
    if whole <= 0.0 {
        return ('?', Meaning::Text);
    }
    let shares = (0..billet.steels.len()).map(|at| {
        let steel = SteelId::from_index(at);
        (
            at,
            (layers.below(to, steel) - layers.below(from, steel)).0 / whole,
        )
    });
    let most = shares.max_by(|a, b| a.1.total_cmp(&b.1));
    match most {
        Some((at, share)) if share >= CLEAR => (
            pen.glyphs.hatch(at),
            Meaning::Steel(SteelId::from_index(at).0),
        ),
        _ => (pen.glyphs.mixed(), Meaning::Text),
    }
}
