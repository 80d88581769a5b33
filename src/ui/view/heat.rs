//! The numbers of fire and metal for the step in hand, beside the sizes.
//!
//! The most wanted come first. Where they do not all fit in full they are cut to a line each; the
//! page behind `a` has them all ([`super::numbers`]).

use ratatui::layout::Rect;

use super::pen::{Pen, wrap};
use super::words::{band, colour, has_nickel, length, tidy, time};
use crate::billet::Kind;
use crate::journal::Fire;
use crate::physics::Spread;
use crate::plan::HeatWindow;
use crate::session::{CarbonNow, FireAndMetal, HardenView, PressWord};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::{Celsius, Kilonewtons, Mm, show};

/// How much is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Say {
    /// With bands.
    Full,
    /// A line each.
    Short,
}

/// Draws from `row` on; returns the row behind it.
pub(super) fn draw(model: &Model, area: Rect, row: u16, pen: &mut Pen<'_>) -> u16 {
    let Some((step, found)) = model.session.current().zip(model.reckoned.as_ref()) else {
        return row;
    };
    let room = usize::from(area.height.saturating_sub(row));
    let full = lines(model, step.kind(), found, Say::Full);
    let tall: usize = full.iter().map(|line| wrap(line, area.width).len()).sum();
    let said = if tall <= room {
        full
    } else {
        lines(model, step.kind(), found, Say::Short)
    };
    let mut row = row;
    for (n, line) in said.iter().enumerate() {
        let text = if n == 0 && model.is_reckoning() {
            format!("(updating) {line}")
        } else {
            line.clone()
        };
        row = pen.wrapped(area, row, &text, Meaning::Text);
    }
    row
}

/// The numbers as lines, the most wanted first.
fn lines(model: &Model, kind: Kind, found: &FireAndMetal, say: Say) -> Vec<String> {
    let units = model.units();
    let mut out = Vec::new();
    // In few words it stands beside the clock and in the banner.
    if let Some(burns) = model.burns().filter(|_| say == Say::Full) {
        let limit = units.temperature(burns.limit);
        out.push(format!("! {} burns over {limit} (estimate)", burns.steel));
    }
    if matches!(kind, Kind::Harden | Kind::Temper) {
        let view = found.harden.as_ref();
        out.extend(view.map_or(Vec::new(), |view| harden(model, kind, view, say)));
    } else if kind.is_hot() {
        out.extend(times(model, kind, found));
        out.extend(found.press.as_ref().map(|word| press(model, word, say)));
        out.extend(scale(model, found, say));
    }
    let carbon = found.carbon.as_ref();
    out.extend(carbon.map_or(Vec::new(), |now| carbon_lines(model, now, say)));
    out
}

/// What the clock does not show at the moment.
fn times(model: &Model, kind: Kind, found: &FireAndMetal) -> Vec<String> {
    let units = model.units();
    let piece = model.session.piece(model.now);
    let mut out = Vec::new();
    let Some(fire) = &found.fire else {
        return out;
    };
    if piece != Fire::In {
        out.push(format!("hot through {}", time(fire.through)));
    }
    if piece != Fire::Out && kind.is_worked() {
        out.push(format!(
            "out ~{} s to {} ({}-{} s)",
            show::fixed(fire.left.best, 0),
            units.temperature(fire.floor),
            show::fixed(fire.left.low, 0),
            show::fixed(fire.left.high, 0)
        ));
    }
    out
}

/// What the shop's machine moves.
fn press(model: &Model, word: &PressWord, say: Say) -> String {
    let units = model.units();
    let at = |at: Celsius| format!("{}, {}", colour(model, at), units.temperature(at));
    match word {
        PressWord::Press {
            widest,
            asks,
            has,
            bite,
            at: hot,
        } => {
            let wide = units.length(tidy(widest.best, units));
            let asked = units.force(Kilonewtons(asks.best));
            match (bite, say) {
                (Some(bite), _) => format!(
                    "! bite asks ~{asked} of {}: bite ~{} at {}",
                    units.force(*has),
                    units.length(tidy(bite.best, units)),
                    at(*hot)
                ),
                (None, Say::Short) => format!("press: ~{wide} wide at {}", colour(model, *hot)),
                (None, Say::Full) => format!(
                    "this press moves up to ~{wide} of this bar at {}; this bite asks ~{asked} of {}",
                    at(*hot),
                    units.force(*has)
                ),
            }
        }
        PressWord::Hammer {
            off,
            verdict,
            at: hot,
        } => format!(
            "a blow takes ~{} at {}: {verdict}",
            units.fine(Mm(off.best)),
            at(*hot)
        ),
    }
}

