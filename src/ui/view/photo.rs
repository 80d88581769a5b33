//! Photographs of an etched end: the list, and one of them with its count, its line and its unsure places.
//!
//! Long because the picture, its line and its unsure places share one scale.

use ratatui::layout::Rect;

use super::foot;
use super::pen::{Pen, wrap};
use super::shading::put;
use crate::count::{Grey, Line, Reading};
use crate::journal::Photograph;
use crate::pattern::{Picture, Pixel, pixels_for};
use crate::ui::model::Model;
use crate::ui::photo::{Looking, Moves, PhotoFile, Shown};
use crate::ui::theme::Meaning;
use crate::units::{Mm, show};

/// Cells that a band takes in a close look.
const BAND: f32 = 4.0;
/// Rows of a close look.
const STRIP: u16 = 7;

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let row = |y: u16| Rect::new(area.x, area.y + y, area.width, 1);
    let foot = area.height.saturating_sub(3);
    let body = Rect::new(area.x, area.y + 1, area.width, foot.saturating_sub(1));
    let nothing = Looking::default();
    let held = model.photo.as_deref().unwrap_or(&nothing);
    let dot = pen.glyphs.dot();
    let step = model.session.current().map_or("", |step| step.name());
    let name = held
        .shown
        .as_ref()
        .map_or(held.folder.as_str(), |one| one.file.name.as_str());
    pen.bar(
        area,
        0,
        &format!(" PHOTOGRAPH {dot} {name} {dot} {step}"),
        Meaning::Bar,
    );
    match &held.shown {
        None => list(model, held, body, pen),
        Some(shown) => one(model, shown, body, pen),
    }
    foot::banner(model, row(foot), pen);
    foot::safety(model, row(foot + 1), pen);
    foot::hints(model, row(foot + 2), pen);
}

fn list(model: &Model, held: &Looking, area: Rect, pen: &mut Pen<'_>) {
    let files = match &held.files {
        None => return pen.line(area, 0, "the folder is being read", Meaning::Text),
        Some(Err(why)) => {
            pen.wrapped(area, 0, why, Meaning::Caution);
            return;
        }
        Some(Ok(files)) => files,
    };
    let words = "Photograph the etched end straight on, all of it in the frame, six pixels a band or more; no flash. New \
                 pictures show up here as they come.";
    let row = pen.wrapped(area, 0, words, Meaning::Text) + 1;
    if files.is_empty() {
        let words = format!(
            "no JPEG or PNG in {}: copy one there, or start with --photos FOLDER",
            held.folder
        );
        pen.wrapped(area, row, &words, Meaning::Caution);
        return;
    }
    for (row, (n, file)) in (row..).zip((1..).zip(files)) {
        let meaning = if n == 1 { Meaning::Now } else { Meaning::Text };
        pen.line(area, row, &format!("{n}  {}", listed(model, file)), meaning);
    }
}

fn listed(model: &Model, file: &PhotoFile) -> String {
    let ago = show::span(model.now.since(file.changed));
    let taken = &model.session.step.photographs;
    let taken = taken.get(&Photograph::named(&file.name));
    let taken = taken.map_or_else(String::new, |typed| format!("   taken: {typed} bands"));
    format!("{}   {ago} ago{taken}", show::plain(&file.name, 48))
}

fn one(model: &Model, shown: &Shown, area: Rect, pen: &mut Pen<'_>) {
    if let (Some(at), Some(reading)) = (shown.close, shown.reading()) {
        return close(model, shown, reading, at, area, pen);
    }
    let wide = (area.width / 2)
        .min(area.height.saturating_mul(2))
        .max(20)
        .min(area.width);
    let view = Rect::new(area.x, area.y, wide, area.height);
    let beside = Rect::new(
        area.x + wide + 1,
        area.y,
        area.width.saturating_sub(wide + 1),
        area.height,
    );
    whole(model, shown, view, pen);
    let mut row = 0;
    for (meaning, line) in words(model, shown) {
        row = pen.wrapped(beside, row, &line, meaning);
    }
}

/// What is said of it, the count first.
fn words(model: &Model, shown: &Shown) -> Vec<(Meaning, String)> {
    let mut out = Vec::new();
    let busy = if shown.counting { " (updating)" } else { "" };
    let Some(found) = &shown.found else {
        return vec![(Meaning::Now, "COUNTING".to_owned())];
    };
    let reading = match &found.reading {
        Ok(reading) => reading,
        Err(why) => {
            out.push((Meaning::Caution, format!("NO COUNT{busy}: {why}")));
            let remedy = "Move the line over the bands with 8 4 6 2, take another picture, or count by eye: ENTER.";
            out.push((Meaning::Text, remedy.to_owned()));
            out.push((Meaning::Text, moving(shown)));
            return out;
        }
    };
    out.push((
        Meaning::Now,
        format!("{}{busy}", reading.count_words().to_uppercase()),
    ));
    out.push((Meaning::Text, reading.sure_words()));
    out.push((Meaning::Measured, heights(model, reading)));
    let model_bands = model.session.billet.bands();
    let inside = (reading.low as u128..=reading.high as u128).contains(&model_bands);
    let how = if inside { "inside" } else { "OUTSIDE" };
    let meaning = if inside {
        Meaning::Text
    } else {
        Meaning::Caution
    };
    let text = match model.session.billet.bands_between() {
        Some([low, high]) => {
            format!("the model has {model_bands} ({low} to {high}), {how} the range")
        }
        None => format!("the model has {model_bands} bands, {how} the range"),
    };
    out.push((meaning, text));
    if let Some(against) = shown.against() {
        out.push((Meaning::Text, against.agreeing()));
        out.extend(
            against
                .apart
                .iter()
                .map(|one| (Meaning::Caution, one.words())),
        );
    }
    out.extend(
        reading
            .doubts
            .iter()
            .map(|doubt| (Meaning::Text, format!("? {}", doubt.words()))),
    );
    out.push((Meaning::Text, moving(shown)));
    out
}

