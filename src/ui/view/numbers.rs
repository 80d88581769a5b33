//! Every number of fire and metal on one page, each with its band.

use super::heat::not_hardened;
use super::words::{band, has_nickel, heat, length, tidy, time};
use crate::billet::Kind;
use crate::physics::Spread;
use crate::session::{CarbonNow, FireAndMetal, HardenView, PressWord};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::{Celsius, Kilonewtons, Mm, show};

type Lines = Vec<(Meaning, String)>;

fn head(text: &str) -> (Meaning, String) {
    (Meaning::Head, text.to_owned())
}

fn line(text: impl Into<String>) -> (Meaning, String) {
    (Meaning::Text, format!("  {}", text.into()))
}

pub(super) fn page(model: &Model) -> Lines {
    let mut out = vec![(
        Meaning::Text,
        "Estimates all, for a trained smith. The makers' sheets come first.".to_owned(),
    )];
    let Some((step, found)) = model.session.current().zip(model.reckoned.as_ref()) else {
        out.push(line("Nothing in hand, or still being worked out."));
        return out;
    };
    if model.is_reckoning() {
        out.push((Meaning::Now, "(updating)".to_owned()));
    }
    if found.not_followed > 0 {
        let text = format!(
            "older trips to the fire left out: {}; scale, times and carbon leave them out too",
            found.not_followed
        );
        out.push((Meaning::Caution, text));
    }
    let kind = step.kind();
    if kind.is_hot() {
        out.extend(fire(model, kind, found));
        out.extend(machine(model, found));
    }
    out.extend(scale(model, found));
    if let Some(now) = &found.carbon {
        out.extend(carbon(model, now));
    }
    if let Some(view) = &found.harden {
        out.extend(harden(model, kind, view));
    }
    out.extend(colours(model));
    out
}

/// The heat in hand.
fn fire(model: &Model, kind: Kind, found: &FireAndMetal) -> Lines {
    let units = model.units();
    let meant = model.session.heating();
    let mut out = vec![head("THE FIRE")];
    out.push(line(format!(
        "heat to {}, stop at {}; colours are good to +/- 50 C [90 F]",
        heat(model, meant.top),
        heat(model, meant.floor)
    )));
    if let Some(fire) = &found.fire {
        let soak = model.session.soak();
        let soak = soak.map_or(String::new(), |soak| {
            format!(", then the soak of {}", show::span(soak))
        });
        out.push(line(format!(
            "in a fire at {} hot through in {}{soak}",
            units.temperature(meant.fire()),
            time(fire.through)
        )));
        if kind.is_worked() {
            let dies = if fire.contact_rules() {
                ", which take most of its heat,"
            } else {
                ""
            };
            out.push(line(format!(
                "out of it {} of work from {} to {}: hard under the dies{dies} to still air",
                time(fire.left),
                units.temperature(fire.top),
                units.temperature(fire.floor)
            )));
        }
    }
    if let Some(burns) = &found.burns {
        let limit = units.temperature(burns.limit);
        let (tone, why) = if burns.in_window {
            (Meaning::Caution, "the window of this step goes above it")
        } else {
            (Meaning::Text, "the fire goes above it: do not leave it in")
        };
        let text = format!(
            "  {} burns: never over {limit} (estimate); {why}",
            burns.steel
        );
        out.push((tone, text));
    }
    out
}

fn machine(model: &Model, found: &FireAndMetal) -> Lines {
    let units = model.units();
    let Some(word) = &found.press else {
        return Vec::new();
    };
    let mut out = vec![head("THE MACHINE")];
    match word {
        PressWord::Press {
            widest,
            asks,
            has,
            bite,
            at,
        } => {
            let [low, best, high] =
                [widest.low, widest.best, widest.high].map(|mm| units.length(tidy(mm, units)));
            out.push(line(format!(
                "this press moves up to ~{best} ({low} to {high}) of this bar at {}",
                heat(model, *at)
            )));
            out.push(line(format!(
                "a full bite of the die asks ~{} ({} to {}) of {}",
                units.force(Kilonewtons(asks.best)),
                units.force(Kilonewtons(asks.low)),
                units.force(Kilonewtons(asks.high)),
                units.force(*has)
            )));
            if let Some(bite) = bite {
                let text = format!(
                    "  too much: bite ~{} at a time, or go hotter within the window",
                    units.length(tidy(bite.best, units))
                );
                out.push((Meaning::Caution, text));
            }
        }
        PressWord::Hammer { off, verdict, at } => out.push(line(format!(
            "a blow takes {} off at {}: {verdict}",
            length(units, *off),
            heat(model, *at)
        ))),
    }
    out
}

fn scale(model: &Model, found: &FireAndMetal) -> Lines {
    let units = model.units();
    let scale = &found.scale;
    let share = |s: Spread| format!("{} %", band(s.scaled(100.0), 1));
    let mut out = vec![head("SCALE AND TIME AT HEAT")];
    if let Some(heat) = scale.expected {
        out.push(line(format!(
            "this heat, to its end: {} off each face",
            length(units, heat)
        )));
        out.push(line(format!(
            "this step so far: {} off each face, {} of the metal",
            length(units, scale.this_step),
            share(scale.share)
        )));
    }
    out.push(line(format!(
        "scale in all {} of the metal, by the plan's allowance and by readings",
        show::percent(model.situation.bar.scale, 1)
    )));
    out.push(line(format!(
        "above {} {} in all",
        units.temperature(Celsius(1100.0)),
        time(scale.above)
    )));
    out
}

