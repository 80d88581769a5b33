//! Through the layers with a cursor: steel, thickness, depth and carbon, band by band.

use ratatui::layout::Rect;

use super::pen::Pen;
use crate::billet::{Band, Billet, Figure, Side, Stand};
use crate::ui::model::Model;
use crate::ui::picture::{band_at, bands_down, bands_up};
use crate::ui::theme::Meaning;
use crate::units::{Mm, Units, show};

/// Cells of hatch in front of a band.
const HATCH: usize = 6;

pub(super) fn draw(model: &Model, place: usize, depth: f64, area: Rect, pen: &mut Pen<'_>) {
    let Some(billet) = model.session.metal_at(place) else {
        pen.line(
            area,
            0,
            "the plan cannot be followed to here",
            Meaning::Caution,
        );
        return;
    };
    let billet = billet.as_ref();
    let layers = &billet.bar.core.layers;
    let height = layers.height();
    if area.height < 3 || !height.is_positive() {
        return;
    }
    let at = height * depth.clamp(0.0, 1.0);
    let Some(here) = band_at(layers, at) else {
        return;
    };
    let mut row = 0;
    for line in words(model, billet, &here) {
        row = pen.wrapped(area, row, &line, Meaning::Measured);
    }
    let list = Rect::new(
        area.x,
        area.y + row,
        area.width,
        area.height.saturating_sub(row),
    );
    let above = list.height / 2;
    let up: Vec<Band> = bands_up(layers, here.to).take(usize::from(above)).collect();
    let turned = layers.mirrored();
    let room = usize::from(list.height.saturating_sub(above + 1));
    let down = bands_down(&turned, here.from).take(room);
    for (n, band) in (1u16..).zip(&up) {
        if n <= above {
            line(model, billet, band, false, list, above - n, pen);
        }
    }
    line(model, billet, &here, true, list, above, pen);
    for (n, band) in (1u16..).zip(down) {
        line(model, billet, &band, false, list, above + n, pen);
    }
}

/// A thickness; thin ones in thousandths of a millimetre.
fn thin(units: Units, value: Mm) -> String {
    if value.0 < 0.1 {
        format!("{} um", show::fixed(value.0 * 1000.0, 1))
    } else {
        units.length(value)
    }
}

/// The steel at a place of the plan's list.
fn steel(model: &Model, band: &Band) -> (char, String) {
    model
        .plan()
        .steels
        .get(band.steel.index())
        .map_or(('?', String::new()), |steel| {
            (steel.letter, steel.steel.grade.clone())
        })
}

/// Carbon of a steel of the core: now, by the heats logged, and as it was bought.
fn carbon(model: &Model, band: &Band) -> String {
    let bought = model
        .plan()
        .steels
        .get(band.steel.index())
        .map_or(0.0, |steel| steel.steel.nominal.c);
    let now = model
        .reckoned
        .as_ref()
        .and_then(|found| found.carbon.as_ref())
        .and_then(|now| {
            now.by_steel
                .iter()
                .find(|one| one.steel == band.steel.index())
        });
    let bought = format!("{} % as bought", show::fixed(bought, 2));
    match now {
        Some(now) => format!(
            "C ~{} % now ({} to {}), {bought}",
            show::fixed(now.mean.best, 2),
            show::fixed(now.mean.low, 2),
            show::fixed(now.mean.high, 2),
        ),
        None => format!("C {bought}"),
    }
}

/// The band under the cursor, in full.
fn words(model: &Model, billet: &Billet, band: &Band) -> Vec<String> {
    let units = model.units();
    let bar = &billet.bar;
    let layers = &bar.core.layers;
    let height = layers.height();
    let middle = (band.from + band.to) / 2.0;
    let (letter, grade) = steel(model, band);
    let count = layers.bands();
    let below = layers.bands_below(middle).clamp(1, count.max(1));
    let number = format!(
        "band {} of {} from the top: {letter} {grade}, {} thick",
        show::count(count.saturating_sub(below) + 1),
        show::count(count),
        thin(units, band.to - band.from)
    );
    let depth = match (bar.core.figure, bar.core.stand) {
        (Figure::Flat, Stand::Flat) => {
            let top = bar.frame_on(Side::Top) + (height - middle);
            format!("its middle {} under the face that is up", units.length(top))
        }
        (Figure::Flat, Stand::OnEdge) => {
            let edge = bar.frame_on(Side::Edge) + middle;
            format!("its middle {} from the edge side", units.length(edge))
        }
        _ => format!(
            "{} from the top of the sequence; in the bar the layers are bent",
            units.length(height - middle)
        ),
    };
    vec![number, format!("{depth}; {}", carbon(model, band))]
}

/// One band of the list.
fn line(
    model: &Model,
    billet: &Billet,
    band: &Band,
    here: bool,
    area: Rect,
    row: u16,
    pen: &mut Pen<'_>,
) {
    if row >= area.height {
        return;
    }
    let units = model.units();
    let (letter, grade) = steel(model, band);
    let height = billet.bar.core.layers.height();
    let hatch: String = std::iter::repeat_n(pen.glyphs.hatch(band.steel.index()), HATCH).collect();
    let mark = if here { pen.glyphs.pointer() } else { ' ' };
    let y = area.y + row;
    let meaning = if here { Meaning::Now } else { Meaning::Text };
    let mut x = area.x;
    let right = area.right();
    x += pen.text(x, y, &format!("{mark} "), right - x, meaning);
    x += pen.text(x, y, &hatch, right - x, Meaning::Steel(band.steel.0));
    let text = format!(
        " {letter} {grade:<10} {:>9}  at {}",
        thin(units, band.to - band.from),
        units.length(height - (band.from + band.to) / 2.0)
    );
    pen.text(x, y, &text, right - x, meaning);
}