/// What the digits move.
fn moving(shown: &Shown) -> String {
    let what = match shown.moves {
        Moves::Whole => "the line",
        Moves::First => "end 1 of the line",
        Moves::Last => "end 2 of the line",
    };
    let steps = if shown.fine { ", by small steps" } else { "" };
    format!(
        "8 4 6 2 move {what}{steps}; 7 9 turn it, 1 3 make it shorter and longer, 0 finds it anew"
    )
}

/// The bands' heights, from the bar's own size.
fn heights(model: &Model, reading: &Reading) -> String {
    let core = &model.session.billet.bar.core;
    let units = model.units();
    // Pieces that lie seam on seam are counted through all of them.
    let most = core.blocks.into_iter().max().unwrap_or(1).max(1);
    let whole = core.layers.height() * most as f64;
    let px = f64::from(reading.mean) * reading.bands.max(1) as f64;
    if !whole.is_positive() || px <= 0.0 {
        return format!(
            "mean band {:.1} pixels, thinnest {:.1}",
            reading.mean, reading.thinnest
        );
    }
    let mm = |pixels: f32| Mm(whole.0 * f64::from(pixels) / px);
    format!(
        "mean band ~{}, thinnest ~{} (the layers are {} high by the model)",
        units.fine(mm(reading.mean)),
        units.fine(mm(reading.thinnest)),
        units.length(whole)
    )
}

/// The whole picture with the line and the unsure places.
fn whole(model: &Model, shown: &Shown, view: Rect, pen: &mut Pen<'_>) {
    let Some(photo) = shown.photo() else {
        return;
    };
    let grey = &photo.grey;
    let (wide, high) = (grey.wide as f32, grey.high as f32);
    let room = pixels_for(view.width, view.height);
    let scale = (room[0] as f32 / wide).min(room[1] as f32 / high);
    let [across, down] = [wide, high].map(|size| whole_cells(size * scale));
    let small = grey.reduced([0.0, 0.0, wide, high], across, down);
    put(&picture(&small), &model.settings, [view.x, view.y], pen);
    let Some(line) = shown.line_now() else {
        return;
    };
    let cell = |at: [f32; 2]| {
        let x = view.x + cells(at[0] * scale, view.width);
        let y = view.y + cells(at[1] * scale / 2.0, view.height);
        (x, y)
    };
    let style = pen.style(Meaning::Head);
    let steps = 40;
    for step in 0..=steps {
        let (x, y) = cell(on(line, step as f32 / steps as f32));
        pen.dot(x, y, pen.glyphs.post(), style);
    }
    if let Some(reading) = shown.reading() {
        let style = pen.style(Meaning::Caution);
        for (from, to, _) in shown.places() {
            if let Some(at) = middle_of(reading, from, to) {
                let (x, y) = cell(at);
                pen.dot(x, y, '?', style);
            }
        }
    }
    let end = |first: bool| match (shown.moves, first) {
        (Moves::Whole, _) | (Moves::First, true) | (Moves::Last, false) => Meaning::Bar,
        _ => Meaning::Head,
    };
    for (at, glyph, meaning) in [(line.from, '1', end(true)), (line.to, '2', end(false))] {
        let (x, y) = cell(at);
        let style = pen.style(meaning);
        pen.dot(x, y, glyph, style);
    }
}

