//! The billet or the blade, looked at: the picture, where in the plan it is, and its numbers.

use ratatui::layout::Rect;
use ratatui::style::Color;

use super::{end, foot, inspect, pen::Pen};
use crate::billet::{Kind, Stage};
use crate::pattern::{self, Paint, Picture, cells, pixels_for};
use crate::session::{Sight, When};
use crate::ui::fit;
use crate::ui::glyphs::Glyphs;
use crate::ui::mode::Mode;
use crate::ui::model::Model;
use crate::ui::picture::{Seen, Shades, Viewing};
use crate::ui::settings::Settings;
use crate::ui::theme::{Meaning, Theme};
use crate::units::show;

/// Columns that the numbers take beside the picture, where there is room.
const BESIDE: u16 = 38;

pub(super) fn draw(model: &Model, viewing: &Viewing, area: Rect, pen: &mut Pen<'_>) {
    let place = viewing.place.min(model.session.last_place());
    let row = |y: u16| Rect::new(area.x, area.y + y, area.width, 1);
    let title = format!(
        " {} {} {}",
        viewing.seen.word().to_uppercase(),
        pen.glyphs.dot(),
        model.plan().title
    );
    pen.bar(area, 0, &title, Meaning::Bar);
    pen.line(area, 1, &when(model, place, pen), Meaning::Now);
    road(model, place, row(2), pen);
    let foot = area.height - 3;
    foot::banner(model, row(foot), pen);
    foot::safety(model, row(foot + 1), pen);
    foot::hints(model, row(foot + 2), pen);
    let body = Rect::new(area.x, area.y + 3, area.width, foot - 3);
    match viewing.seen {
        Seen::Layers => inspect::draw(model, place, viewing.depth, body, pen),
        Seen::Sight(sight) => pictured(model, place, sight, body, pen),
    }
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
        _ if place == 0 => format!("THE FIRST STACK {dot} before step 1 of {of}"),
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
pub(in crate::ui) fn plate(model: &Model, area: Rect) -> Option<(Rect, usize, Sight)> {
    let Mode::Picture(viewing) = &model.mode else {
        return None;
    };
    let Seen::Sight(sight) = viewing.seen else {
        return None;
    };
    if fit::too_small(area) || !is_sharp(&model.settings) {
        return None;
    }
    let place = viewing.place.min(model.session.last_place());
    let words = numbers(model, place, sight, model.settings.glyphs.dot());
    let body = Rect::new(area.x, area.y + 3, area.width, area.height - 6);
    let (view, _) = split(body, words.len());
    (view.width >= 2 && view.height > 0).then_some((view, place, sight))
}

/// True where the shell puts a sharp picture over blank cells.
fn is_sharp(settings: &Settings) -> bool {
    settings.sharp.is_some() && !is_plain(settings)
}

/// The place of the picture and that of so many lines of words.
fn split(body: Rect, words: usize) -> (Rect, Rect) {
    if body.width >= 100 {
        let wide = body.width - BESIDE;
        (
            Rect::new(body.x, body.y, wide - 1, body.height),
            Rect::new(body.x + wide, body.y, BESIDE, body.height),
        )
    } else {
        let count = u16::try_from(words).unwrap_or(u16::MAX);
        let low = count.min(body.height / 2);
        let high = body.height - low;
        (
            Rect::new(body.x, body.y, body.width, high),
            Rect::new(body.x, body.y + high, body.width, low),
        )
    }
}

fn pictured(model: &Model, place: usize, sight: Sight, body: Rect, pen: &mut Pen<'_>) {
    let words = numbers(model, place, sight, pen.glyphs.dot());
    let (view, beside) = split(body, words.len());
    if !paint(model, place, sight, view, pen) {
        pen.line(
            view,
            0,
            "the plan cannot be followed to here",
            Meaning::Caution,
        );
    }
    let mut row = 0;
    for (meaning, line) in &words {
        row = pen.wrapped(beside, row, line, *meaning);
    }
}

/// Paints into an area; false when there is nothing to paint.
fn paint(model: &Model, place: usize, sight: Sight, view: Rect, pen: &mut Pen<'_>) -> bool {
    if view.width < 2 || view.height == 0 {
        return true;
    }
    if is_sharp(&model.settings) {
        return model.subject(place).is_some();
    }
    let size = pixels_for(view.width, view.height);
    let Some(shot) = model.shot(place, sight, size) else {
        return false;
    };
    put(&shot, &model.settings, [view.x, view.y], pen);
    true
}

/// Puts a picture into cells from a place on: half blocks in colours or greys, or letters where the
/// theme has no colour or the glyphs are plain.
pub(super) fn put(shot: &Picture, settings: &Settings, [x, y]: [u16; 2], pen: &mut Pen<'_>) {
    let ground = pen.style(Meaning::Text);
    for (row, line) in (y..).zip(cells(shot, shades(settings))) {
        for (column, cell) in (x..).zip(line) {
            if cell.glyph == ' ' {
                continue;
            }
            let mut style = ground;
            if let Some(fore) = colour(cell.fore, settings.shades) {
                style = style.fg(fore);
            }
            if let Some(back) = colour(cell.back, settings.shades) {
                style = style.bg(back);
            }
            pen.dot(column, row, cell.glyph, style);
        }
    }
}

/// True where letters stand for light.
pub(super) fn is_plain(settings: &Settings) -> bool {
    settings.theme == Theme::Mono || settings.glyphs == Glyphs::Ascii
}

fn shades(settings: &Settings) -> pattern::Shades {
    match (is_plain(settings), settings.theme, settings.shades) {
        (true, Theme::Light, _) => pattern::Shades::LettersOnLight,
        (true, ..) => pattern::Shades::Letters,
        (false, _, Shades::Sixteen) => pattern::Shades::Sixteen,
        (false, ..) => pattern::Shades::True,
    }
}

fn colour(paint: Paint, shades: Shades) -> Option<Color> {
    match paint {
        Paint::Own => None,
        Paint::Rgb(r, g, b) if shades == Shades::True => Some(Color::Rgb(r, g, b)),
        // The ramp goes from 8 to 238 in steps of ten.
        Paint::Rgb(_, g, _) => Some(Color::Indexed(232 + (g.saturating_sub(3) / 10).min(23))),
        Paint::Ansi(8) => Some(Color::DarkGray),
        Paint::Ansi(7) => Some(Color::Gray),
        Paint::Ansi(15) => Some(Color::White),
        Paint::Ansi(_) => Some(Color::Black),
    }
}

/// The numbers that go with a picture.
fn numbers(model: &Model, place: usize, sight: Sight, dot: &str) -> Vec<(Meaning, String)> {
    let Some(subject) = model.subject(place) else {
        return Vec::new();
    };
    let units = model.units();
    let billet = &subject.billet;
    let bar = &billet.bar;
    let about = if subject.when == When::Ahead {
        "~ "
    } else {
        ""
    };
    let mut out = vec![(
        Meaning::Measured,
        format!(
            "{about}{}{} {dot} {} bands {dot} {}",
            if billet.stage >= Stage::Forged {
                "blank "
            } else {
                ""
            },
            units.size(bar.width, bar.thickness, bar.length),
            show::count(billet.bands()),
            format_args!("{}, {}", end::lie(billet).0, end::lie(billet).1)
        ),
    )];
    if let Some(lines) = model.lines(place, sight) {
        let (one, other) = match sight {
            Sight::End => ("across the width", "through the thickness"),
            Sight::Side => ("along", "through"),
            Sight::Face | Sight::Blade => ("along", "across"),
        };
        out.push((
            Meaning::Text,
            format!(
                "~ bands per cm: {} {one}, {} {other}",
                show::fixed(lines.along, 1),
                show::fixed(lines.across, 1)
            ),
        ));
        out.push((
            Meaning::Text,
            format!(
                "~ liveliness {} of 1: {} {dot} layers slope {} degrees",
                show::fixed(lines.lively, 2),
                lines.lively_word().word(),
                show::fixed(lines.slope, 0)
            ),
        ));
    }
    out.extend(draws(model, place, dot).map(|line| (Meaning::Text, line)));
    out.push((Meaning::Text, legend(model, place, true)));
    out
}

/// Steels by their tone.
pub(super) fn legend(model: &Model, place: usize, named: bool) -> String {
    let Some(subject) = model.subject(place) else {
        return String::new();
    };
    let tone = |at: usize| subject.look.tones.get(at).map_or(0.0, pattern::Tone::whole);
    let mut steels: Vec<_> = model.plan().steels.iter().enumerate().collect();
    steels.sort_by(|(a, _), (b, _)| tone(*b).total_cmp(&tone(*a)));
    let names: Vec<String> = steels
        .iter()
        .map(|(_, steel)| match named {
            true => format!("{} {}", steel.letter, steel.steel.grade),
            false => steel.letter.to_string(),
        })
        .collect();
    let order = match (is_plain(&model.settings), model.settings.theme) {
        (true, Theme::Light) => "thin to dense",
        (true, _) => "dense to thin",
        _ => "bright to dark",
    };
    format!("{order}: {}", names.join(", "))
}

/// What the draws to come do to the slope of the lines along the bar.
fn draws(model: &Model, place: usize, dot: &str) -> impl Iterator<Item = String> {
    let session = &model.session;
    let mut next = None;
    let mut all = 1.0;
    for (at, step) in session.plan.steps.iter().enumerate().skip(place) {
        if !matches!(step.kind(), Kind::Weld | Kind::Draw | Kind::Square) {
            continue;
        }
        let (Some(before), Some(after)) = (session.metal_at(at), session.metal_at(at + 1)) else {
            break;
        };
        let times = pattern::straighter(&before, &after);
        all *= times;
        if next.is_none() && times > 1.02 {
            next = Some(format!(
                "next draw, step {}: lines {} x straighter along the bar",
                at + 1,
                show::fixed(times, 1)
            ));
        }
    }
    let all = if next.is_none() {
        "no draw to come: the lines keep their slope".to_owned()
    } else {
        format!(
            "~ at finished length {dot} lines {} x straighter than here",
            show::fixed(all, 1)
        )
    };
    next.into_iter().chain([all])
}
