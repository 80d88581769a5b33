//! The short list as JSON, metric whatever the units of the wish. Keys: `plans/JSON.md`.

use serde_json::{Value, json};

use crate::billet::{Move, Stage};
use crate::physics::Spread;
use crate::plan::dry_run;
use crate::plan::report::{self, FORMAT};
use crate::planner::draft::{Drafted, Offer, Outlook, Wish};

/// No plan, and why.
pub(super) fn none(wish: &Wish, why: &[String]) -> Value {
    json!({
        "format": FORMAT,
        "title": wish.title,
        "units": wish.units,
        "command": wish.command,
        "candidates": Value::Null,
        "journals": Value::Null,
        "written": Value::Null,
        "limits": why,
        "plans": [],
    })
}

/// The short list; `written` is the place of the plan that was written, and its file.
pub(super) fn plans(found: &Drafted, written: Option<&(usize, String)>) -> Value {
    let plans = found.offers.iter().enumerate();
    let plans: Vec<Value> = plans
        .map(|(at, (offer, seen))| plan(at, offer, seen))
        .collect();
    json!({
        "format": FORMAT,
        "title": found.wish.title,
        "units": found.wish.units,
        "command": found.wish.command,
        "candidates": found.candidates,
        "journals": found.journals,
        "written": written.map(|(at, file)| json!({ "number": at + 1, "file": file })),
        "limits": [],
        "plans": plans,
    })
}

/// Whole thousandths: more is noise of the arithmetic.
fn tidy(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}

fn band(of: Spread) -> Value {
    json!({ "low": tidy(of.low), "best": tidy(of.best), "high": tidy(of.high) })
}

fn plan(at: usize, offer: &Offer, seen: &Outlook) -> Value {
    let (height, width) = offer.stack;
    let (mild, bad) = seen.enough.short_by;
    json!({
        "number": at + 1,
        "why": offer.why,
        "mind": offer.mind,
        "sequence": offer.sequence,
        "nominal": offer.nominal,
        "bands": offer.bands,
        "shelf": offer.plan.takes().collect::<Vec<_>>(),
        "welds": offer.welds,
        "days": offer.days,
        "stack": {
            "pieces": offer.plan.bars.iter().map(|bar| bar.pieces.len()).sum::<usize>(),
            "width_mm": tidy(width.0),
            "height_mm": tidy(height.0),
            "length_mm": tidy(offer.length.0),
        },
        "frame": frame(offer),
        "blank": offer.blank.as_ref().map(report::blank),
        "heats": band(seen.heats),
        "minutes": band(seen.minutes),
        "enough": tidy(seen.enough.probability),
        "as_planned": tidy(seen.planned.chance),
        "edge": seen.edge.as_ref().map(|edge| json!({
            "left_mm": band(edge.left),
            "least_mm": tidy(edge.least.0),
            "nearer": tidy(edge.nearer.0),
        })),
        "short_g": { "low": tidy(mild.0), "high": tidy(bad.0) },
        "spare_g": band(seen.enough.spare),
        "cost": seen.cost.as_ref().map(|(currency, cost)| json!({
            "currency": currency,
            "whole": band(*cost),
        })),
        "steel_g": tidy(offer.steel.0),
        "left_g": tidy(offer.left.0),
        "yield": tidy(offer.yields.0),
        "buy": offer.cuts.iter().map(|cut| json!({
            "steel": cut.key,
            "grade": cut.grade,
            "pieces": cut.pieces,
            "width_mm": tidy(cut.size.0.0),
            "thickness_mm": tidy(cut.size.1.0),
            "length_mm": tidy(cut.size.2.0),
            "bar_mm": tidy(cut.bar.0),
            "mass_g": tidy(cut.mass.0),
        })).collect::<Vec<_>>(),
        "tallest": {
            "height_mm": tidy(offer.tallest.0.0),
            "width_mm": tidy(offer.tallest.1.0),
        },
        "shortest_mm": tidy(offer.shortest.0),
        "steps": steps(offer),
        "toml": offer.text,
    })
}

/// The plain bars; null without a frame.
fn frame(offer: &Offer) -> Value {
    let bars = offer.plan.steps.iter().find_map(|step| match &step.made {
        Move::Frame { bars, .. } => Some(bars),
        _ => None,
    });
    bars.map_or(Value::Null, |bars| {
        let plain = bars
            .iter()
            .filter_map(|bar| Some((bar.side, bar.as_plain()?)));
        let each = plain.map(|(side, (steel, thickness))| {
            let steel = offer.plan.steels.get(steel.index());
            json!({
                "side": side.word(),
                "steel": steel.map(|steel| steel.key.clone()),
                "thickness_mm": tidy(thickness.0),
            })
        });
        Value::Array(each.collect())
    })
}

/// Every step with the sizes after it.
fn steps(offer: &Offer) -> Vec<Value> {
    let walk = dry_run(&offer.plan, 0, &offer.plan.first_billet());
    let each = offer.plan.steps.iter().zip(&walk.rows).enumerate();
    each.map(|(at, (step, row))| {
        let billet = &row.billet;
        let bar = &billet.bar;
        let size = |value: f64| (billet.stage < Stage::Forged).then(|| tidy(value));
        json!({
            "number": at + 1,
            "id": step.id.0,
            "kind": step.kind().word(),
            "title": step.name(),
            "day": step.day,
            "heats": step.heats,
            "width_mm": size(bar.width.0),
            "thickness_mm": size(bar.thickness.0),
            "length_mm": size(bar.length.0),
            "pieces": billet.pieces,
            "mass_g": tidy(billet.mass().0),
            "nominal": billet.nominal,
            "bands": billet.bands(),
        })
    })
    .collect()
}