/// A strip along the line about one place: the bands, their borders, and what is said of the place.
fn close(
    model: &Model,
    shown: &Shown,
    reading: &Reading,
    at: usize,
    area: Rect,
    pen: &mut Pen<'_>,
) {
    let Some(photo) = shown.photo() else {
        return;
    };
    let places = shown.places();
    let (from, to, words) = places.get(at).cloned().unwrap_or((
        1,
        reading.bands.min(1),
        "no place is unsure: the first bands of the line".to_owned(),
    ));
    let room = f32::from(area.width.saturating_sub(2)) / BAND;
    let bands = whole_cells(room).clamp(3, reading.bands.max(3));
    let middle = usize::midpoint(from, to);
    let first = middle
        .saturating_sub(bands / 2)
        .min(reading.bands.saturating_sub(bands));
    let last = (first + bands).min(reading.borders.len().saturating_sub(1));
    let border = |n: usize| reading.borders.get(n).map(|border| border.at);
    let (Some(a), Some(b)) = (border(first), border(last)) else {
        return;
    };
    let head = format!(
        "{}: bands {} to {last}, place {} of {}",
        reading.count_words(),
        first + 1,
        at + 1,
        places.len().max(1)
    );
    pen.line(area, 0, &head, Meaning::Now);
    let row = pen.wrapped(area, 1, &words, Meaning::Caution) + 1;
    let width = area.width.saturating_sub(2);
    let high = STRIP.min(area.height.saturating_sub(row + 4));
    if width < 8 || high == 0 {
        return;
    }
    let [across, down] = pixels_for(width, high);
    let length = (b[0] - a[0]).hypot(b[1] - a[1]);
    let reach = length * down as f32 / across as f32 / 2.0;
    let strip = photo
        .grey
        .strip(a, b, reach, across as usize, down as usize);
    let (x, y) = (area.x + 1, area.y + row);
    put(&picture(&strip), &model.settings, [x, y], pen);
    marks(
        reading,
        (first, last),
        (from, to),
        Rect::new(x, y + high, width, 2),
        pen,
    );
    let below = Rect::new(area.x, y + high + 3, area.width, 1);
    let more = if at + 1 < places.len() {
        "the next place"
    } else {
        "the whole picture"
    };
    let text =
        format!("? stands under what is unsure, numbers at every fifth border; . shows {more}");
    for (n, line) in (0u16..).zip(wrap(&text, area.width)) {
        pen.line(
            Rect {
                y: below.y + n,
                ..below
            },
            0,
            &line,
            Meaning::Text,
        );
    }
}

/// Ticks at the borders of a strip, numbers under every fifth, question marks under what is unsure.
fn marks(
    reading: &Reading,
    (first, last): (usize, usize),
    (from, to): (usize, usize),
    area: Rect,
    pen: &mut Pen<'_>,
) {
    let place = |n: usize| reading.borders.get(n).map(|border| border.at);
    let (Some(a), Some(b)) = (place(first), place(last)) else {
        return;
    };
    let along = [b[0] - a[0], b[1] - a[1]];
    let whole = along[0].hypot(along[1]).powi(2).max(1e-6);
    let column = |at: [f32; 2]| {
        let part = ((at[0] - a[0]) * along[0] + (at[1] - a[1]) * along[1]) / whole;
        area.x + cells(part * f32::from(area.width), area.width)
    };
    let (text, unsure) = (pen.style(Meaning::Text), pen.style(Meaning::Caution));
    for n in first..=last {
        let Some(at) = place(n) else { continue };
        let x = column(at);
        pen.dot(x, area.y, pen.glyphs.post(), text);
        if n.is_multiple_of(5) && n > first && n < last {
            pen.text(
                x,
                area.y + 1,
                &n.to_string(),
                area.right() - x,
                Meaning::Text,
            );
        }
    }
    for band in from..=to {
        if let (Some(a), Some(b)) = (place(band - band.min(1)), place(band)) {
            let x = usize::midpoint(usize::from(column(a)), usize::from(column(b)));
            pen.dot(u16::try_from(x).unwrap_or(area.x), area.y, '?', unsure);
        }
    }
}

/// The middle of some bands in the picture.
fn middle_of(reading: &Reading, from: usize, to: usize) -> Option<[f32; 2]> {
    let a = reading.borders.get(from.saturating_sub(1))?.at;
    let b = reading.borders.get(to).or(reading.borders.last())?.at;
    Some([f32::midpoint(a[0], b[0]), f32::midpoint(a[1], b[1])])
}

fn on(line: Line, part: f32) -> [f32; 2] {
    [
        line.from[0] + (line.to[0] - line.from[0]) * part,
        line.from[1] + (line.to[1] - line.from[1]) * part,
    ]
}

/// A picture for cells, its shades from the darkest to the brightest that it has.
fn picture(grey: &Grey) -> Picture {
    let least = grey.shades.iter().copied().min().unwrap_or(0);
    let most = grey.shades.iter().copied().max().unwrap_or(u8::MAX);
    let range = f32::from(most.saturating_sub(least).max(1));
    Picture {
        width: u32::try_from(grey.wide).unwrap_or(0),
        height: u32::try_from(grey.high).unwrap_or(0),
        pixels: grey
            .shades
            .iter()
            .map(|shade| Pixel {
                light: f32::from(shade - least) / range,
                metal: u8::MAX,
                steel: Pixel::NONE,
            })
            .collect(),
        ..Picture::default()
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of cells on a screen, held to it"
)]
fn cells(n: f32, most: u16) -> u16 {
    (n.max(0.0) as u16).min(most.saturating_sub(1))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of pixels on a screen; the cast saturates"
)]
fn whole_cells(n: f32) -> usize {
    (n.max(1.0)) as usize
}
