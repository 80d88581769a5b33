//! The billet or the blade, looked at: the picture, where in the plan it is, and its numbers.

use ratatui::layout::Rect;

use super::pen::{Pen, wrap};
use super::shading::{is_plain, put};
use super::{foot, growth, inspect, measures};
use crate::pattern::pixels_for;
use crate::ui::fit;
use crate::ui::model::Model;
use crate::ui::model::mode::Mode;
use crate::ui::model::picture::{Glance, Seen, Viewing, WAYS_CLOSER};
use crate::ui::settings::Settings;
use crate::ui::theme::Meaning;
use crate::units::{Mm, Units};

/// Columns that the numbers take beside the picture, where there is room.
const BESIDE: u16 = 38;

/// Under a picture of fewer rows its scale is left out.
const SCALED: u16 = 5;

pub(super) fn draw(model: &Model, viewing: &Viewing, area: Rect, pen: &mut Pen<'_>) {
    let place = viewing.place.min(model.session.last_place());
    let row = |y: u16| Rect::new(area.x, area.y + y, area.width, 1);
    pen.bar(
        area,
        0,
        &tabs(model, viewing, place, area.width, pen),
        Meaning::Bar,
    );
    pen.line(area, 1, &when(model, place, pen), Meaning::Now);
    road(model, place, row(2), pen);
    let foot = area.height - 3;
    foot::banner(model, row(foot), pen);
    foot::safety(model, row(foot + 1), pen);
    foot::hints(model, row(foot + 2), pen);
    let body = Rect::new(area.x, area.y + 3, area.width, foot - 3);
    match viewing.seen {
        Seen::Layers => inspect::draw(model, place, viewing.depth, body, pen),
        Seen::Lines => growth::draw(model, place, body, pen),
        Seen::Aspect(aspect) => {
            let glance = Glance {
                place,
                aspect,
                closer: viewing.closer,
            };
            pictured(model, glance, body, pen);
        }
    }
}

/// The views and the times with their digits; the ones in force in brackets.
fn tabs(model: &Model, viewing: &Viewing, place: usize, width: u16, pen: &Pen<'_>) -> String {
    let (now, last) = (model.session.at, model.session.last_place());
    let tab = |n: usize, word: &str, here: bool| match here {
        true => format!("[{n} {}]", word.to_uppercase()),
        false => format!("{n} {word}"),
    };
    let views: Vec<String> = (1..)
        .zip(Seen::ALL)
        .map(|(n, seen)| tab(n, seen.word(), seen == viewing.seen))
        .collect();
    let times = [
        tab(7, "now", place == now),
        tab(8, "next", place == now + 1 && now < last),
        tab(9, "finished", place == last && last > now + 1),
    ];
    let (views, times) = (views.join(" "), times.join(" "));
    let dot = pen.glyphs.dot();
    let title = &model.plan().title;
    super::pen::fitting(
        [
            format!(" {views}   {times}   {dot} {title}"),
            format!(" {views}   {times}"),
            format!("{views} {times}"),
            format!(" {views}"),
            format!(" {} {dot} {title}", viewing.seen.word().to_uppercase()),
        ],
        width,
    )
}

/// Where in the plan this is, and how sure.
fn when(model: &Model, place: usize, pen: &Pen<'_>) -> String {
    let session = &model.session;
    let steps = &session.plan.steps;
    let of = steps.len();
    let dot = pen.glyphs.dot();
    let name = |at: usize| steps.get(at).map_or("the end", |step| step.name());
    match place.cmp(&session.at) {
        std::cmp::Ordering::Equal if place >= of => format!("FINISHED {dot} all {of} steps done"),
        std::cmp::Ordering::Equal => {
            format!("NOW {dot} in step {} of {of}: {}", place + 1, name(place))
        }
        _ if place == 0 => {
            let found = session.plan.found(&session.billet.name).is_some();
            let what = if found {
                "THE BAR AS FOUND"
            } else {
                "THE FIRST STACK"
            };
            format!("{what} {dot} before step 1 of {of}")
        }
        order => {
            let how = if order == std::cmp::Ordering::Less {
                "as done"
            } else {
                "forecast, an estimate"
            };
            let head = if place == of {
                "FINISHED".to_owned()
            } else if place == session.at + 1 {
                "AFTER THIS STEP".to_owned()
            } else {
                "AFTER".to_owned()
            };
            format!(
                "{head} {dot} step {place} of {of}: {} {dot} {how}",
                name(place - 1)
            )
        }
    }
}

/// The plan as a row of places: done, now, to come, and the one looked at.
fn road(model: &Model, place: usize, area: Rect, pen: &mut Pen<'_>) {
    let last = model.session.last_place();
    let room = usize::from(area.width.saturating_sub(2)).max(1);
    let each = (last + 1).div_ceil(room);
    for at in (0..=last).step_by(each.max(1)) {
        let Ok(column) = u16::try_from(at / each.max(1)) else {
            return;
        };
        let here = (at..at + each).contains(&place);
        let now = (at..at + each).contains(&model.session.at);
        let (glyph, meaning) = if here {
            ('V', Meaning::Bar)
        } else if now {
            ('N', Meaning::Now)
        } else if at < model.session.at {
            ('x', Meaning::Done)
        } else {
            ('.', Meaning::Text)
        };
        let style = pen.style(meaning);
        pen.dot(area.x + 1 + column, area.y, glyph, style);
    }
}

