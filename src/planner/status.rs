//! Where a job stands, in words and as JSON: what `anvilside status` prints.

use serde_json::{Value, json};

use super::foresight::Foresight;
use super::situation::{Odds, Situation};
use crate::billet::advice::{Advice, Ends};
use crate::journal::Fire;
use crate::physics::Spread;
use crate::plan::report;
use crate::session::{BarLine, ItemView, Matching, Session, Size};
use crate::units::{Stamp, show};

fn fire(fire: Fire) -> &'static str {
    match fire {
        Fire::Cold => "cold",
        Fire::In => "in the fire",
        Fire::Out => "hot, out of the fire",
    }
}

/// In words, a fact a line.
#[must_use]
pub fn text(
    session: &Session,
    situation: &Situation,
    seen: Option<&Foresight>,
    now: Stamp,
) -> String {
    let units = session.plan.units;
    let billet = session.metal();
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
            fire(session.fire.0)
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
    lines.extend(session.bars().iter().map(BarLine::text));
    if session.at == 0 {
        let cut = session.plan.cut_list();
        lines.extend(cut.iter().map(|line| format!("cut: {}", line.text(units))));
    }
    if let Some(counted) = situation.bar.counted_off() {
        lines.push(format!("in hand: {counted}"));
    }
    let matching = situation.bar.matching.iter();
    lines.extend(matching.map(|one| format!("must match: {}", one.text(units))));
    let sizes = situation.bar.sizes.iter();
    lines.extend(sizes.map(|size| size.line(units)));
    let wanted = match session.goes_into() {
        Some(bar) => format!("it goes into bar {bar}"),
        None => format!(
            "want {} to {}",
            session.plan.goal.bands_least, session.plan.goal.bands_most
        ),
    };
    lines.push(format!("layers: {}, {wanted}", billet.counts_text()));
    lines.push(format!("bands: {}", billet.counts().text()));
    let restacks = situation.bar.restacks.iter().flatten();
    lines.extend(restacks.map(|one| restack(one, situation.bar.has_bands)));
    lines.extend(metal(session, situation));
    if let Some(outlook) = situation.outlook(units).into_iter().next() {
        lines.push(format!("{outlook} (estimate)"));
    }
    let ends = situation.ends.iter();
    lines.extend(ends.map(|ends| format!("ends: {}", ends.text(units))));
    let edge = seen.and_then(|seen| seen.forecast.edge.as_ref()?.warning(units));
    lines.extend(edge.map(|warning| format!("edge: {warning}")));
    let off = situation.off.iter();
    lines.extend(off.map(|off| format!("off the plan: {off}")));
    let open = situation.card.open_words();
    lines.extend(open.map(|words| format!("card: {words}")));
    let owed = session.owed.iter();
    lines.extend(owed.map(|owed| format!("owed: {}", owed.text())));
    lines.extend(situation.day.map(|day| day.text(session.offset)));
    let costs = situation.costs.iter();
    lines.extend(costs.flat_map(|costs| costs.lines(session.is_finished())));
    for count in &situation.clocks {
        lines.push(format!(
            "clock: {} {} left",
            count.name,
            show::clock(count.left)
        ));
    }
    lines.join("\n")
}

/// `restacks: 4 high, 2 more: 121 bands, ok`.
fn restack(one: &Advice, has_bands: bool) -> String {
    let head = format!("restacks: {}", one.named());
    match (one.count(), one.ends) {
        (0, Ends::Reaches | Ends::Overshoots) => format!("{head}, 0 more: {}", one.none(has_bands)),
        (0, _) => format!("{head}: {}", one.none(has_bands)),
        (more, _) => {
            let bands = show::count(one.bands);
            format!("{head}, {more} more: {bands} bands, {}", one.state())
        }
    }
}

/// What went in, what was lost and what lies aside. The volumes are of all bars, the shares of the one in hand, so
/// where there are several each has its own line.
fn metal(session: &Session, situation: &Situation) -> Vec<String> {
    let units = session.plan.units;
    let billet = session.metal();
    let ledger = billet.balance();
    let [_, stock] = billet.whole();
    let into = units.volume(ledger.start + ledger.added);
    let lost = units.volume(ledger.lost());
    let aside = units.volume(stock);
    let share = show::percent(situation.bar.lost, 1);
    let scale = show::percent(situation.bar.scale, 1);
    if billet.others.is_empty() {
        return vec![format!(
            "metal: {into} in, {lost} lost ({share}, scale {scale}), {aside} kept aside"
        )];
    }
    vec![
        format!("metal, all bars: {into} in, {lost} lost, {aside} kept aside"),
        format!("metal, {}: lost {share}, scale {scale}", billet.called()),
    ]
}