/// Scale expected this heat and in all; time at heat.
fn scale(model: &Model, found: &FireAndMetal, say: Say) -> Vec<String> {
    let units = model.units();
    let scale = &found.scale;
    let all = show::percent(model.situation.bar.scale, 1);
    let mut out = Vec::new();
    let above = format!(
        "above {} ~{}",
        units.temperature(Celsius(1100.0)),
        show::span(crate::units::Seconds(scale.above.best))
    );
    match (scale.expected, say) {
        (Some(heat), Say::Full) => out.push(format!(
            "scale this heat {} a face; in all {all}",
            length(units, heat)
        )),
        (Some(heat), Say::Short) => out.push(format!(
            "scale ~{}, in all {all}",
            units.fine(Mm(heat.best))
        )),
        (None, _) => out.push(format!("scale in all {all}")),
    }
    out.push(match say {
        Say::Full => format!("{above} in all"),
        Say::Short => above,
    });
    out
}

/// The hardening and tempering window of this billet; the maker's sheet comes first.
fn harden(model: &Model, kind: Kind, view: &HardenView, say: Say) -> Vec<String> {
    if let Some(text) = not_hardened(model, kind) {
        return vec![text];
    }
    let units = model.units();
    let mut out = Vec::new();
    if kind == Kind::Temper {
        out.push(view.tempered.map_or_else(
            || "no temper figures for this carbon or heat".to_owned(),
            |(low, high)| tempered(low, high),
        ));
    } else if let Some(window) = view.window {
        let span = |window: HeatWindow| {
            format!(
                "{} to {}",
                units.temperature(window.low),
                units.temperature(window.high)
            )
        };
        out.push(match view.against {
            Some(worked) => format!(
                "! harden {} by the plan; worked ~{}",
                span(window),
                span(worked)
            ),
            None if view.common.overlap => format!("harden {} (suits all)", span(window)),
            None => format!("harden {} (no common window: nearest)", span(window)),
        });
    }
    out.push("the maker's sheet comes first".to_owned());
    if !view.common.soft.is_empty() {
        out.push(format!("do not harden: {}", view.common.soft.join(", ")));
    }
    if let Some(quenched) = view.quenched {
        out.push(format!("as quenched {} HRC", band(quenched, 0)));
    }
    if let Some(kept) = view.retained {
        out.push(format!("austenite kept {} %", band(kept.scaled(100.0), 0)));
    }
    if say == Say::Full
        && let Some(through) = view.through
    {
        out.push(format!(
            "fast oil hardens {} through",
            length(units, through)
        ));
    }
    out
}

/// A blade that was ended before it was hot: no temper makes it harder.
pub(super) fn not_hardened(model: &Model, kind: Kind) -> Option<String> {
    let found = model.reckoned.as_ref().filter(|_| kind != Kind::Harden)?;
    let at = model.units().about(found.unhardened?);
    Some(format!(
        "! NOT HARDENED: it was at {at} at the most (estimate); harden it again"
    ))
}

/// Hardness after a temper anywhere in the step's window.
fn tempered(low: Spread, high: Spread) -> String {
    let all = Spread {
        low: high.low,
        best: f64::midpoint(low.best, high.best),
        high: low.high,
    };
    format!("after this temper {} HRC", band(all, 0))
}

/// Carbon by steel, at the skin and the edge; nickel's blur beside the band.
fn carbon_lines(model: &Model, now: &CarbonNow, say: Say) -> Vec<String> {
    let units = model.units();
    let pct = |s: Spread| match say {
        Say::Full => band(s, 2),
        Say::Short => format!("~{}", show::fixed(s.best, 2)),
    };
    let each: Vec<String> = now
        .by_steel
        .iter()
        .filter_map(|one| {
            let steel = model.plan().steels.get(one.steel)?;
            Some(format!("{} {}", steel.letter, pct(one.mean)))
        })
        .collect();
    let each = each.join(", ");
    let mut out = Vec::new();
    match (say, &now.edge) {
        (Say::Full, edge) => {
            out.push(format!("carbon now, %: {each}; skin {}", pct(now.skin)));
            out.extend(edge.as_ref().map(|edge| match edge.bar {
                Some(bar) => format!("edge bar {} %, at the edge {} %", pct(bar), pct(edge.mean)),
                None => format!("carbon at the edge {} %", pct(edge.mean)),
            }));
        }
        (Say::Short, Some(edge)) => out.push(format!("C % {each}; edge {}", pct(edge.mean))),
        (Say::Short, None) => out.push(format!("C % {each}; skin {}", pct(now.skin))),
    }
    if !has_nickel(model) {
        return out;
    }
    out.push(match say {
        Say::Full => format!(
            "nickel blur ~{} to {}, mean band {}; contrast left ~{} %",
            units.fine(Mm(now.blur.low)),
            units.fine(Mm(now.blur.high)),
            units.fine(now.band),
            show::fixed(now.contrast.best * 100.0, 0)
        ),
        Say::Short => format!("nickel blur ~{}", units.fine(Mm(now.blur.best))),
    });
    out
}