/// Where the sharp picture goes on a screen, and of what it is; none where cells show it, or nothing.
pub(in crate::ui) fn plate(model: &Model, area: Rect) -> Option<(Rect, Glance)> {
    let Mode::Picture(viewing) = &model.mode else {
        return None;
    };
    let Seen::Aspect(aspect) = viewing.seen else {
        return None;
    };
    if fit::too_small(area) || !is_sharp(&model.settings) {
        return None;
    }
    let glance = Glance {
        place: viewing.place.min(model.session.last_place()),
        aspect,
        closer: viewing.closer,
    };
    let words = measures::of(model, glance, model.settings.glyphs.dot());
    let body = Rect::new(area.x, area.y + 3, area.width, area.height - 6);
    let parts = split(body, &words);
    (parts.view.width >= 2 && parts.view.height > 0).then_some((parts.view, glance))
}

/// True where the shell puts a sharp picture over blank cells.
fn is_sharp(settings: &Settings) -> bool {
    settings.sharp.is_some() && !is_plain(settings)
}

/// Where the picture, its scale and its words go.
struct Parts {
    view: Rect,
    /// Of no height where there is no room.
    scale: Rect,
    words: Rect,
}

fn split(body: Rect, words: &[(Meaning, String)]) -> Parts {
    let (view, words) = if body.width >= 100 {
        let wide = body.width - BESIDE;
        (
            Rect::new(body.x, body.y, wide - 1, body.height),
            Rect::new(body.x + wide, body.y, BESIDE, body.height),
        )
    } else {
        let rows: usize = words
            .iter()
            .map(|(_, line)| wrap(line, body.width).len())
            .sum();
        let low = u16::try_from(rows).unwrap_or(u16::MAX).min(body.height / 2);
        let high = body.height - low;
        (
            Rect::new(body.x, body.y, body.width, high),
            Rect::new(body.x, body.y + high, body.width, low),
        )
    };
    let row = u16::from(view.height >= SCALED);
    let high = view.height - row;
    Parts {
        view: Rect {
            height: high,
            ..view
        },
        scale: Rect::new(view.x, view.y + high, view.width, row),
        words,
    }
}

fn pictured(model: &Model, glance: Glance, body: Rect, pen: &mut Pen<'_>) {
    let words = measures::of(model, glance, pen.glyphs.dot());
    let parts = split(body, &words);
    if paint(model, glance, parts.view, pen) {
        scale(model, glance, &parts, pen);
    } else {
        let words = "the plan cannot be followed to here";
        pen.line(parts.view, 0, words, Meaning::Caution);
    }
    let beside = parts.words;
    let mut row = 0;
    for (meaning, line) in &words {
        row = pen.wrapped(beside, row, line, *meaning);
    }
    if body.width >= 100 {
        growth::list(model, glance.place, beside, row + 1, pen);
    }
}

/// Paints into an area; false when there is nothing to paint.
fn paint(model: &Model, glance: Glance, view: Rect, pen: &mut Pen<'_>) -> bool {
    if view.width < 2 || view.height == 0 {
        return true;
    }
    if is_sharp(&model.settings) {
        return model.subject(glance.place).is_some();
    }
    let size = pixels_for(view.width, view.height);
    let Some(shot) = model.shot(glance, size) else {
        return false;
    };
    put(&shot, &model.settings, [view.x, view.y], pen);
    true
}

/// Lengths that a scale may have, mm; in inches they are parts of one.
const ROUND: [f64; 11] = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
const ROUND_INCH: [f64; 10] = [
    1.0 / 64.0,
    1.0 / 32.0,
    1.0 / 16.0,
    0.125,
    0.25,
    0.5,
    1.0,
    2.0,
    4.0,
    8.0,
];

/// A rule under the picture that says how long it is on the metal.
fn scale(model: &Model, glance: Glance, parts: &Parts, pen: &mut Pen<'_>) {
    let (row, view) = (parts.scale, parts.view);
    let Some(subject) = model.subject(glance.place).filter(|_| row.height > 0) else {
        return;
    };
    let size = match model.settings.sharp.filter(|_| is_sharp(&model.settings)) {
        Some([wide, high]) => [(view.width, wide), (view.height, high)]
            .map(|(cells, pixels)| u32::from(cells) * u32::from(pixels.max(1))),
        None => pixels_for(view.width, view.height),
    };
    let all = glance.across(&subject, size);
    let units = model.units();
    let lengths: Vec<Mm> = match units {
        Units::Mm => ROUND.map(Mm).to_vec(),
        Units::Inch => ROUND_INCH.map(Mm::from_inch).to_vec(),
    };
    let fits = lengths.iter().rev().find(|length| **length * 3.0 <= all);
    let Some(length) = fits.or(lengths.first()) else {
        return;
    };
    let columns = columns_of(f64::from(view.width) * length.0 / all.0.max(1e-9));
    let rule: String =
        std::iter::repeat_n(pen.glyphs.rule(), usize::from(columns.saturating_sub(2))).collect();
    let post = pen.glyphs.post();
    let closer = match glance.closer {
        0 => String::new(),
        _ => format!("   {} x closer, about the middle", glance.times()),
    };
    let fine = if is_too_fine(model, glance, all / f64::from(size[0].max(1))) {
        match glance.closer + 1 < WAYS_CLOSER {
            true => "   finer than this screen: . shows it closer",
            false => "   finer than this screen",
        }
    } else {
        ""
    };
    let text = format!(
        " {post}{rule}{post} {}{closer}{fine}",
        units.length(*length)
    );
    pen.line(row, 0, &text, Meaning::Text);
}

/// True where a pixel holds more than half a band: the picture is then an even grey that says nothing of
/// the lines.
fn is_too_fine(model: &Model, glance: Glance, pixel: Mm) -> bool {
    let lines = model.lines(glance.place, glance.aspect);
    lines.is_some_and(|lines| {
        let per_cm = lines.along.best.hypot(lines.across.best);
        per_cm * pixel.0 / 10.0 > 0.5
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of columns on a screen; the cast saturates"
)]
fn columns_of(n: f64) -> u16 {
    n.round() as u16
}
