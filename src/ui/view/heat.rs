//! The numbers of fire and metal for the step in hand.

use ratatui::layout::Rect;

use super::pen::Pen;
use crate::session::{PressWord, Reckoned};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::{Kilonewtons, Mm, Seconds, Units, show};

/// Draws from `row` on; returns the row behind it.
pub(super) fn draw(model: &Model, area: Rect, row: u16, pen: &mut Pen<'_>) -> u16 {
    let hot = model
        .session
        .current()
        .is_some_and(|step| step.kind().is_hot());
    let Some(found) = model.reckoned.as_ref().filter(|_| hot) else {
        return row;
    };
    let mut row = row;
    let mark = if model.is_reckoning() {
        " (updating)"
    } else {
        ""
    };
    for (n, line) in lines(model, found).iter().enumerate() {
        let text = if n == 0 {
            format!("{line}{mark}")
        } else {
            line.clone()
        };
        row = pen.wrapped(area, row, &text, Meaning::Text);
    }
    row
}

/// The numbers as lines, the most wanted first.
pub(super) fn lines(model: &Model, found: &Reckoned) -> Vec<String> {
    let units = model.units();
    let mut out = Vec::new();
    if let Some((steel, limit)) = &found.burns {
        out.push(format!(
            "! {steel} burns: keep it under {} (estimate)",
            units.temperature(*limit)
        ));
    }
    if let Some(fire) = &found.fire {
        let span = |s: f64| show::span(Seconds(s));
        out.push(format!(
            "hot through in ~{} ({}-{})",
            span(fire.through.best),
            span(fire.through.low),
            span(fire.through.high)
        ));
        out.push(format!(
            "out ~{} s to {} ({}-{} s)",
            show::fixed(fire.left.best, 0),
            units.temperature(fire.floor),
            show::fixed(fire.left.low, 0),
            show::fixed(fire.left.high, 0)
        ));
    }
    match &found.press {
        Some(PressWord::Press {
            widest,
            asks,
            has,
            at,
        }) => out.push(format!(
            "press moves up to ~{} at {}; this bite asks ~{} of {}",
            units.length(tidy(widest.best, units)),
            units.temperature(*at),
            units.force(Kilonewtons(asks.best)),
            units.force(*has)
        )),
        Some(PressWord::Hammer { off, verdict, at }) => out.push(format!(
            "a blow takes ~{} at {}: {verdict}",
            units.length(Mm(off.best)),
            units.temperature(*at)
        )),
        None => {}
    }
    let scale = &found.scale;
    if scale.above.best > 0.0 {
        out.push(format!(
            "scale ~{} a face this heat; job ~{} ({}-{} %)",
            units.length(Mm(scale.this_heat.best)),
            show::percent(scale.job_best(), 1),
            show::fixed(scale.job.low * 100.0, 1),
            show::fixed(scale.job.high * 100.0, 1)
        ));
        out.push(format!(
            "above {} ~{} in all",
            units.temperature(crate::units::Celsius(1100.0)),
            show::span(Seconds(scale.above.best))
        ));
    }
    out
}

/// To the nearest mark that a rule shows: the number is an estimate.
fn tidy(mm: f64, units: Units) -> Mm {
    match units {
        Units::Mm => Mm(mm.round()),
        Units::Inch => Mm::from_inch((Mm(mm).inch() * 8.0).round() / 8.0),
    }
}