/// As JSON.
#[must_use]
pub fn json(
    session: &Session,
    situation: &Situation,
    seen: Option<&Foresight>,
    now: Stamp,
) -> Value {
    let bar = &situation.bar;
    let mut out = json!({
        "format": report::FORMAT,
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
        "piece": fire(session.fire.0),
        "piece_in_hand": bar.piece.map(|(piece, _)| piece),
        "pieces_in_turn": session.in_turn(),
        "lying": bar.lying.iter().map(|one| json!({
            "piece": one.piece,
            "is": fire(one.fire),
            "for_s": one.span.0,
        })).collect::<Vec<_>>(),
        "heats_in_step": session.step.heats,
        // A sum with zero has no minus.
        "in_fire_s": session.in_fire(now).0 + 0.0,
        "billet": report::billet(session.metal()),
        "totals": report::totals(session.metal()),
        "bars": session.bars().iter().map(|bar| json!({
            "name": bar.name,
            "mark": bar.mark,
            "in_hand": bar.in_hand,
            "size": bar.size,
            "next": bar.next,
        })).collect::<Vec<_>>(),
        "sizes": bar.sizes.iter().map(size).collect::<Vec<_>>(),
        "restacks": bar.restacks.as_ref().map(|all| {
            all.iter().map(|one| restack_json(one, bar.has_bands)).collect::<Vec<_>>()
        }),
        "lost": bar.lost.0 + 0.0,
        "scale": bar.scale.0 + 0.0,
        "broken": situation.broken.as_ref().map(|broken| json!({
            "step": broken.step.0,
            "title": broken.name,
            "why": broken.why.what,
            "remedy": broken.why.remedy,
        })),
        "off": situation.off,
        "card": situation.card.items.iter().filter(|item| item.is_open()).map(item).collect::<Vec<_>>(),
        "owed": session.owed.iter().map(|owed| json!({
            "step": owed.step.0,
            "item": owed.item.0,
            "text": owed.text,
            "reason": owed.reason,
            "overridden": owed.overridden,
        })).collect::<Vec<_>>(),
        "forecast": seen.zip(situation.odds.as_ref()).map(|(seen, odds)| outlook(situation, seen, odds)),
        "ends": situation.ends.as_ref().map(|ends| json!({
            "step": ends.step.0,
            "planned_mm": ends.planned.0,
            "test_piece_mm": ends.test_piece.0,
            "off_mm": band(ends.off),
            "from": ends.from,
        })),
        "day_left": situation.day.map(|day| json!({
            "work_min": band(day.work),
            "fire_out_ms": day.fire_out.0,
            "watch_s": day.watch.map(|watch| watch.0),
            "ends_ms": day.ends.0,
        })),
        "costs": situation.costs.as_ref().map(|costs| costs.json(session.is_finished())),
        "clocks": situation.clocks.iter().map(|count| json!({
            "name": count.name,
            "left_s": count.left.0,
        })).collect::<Vec<_>>(),
    });
    if let Some(out) = out.as_object_mut() {
        let alike = bar
            .alike
            .map(|(number, of)| json!({ "number": number, "of": of }));
        out.insert("alike".to_owned(), json!(alike));
        let all: Vec<Value> = bar.matching.iter().map(matching).collect();
        out.insert("matching".to_owned(), json!(all));
    }
    out
}

/// What is foreseen of the metal, the plan and the time.
fn outlook(situation: &Situation, seen: &Foresight, odds: &Odds) -> Value {
    let (mild, bad) = odds.enough.short_by;
    json!({
        "enough": odds.enough.probability,
        "short_g": { "low": mild.0, "high": bad.0 },
        "spare_g": band(odds.enough.spare),
        "blade_short_mm": odds.enough.blade_short.map(|by| by.0),
        "off": situation.off,
        "as_planned": if situation.broken.is_some() { 0.0 } else { odds.planned.chance },
        "heats": band(odds.heats),
        "minutes": band(odds.minutes),
        "edge": seen.forecast.edge.as_ref().map(|edge| json!({
            "left_mm": band(edge.left),
            "least_mm": edge.least.0,
            "nearer": edge.nearer.0,
        })),
    })
}

/// A range as the lower and the upper end of nine in ten, and the middle.
fn band(of: Spread) -> Value {
    json!({ "low": of.low, "best": of.best, "high": of.high })
}

fn matching(one: &Matching) -> Value {
    json!({
        "what": one.what,
        "wanted": one.wanted.0,
        "bars": one.bars.iter().map(|(bar, size)| json!({
            "bar": bar,
            "size": size.0,
        })).collect::<Vec<_>>(),
        "apart": one.apart.0,
        "do": one.todo,
    })
}

fn size(size: &Size) -> Value {
    json!({
        "what": size.what,
        "unit": size.what.unit(),
        "wanted": size.wanted,
        "named": size.named,
        "read": size.read.as_ref().map(|read| read.cold),
        "hot_c": size.read.as_ref().and_then(|read| read.hot).map(|at| at.0),
        "typed": size.read.as_ref().map(|read| &read.typed),
        "off": size.off(),
        "aside": size.aside.iter().map(|(piece, read)| json!({
            "piece": piece,
            "read": read,
        })).collect::<Vec<_>>(),
        "alike": size.alike.iter().map(|(bar, read)| json!({
            "bar": bar,
            "read": read,
        })).collect::<Vec<_>>(),
    })
}

fn restack_json(one: &Advice, has_bands: bool) -> Value {
    let reached = one.count() == 0 && one.ends == Ends::Reaches && has_bands;
    json!({
        "pieces": one.pieces,
        "order": one.order,
        "more": one.count(),
        "bands": u64::try_from(one.bands).unwrap_or(u64::MAX),
        "state": if reached { "reached" } else { one.state() },
        "shortest_piece_mm": one.shortest().map(|piece| piece.0),
    })
}

fn item(item: &ItemView) -> Value {
    json!({
        "item": item.caution.id.0,
        "text": item.caution.text,
        "killer": item.caution.killer,
    })
}
