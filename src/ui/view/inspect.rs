//! Through the layers with a cursor: steel, thickness, depth and carbon, band by band, beside the end of
//! the bar.

use ratatui::layout::Rect;

use super::pen::Pen;
use super::shading::{put, swatch};
use crate::billet::{Band, Billet, Side, Stand};
use crate::pattern::{Tone, pixels_for};
use crate::session::Aspect;
use crate::ui::model::Model;
use crate::ui::model::picture::Glance;
use crate::ui::model::section::{ASIDE, Section};
use crate::ui::theme::Meaning;
use crate::units::{Mm, Units, show};

/// Cells in front of a band that are as bright as it is once etched.
const SWATCH: u16 = 6;
/// Columns that the list takes at least.
const LIST: u16 = 46;

pub(super) fn draw(model: &Model, place: usize, depth: f64, area: Rect, pen: &mut Pen<'_>) {
    let billet = model.session.metal_at(place);
    let found = billet.as_deref().and_then(|billet| {
        let section = Section::of(model, place, billet)?;
        let here = section.at(section.height() * depth.clamp(0.0, 1.0))?;
        Some((billet, section, here))
    });
    let Some((billet, section, here)) = found else {
        let words = "the plan cannot be followed to here";
        pen.line(area, 0, words, Meaning::Caution);
        return;
    };
    if area.height < 3 {
        return;
    }
    let mut row = 0;
    for line in words(model, place, billet, &section, &here) {
        row = pen.wrapped(area, row, &line, Meaning::Measured);
    }
    let high = area.height.saturating_sub(row);
    let beside = area.width >= LIST + 16 && high >= 5;
    let wide = if beside { LIST } else { area.width };
    let list = Rect::new(area.x, area.y + row, wide, high);
    let subject = model.subject(place);
    let rows = List {
        model,
        height: section.height(),
        area: list,
        tones: subject.as_ref().map_or(&[][..], |found| &found.look.tones),
    };
    let above = list.height / 2;
    let room = usize::from(list.height.saturating_sub(above + 1));
    for (n, band) in (1u16..).zip(section.above(&here, usize::from(above))) {
        rows.line(&band, false, above.saturating_sub(n), pen);
    }
    rows.line(&here, true, above, pen);
    for (n, band) in (1u16..).zip(section.below(&here, room)) {
        rows.line(&band, false, above + n, pen);
    }
    if beside {
        let view = Rect::new(area.x + LIST, list.y, area.width - LIST, high);
        end(model, place, billet, &section, &here, view, pen);
    }
}

/// The end of the bar, and where in it the cursor stands.
fn end(
    model: &Model,
    place: usize,
    billet: &Billet,
    section: &Section<'_>,
    here: &Band,
    area: Rect,
    pen: &mut Pen<'_>,
) {
    let view = Rect::new(area.x + 1, area.y, area.width - 2, area.height);
    let [wide, high] = pixels_for(view.width, view.height);
    let Some(shot) = model.shot(Glance::whole(place, Aspect::End), [wide, high]) else {
        return;
    };
    put(&shot, &model.settings, [view.x, view.y], pen);
    let px = shot.mm_per_px.0.max(1e-9);
    let middle = [f64::from(view.width) / 2.0, f64::from(view.height) / 2.0];
    let bar = &billet.bar;
    let at = (here.from + here.to) / 2.0;
    let straight = matches!(section, Section::Straight(_));
    let style = pen.style(Meaning::Head);
    if straight && bar.core.stand == Stand::OnEdge {
        // counted from the edge side
        let across = bar.frame_on(Side::Edge) + at - bar.width / 2.0;
        let x = view.x + cells(middle[0] + across.0 / px, view.width);
        let half = bar.thickness.0 / px / 4.0;
        let top = cells((middle[1] - half).floor(), view.height);
        let foot = cells((middle[1] + half).ceil() - 1.0, view.height);
        pen.dot(x, view.y + top, 'v', style);
        pen.dot(x, view.y + foot, '^', style);
        return;
    }
    let frame = if straight {
        bar.frame_on(Side::Bottom)
    } else {
        Mm::ZERO
    };
    let up = frame + at - bar.thickness / 2.0;
    let y = view.y + cells(middle[1] - up.0 / px / 2.0, view.height);
    let half = bar.width.0 / px / 2.0;
    let beside = |x: f64| cells(x, view.width);
    let pointer = pen.glyphs.pointer();
    pen.dot(view.x + beside(middle[0] - half - 1.0), y, pointer, style);
    if !straight {
        let x = view.x + beside(middle[0] + ASIDE * bar.width.0 / px);
        pen.dot(x, y, '+', pen.style(Meaning::Bar));
        let top = cells(
            (middle[1] - bar.thickness.0 / px / 4.0).floor(),
            view.height,
        );
        pen.dot(x, view.y + top, 'v', style);
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of cells on a screen, held to it"
)]
fn cells(n: f64, most: u16) -> u16 {
    (n.max(0.0) as u16).min(most.saturating_sub(1))
}

