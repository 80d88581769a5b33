//! `anvilside status PLAN`: where the billet is.

use std::path::Path;
use std::sync::Arc;

use serde_json::json;

use super::{FOUND, out};
use crate::journal::Fire;
use crate::physics::Spread;
use crate::plan::report;
use crate::planner::foresight::{Foresight, Outlook, foresee};
use crate::session::Session;
use crate::shell::clock::Clock;
use crate::shell::shop;
use crate::shell::store::read_entries;
use crate::units::{Stamp, show};

/// Prints where the job is; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path, json: bool) -> u8 {
    let mut session = match load(plan) {
        Ok(session) => session,
        Err(why) => {
            out::complain(&why);
            return FOUND;
        }
    };
    let seen = look_ahead(plan, &mut session);
    let now = Clock::start().now().at;
    if json {
        out::say(&format!("{:#}", as_json(&session, seen.as_ref(), now)));
    } else {
        out::say(&as_text(&session, seen.as_ref(), now));
    }
    0
}

/// The session of a plan: from its journal, or fresh from the plan file when nothing was done yet.
pub(super) fn load(plan: &Path) -> Result<Session, String> {
    let entries = read_entries(plan).map_err(|why| why.to_string())?;
    let entries = if entries.is_empty() {
        let text = super::work::plan_text(plan)?;
        if let Err(found) = crate::plan::read(&text) {
            let first = found.first().map(ToString::to_string).unwrap_or_default();
            return Err(format!(
                "{}: {first}; `anvilside check` tells all that is wrong",
                plan.display()
            ));
        }
        vec![super::work::first_entry(&text, Stamp(0))]
    } else {
        entries
    };
    Session::fold(entries).map_err(|why| format!("{}: {why}", plan.display()))
}

/// What is to come, with what the folder's journals teach; none when the job is done.
fn look_ahead(plan: &Path, session: &mut Session) -> Option<Foresight> {
    if session.is_finished() {
        return None;
    }
    let found = shop::read(plan);
    let book = found.book.unwrap_or_else(|why| {
        out::complain(&why);
        Default::default()
    });
    for why in &found.trouble {
        out::complain(&format!("not learnt from: {why}"));
    }
    Some(foresee(&Outlook {
        version: 0,
        session: Box::new(session.without_log()),
        others: Arc::new(found.others),
        book,
        cut: None,
    }))
}

fn fire(session: &Session) -> &'static str {
    match session.fire.0 {
        Fire::Cold => "cold",
        Fire::In => "in the fire",
        Fire::Out => "hot, out of the fire",
    }
}

fn as_text(session: &Session, seen: Option<&Foresight>, now: Stamp) -> String {
    let units = session.plan.units;
    let billet = &session.billet;
    let mut lines = vec![session.plan.title.clone()];
    match session.current() {
        Some(step) => lines.push(format!(
            "step {} of {}: {} (day {} of {})",
            session.at + 1,
            session.plan.steps.len(),
            step.name(),
            session.day(),
            session.days()
        )),
        None => lines.push(format!(
            "all {} done",
            show::counted(session.plan.steps.len(), "step")
        )),
    }
    if let Some(last) = session.last.filter(|_| session.has_begun()) {
        lines.push(format!(
            "last entry {} ago, piece {}",
            show::span(now.since(last)),
            fire(session)
        ));
    } else {
        lines.push("not begun".to_owned());
    }
    lines.push(format!(
        "now: {} x {}, {} in all",
        billet.pieces,
        billet.outside(units),
        units.mass(billet.mass())
    ));
    lines.push(format!(
        "layers: {}, want {} to {}",
        show::layers(billet.nominal, billet.bands()),
        session.plan.goal.bands_least,
        session.plan.goal.bands_most
    ));
    let ledger = &billet.ledger;
    lines.push(format!(
        "metal: {} in, {} lost, {} kept aside",
        units.volume(ledger.start + ledger.added),
        units.volume(ledger.lost()),
        units.volume(billet.stock_volume())
    ));
    if let Some(seen) = seen {
        lines.push(format!(
            "{} (estimate)",
            seen.forecast.enough.text(session.plan.units)
        ));
        if let Some(warning) = seen
            .forecast
            .edge
            .as_ref()
            .and_then(|edge| edge.warning(units))
        {
            lines.push(format!("edge: {warning}"));
        }
    }
    for off in seen.iter().flat_map(|seen| &seen.off) {
        lines.push(format!("off the plan: {off}"));
    }
    for owed in &session.owed {
        let kind = if owed.overridden {
            "passed over"
        } else {
            "put off"
        };
        lines.push(format!(
            "owed: {}: {kind}: {} ({})",
            owed.step, owed.text, owed.reason
        ));
    }
    for count in session.countdowns(now) {
        lines.push(format!(
            "clock: {} {} left",
            count.name,
            show::clock(count.left)
        ));
    }
    lines.join("\n")
}

fn as_json(session: &Session, seen: Option<&Foresight>, now: Stamp) -> serde_json::Value {
    json!({
        "format": 1,
        "title": session.plan.title,
        "units": session.plan.units,
        "finished": session.is_finished(),
        "step": session.current().map(|step| json!({
            "number": session.at + 1,
            "id": step.id.0,
            "kind": step.kind().word(),
            "title": step.name(),
        })),
        "steps": session.plan.steps.len(),
        "day": session.day(),
        "days": session.days(),
        "entries": session.seq,
        "last_entry_ms": session.last.filter(|_| session.has_begun()).map(|at| at.0),
        "piece": fire(session),
        "heats_in_step": session.step.heats,
        // A sum with zero has no minus.
        "in_fire_s": session.in_fire(now).0 + 0.0,
        "billet": report::billet(&session.billet),
        "totals": report::totals(&session.billet),
        "owed": session.owed.iter().map(|owed| json!({
            "step": owed.step.0,
            "item": owed.item.0,
            "text": owed.text,
            "reason": owed.reason,
            "overridden": owed.overridden,
        })).collect::<Vec<_>>(),
        "forecast": seen.map(forecast_json),
        "clocks": session.countdowns(now).iter().map(|count| json!({
            "name": count.name,
            "left_s": count.left.0,
        })).collect::<Vec<_>>(),
    })
}

/// The forecast, as JSON: bands are the lower and the upper end of nine in ten, and the middle.
fn forecast_json(foresight: &Foresight) -> serde_json::Value {
    let seen = &foresight.forecast;
    let band = |of: Spread| json!({ "low": of.low, "best": of.best, "high": of.high });
    let (mild, bad) = seen.enough.short_by;
    json!({
        "enough": seen.enough.probability,
        "short_g": { "low": mild.0, "high": bad.0 },
        "spare_g": band(seen.enough.spare),
        "off": foresight.off,
        "as_planned": seen.holds,
        "heats": band(seen.heats),
        "minutes": band(seen.minutes),
        "edge": seen.edge.as_ref().map(|edge| json!({
            "left_mm": band(edge.left),
            "least_mm": edge.least.0,
            "nearer": edge.nearer.0,
        })),
    })
}