fn carbon(model: &Model, now: &CarbonNow) -> Lines {
    let units = model.units();
    let pct = |s: Spread| format!("{} %", band(s, 2));
    let mut out = vec![head("CARBON AND NICKEL NOW: faces bare to faces sealed")];
    for one in &now.by_steel {
        if let Some(steel) = model.plan().steels.get(one.steel) {
            out.push(line(format!(
                "{} {}: {}, bought with {} %",
                steel.letter,
                steel.steel.grade,
                pct(one.mean),
                show::fixed(steel.steel.nominal.c, 2)
            )));
        }
    }
    out.push(line(format!(
        "outer {} of the layers: {}",
        units.length(Mm(0.2)),
        pct(now.skin)
    )));
    match &now.edge {
        Some(edge) => {
            let place = match edge.bar {
                Some(bar) => format!("plain bar at the edge: {}; in its outer", pct(bar)),
                None => "where the edge will be ground, in the middle".to_owned(),
            };
            let skin = units.length(Mm(0.2));
            out.push(line(format!("{place} {skin}: {}", pct(edge.mean))));
        }
        None => out.push(line(
            "at the edge: as the steels above, the layers are bent",
        )),
    }
    if !has_nickel(model) {
        return out;
    }
    out.push(line(format!(
        "nickel has spread {} at the oldest joints; the mean band is {}",
        length(units, now.blur),
        units.fine(now.band)
    )));
    out.push(line(format!(
        "contrast left in a mean band {} %",
        band(now.contrast.scaled(100.0), 0)
    )));
    out
}

fn harden(model: &Model, kind: Kind, view: &HardenView) -> Lines {
    let units = model.units();
    let degrees = |s: Spread| {
        let [low, high] = [s.low, s.high].map(|c| units.temperature(Celsius(c)));
        format!("{low} to {high}")
    };
    let mut out = vec![head(
        "HARDENING AND TEMPERING, with the carbon at the edge now",
    )];
    if let Some(text) = not_hardened(model, kind) {
        out.push((Meaning::Caution, text));
        return out;
    }
    match view.window {
        Some(window) => {
            let words = if view.common.overlap {
                "suits every steel"
            } else {
                "no heat suits every steel: the nearest"
            };
            let words = view.against.map_or_else(
                || words.to_owned(),
                |worked| {
                    format!(
                        "the plan's; worked for the carbon now ~{} to {}",
                        units.temperature(worked.low),
                        units.temperature(worked.high)
                    )
                },
            );
            out.push(line(format!(
                "harden {} to {}: {words}; the maker's sheet comes first",
                heat(model, window.low),
                heat(model, window.high)
            )));
        }
        None => out.push(line("no steel of this billet hardens")),
    }
    for one in &view.common.members {
        out.push(line(format!(
            "{}: {} to {} ({}); Ac1 {}; Ms {}",
            one.name,
            units.temperature(one.window.low),
            units.temperature(one.window.high),
            one.known.words(),
            degrees(one.ac1),
            degrees(one.start)
        )));
    }
    if !view.common.soft.is_empty() {
        out.push(line(format!(
            "do not harden: {}",
            view.common.soft.join(", ")
        )));
    }
    if let (Some(hard), Some(kept)) = (view.quenched, view.retained) {
        out.push(line(format!(
            "as quenched {} HRC; austenite kept {} %",
            band(hard, 0),
            band(kept.scaled(100.0), 0)
        )));
    }
    if let Some(through) = view.through {
        out.push(line(format!(
            "fast oil hardens a plate of {} through",
            length(units, through)
        )));
    }
    if let (Kind::Temper, Some(((low, high), window))) =
        (kind, view.tempered.zip(model.session.window()))
    {
        for (at, after) in [(window.low, low), (window.high, high)] {
            out.push(line(format!(
                "tempered at {}: {} HRC",
                units.temperature(at),
                band(after, 0)
            )));
        }
        out.push(line("the maker's tempering sheet comes first"));
    }
    out
}

/// The bands of this smith's eye.
fn colours(model: &Model) -> Lines {
    let units = model.units();
    let eye = &model.plan().shop.eye;
    let whose = if eye.pins.is_empty() {
        "YOUR COLOURS: a workshop's names, in a dim forge"
    } else {
        "YOUR COLOURS: pinned to your pyrometer"
    };
    let mut out = vec![head(whose)];
    let named = eye.school.bands().iter().filter_map(|known| {
        let own = eye.band(known.name)?;
        Some(format!(
            "{} {} to {}",
            known.name,
            units.temperature(own.low),
            units.temperature(own.high)
        ))
    });
    let all: Vec<String> = named.collect();
    out.extend(all.chunks(2).map(|pair| line(pair.join("; "))));
    if eye.pins.is_empty() {
        out.push(line(
            "pin them: colours = [\"cherry 840 C\", ...] under [shop] in the plan",
        ));
    }
    out
}