/// A depth; in inches with decimals, as fractions do not line up.
fn depth(units: Units, value: Mm) -> String {
    match units {
        Units::Mm => units.length(value),
        Units::Inch => format!("{} in", show::fixed(value.inch(), 3)),
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

/// Carbon of a steel: by the heats logged, and as it was bought.
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
            "carbon ~{} % now (estimate, {} to {} %), {bought}",
            show::fixed(now.mean.best, 2),
            show::fixed(now.mean.low, 2),
            show::fixed(now.mean.high, 2),
        ),
        None => format!("carbon {bought}"),
    }
}

/// The band under the cursor, in full.
fn words(
    model: &Model,
    place: usize,
    billet: &Billet,
    section: &Section<'_>,
    band: &Band,
) -> Vec<String> {
    let units = model.units();
    let bar = &billet.bar;
    let height = section.height();
    let middle = (band.from + band.to) / 2.0;
    let (letter, grade) = steel(model, band);
    let [at, of] = section.number(band);
    let about = if place > model.session.at { "~" } else { "" };
    let thick = units.fine(band.to - band.from);
    let head = format!(
        "band {} of {} from the top: {letter} {grade}, ",
        show::count(at),
        show::count(of),
    );
    match section {
        Section::Straight(_) => {
            let depth = match bar.core.stand {
                Stand::Flat => {
                    let top = bar.frame_on(Side::Top) + (height - middle);
                    format!("{} under the face that is up", units.length(top))
                }
                Stand::OnEdge => {
                    let edge = bar.frame_on(Side::Edge) + middle;
                    format!("{} from the edge side", units.length(edge))
                }
            };
            vec![
                format!("{head}{about}{thick} thick"),
                format!("its middle {about}{depth}; {}", carbon(model, band)),
            ]
        }
        Section::Walked(_) => vec![
            format!("{head}~{thick} on this line"),
            format!(
                "straight down, a quarter of the width from the edge side: ~{} under the face that is up; {}",
                units.length(height - middle),
                carbon(model, band)
            ),
        ],
    }
}

/// The bands, a row each.
struct List<'a> {
    model: &'a Model,
    height: Mm,
    area: Rect,
    tones: &'a [Tone],
}

impl List<'_> {
    fn line(&self, band: &Band, here: bool, row: u16, pen: &mut Pen<'_>) {
        if row >= self.area.height {
            return;
        }
        let units = self.model.units();
        let (letter, grade) = steel(self.model, band);
        let mark = if here { pen.glyphs.pointer() } else { ' ' };
        let y = self.area.y + row;
        let meaning = if here { Meaning::Now } else { Meaning::Text };
        let mut x = self.area.x;
        let right = self.area.right();
        x += pen.text(x, y, &format!("{mark} "), right - x, meaning);
        if x + SWATCH <= right {
            let tone = self.tones.get(band.steel.index());
            let light = tone.map_or(0.0, Tone::whole);
            x += swatch(light, SWATCH, [x, y], &self.model.settings, pen);
        }
        let text = format!(
            " {letter} {grade:<10} {:>9}  at {}",
            units.fine(band.to - band.from),
            depth(units, self.height - (band.from + band.to) / 2.0)
        );
        pen.text(x, y, &text, right - x, meaning);
    }
}
