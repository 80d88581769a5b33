//! The numbers of fire and metal for the step in hand.

use ratatui::layout::Rect;

use super::pen::Pen;
use crate::billet::Kind;
use crate::physics::Spread;
use crate::session::{PressWord, Reckoned};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::{Kilonewtons, Mm, Seconds, Units, show};

/// Draws from `row` on; returns the row behind it.
pub(super) fn draw(model: &Model, area: Rect, row: u16, pen: &mut Pen<'_>) -> u16 {
    let Some((step, found)) = model.session.current().zip(model.reckoned.as_ref()) else {
        return row;
    };
    let mut row = row;
    let mark = if model.is_reckoning() {
        " (updating)"
    } else {
        ""
    };
    for (n, line) in lines(model, step.kind(), found).iter().enumerate() {
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
pub(super) fn lines(model: &Model, kind: Kind, found: &Reckoned) -> Vec<String> {
    let units = model.units();
    let mut out = Vec::new();
    if matches!(kind, Kind::Harden | Kind::Temper) {
        out.extend(harden(model, kind, found));
        out.extend(carbon(model, found));
        return out;
    }
    if !kind.is_hot() {
        return carbon(model, found);
    }
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
    out.extend(carbon(model, found));
    out
}

/// The hardening and tempering window of this billet; the maker's sheet comes first.
fn harden(model: &Model, kind: Kind, found: &Reckoned) -> Vec<String> {
    let units = model.units();
    let Some(view) = &found.harden else {
        return Vec::new();
    };
    let band = |s: Spread| {
        format!(
            "~{} ({}-{})",
            show::fixed(s.best, 0),
            show::fixed(s.low, 0),
            show::fixed(s.high, 0)
        )
    };
    let mut out = Vec::new();
    if let Some(window) = view.common.window {
        let words = if view.common.overlap {
            "one window for all"
        } else {
            "no common window: nearest"
        };
        out.push(format!(
            "harden ~{} to {} ({words}); the maker's sheet comes first",
            units.temperature(window.low),
            units.temperature(window.high)
        ));
    }
    if !view.common.soft.is_empty() {
        out.push(format!("do not harden: {}", view.common.soft.join(", ")));
    }
    if let Some(quenched) = view.quenched {
        out.push(format!("as quenched {} HRC", band(quenched)));
    }
    if let Some(kept) = view.retained {
        out.push(format!("austenite kept {} %", band(kept.scaled(100.0))));
    }
    if kind == Kind::Temper
        && let Some(after) = view.tempered
    {
        out.push(format!("after this temper {} HRC", band(after)));
    }
    out
}

/// Carbon by steel, at the skin and the edge; nickel's blur beside the band.
fn carbon(model: &Model, found: &Reckoned) -> Vec<String> {
    let Some(now) = &found.carbon else {
        return Vec::new();
    };
    let units = model.units();
    let pct = |s: Spread| {
        format!(
            "~{} ({}-{})",
            show::fixed(s.best, 2),
            show::fixed(s.low, 2),
            show::fixed(s.high, 2)
        )
    };
    let each: Vec<String> = now
        .by_steel
        .iter()
        .filter_map(|one| {
            let steel = model.plan().steels.get(one.steel)?;
            Some(format!("{} {}", steel.letter, pct(one.mean)))
        })
        .collect();
    let mut out = vec![format!(
        "carbon now, %: {}; skin {}",
        each.join(", "),
        pct(now.skin)
    )];
    if let Some((bar, face)) = now.edge {
        out.push(format!(
            "edge bar {} %, at the edge {} %",
            pct(bar),
            pct(face)
        ));
    }
    out.push(format!(
        "nickel blur ~{}-{}; contrast left ~{} % in a mean band",
        units.length(Mm(now.blur.low)),
        units.length(Mm(now.blur.high)),
        show::fixed(now.contrast.best * 100.0, 0)
    ));
    out
}

/// To the nearest mark that a rule shows: the number is an estimate.
fn tidy(mm: f64, units: Units) -> Mm {
    match units {
        Units::Mm => Mm(mm.round()),
        Units::Inch => Mm::from_inch((Mm(mm).inch() * 8.0).round() / 8.0),
    }
}
