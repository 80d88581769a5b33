//! A plan as the text of a plan file, with comments, that reads back to the same plan.

mod number;
mod stack;
mod steel;
mod step;

use std::collections::BTreeMap;

use crate::billet::Kind;
use crate::plan::{Fuel, Machine, Pattern, Plan, Quench, Row, dry_run};
use crate::units::show;

/// The text of a plan file. `head` are comment lines for its top; behind each step that changes the
/// metal a comment says what the plan expects after it.
#[must_use]
pub fn write(plan: &Plan, head: &[String]) -> String {
    let mut out = String::new();
    for line in head {
        out.push_str(&comment(line));
    }
    top(plan, &mut out);
    goal(plan, &mut out);
    out.push_str("\n[steels]\n");
    push_lines(&mut out, steel::lines(plan));
    shop(plan, &mut out);
    out.push_str("\n[stack]\n");
    push_lines(&mut out, stack::lines(plan));
    steps(plan, &mut out);
    out
}

/// A comment is one line, whatever is in it.
fn comment(line: &str) -> String {
    let safe = show::plain(&line.replace(['\r', '\n', '\t'], " "), 400);
    format!("# {}\n", safe.trim_end())
}

fn push_lines(out: &mut String, lines: Vec<String>) {
    for line in lines {
        out.push_str(&line);
        out.push('\n');
    }
}

/// A list of texts, one on each line when there is more than one.
fn list(texts: &[String]) -> String {
    let quoted: Vec<String> = texts.iter().map(|text| number::text(text)).collect();
    match quoted.as_slice() {
        [] => "[]".to_owned(),
        [one] => format!("[{one}]"),
        many => format!("[\n  {},\n]", many.join(",\n  ")),
    }
}

fn top(plan: &Plan, out: &mut String) {
    if !out.is_empty() {
        out.push('\n');
    }
    let units = match plan.units {
        show::Units::Mm => "mm",
        show::Units::Inch => "inch",
    };
    let mut lines = vec![
        format!("title = {}", number::text(&plan.title)),
        format!("units = {}", number::text(units)),
    ];
    if !plan.notes.is_empty() {
        lines.push(format!("notes = {}", list(&plan.notes)));
    }
    push_lines(out, lines);
}

fn goal(plan: &Plan, out: &mut String) {
    let goal = &plan.goal;
    let size = |value| number::length(plan.units, value);
    out.push_str("\n[goal]\n");
    let mut lines = vec![
        format!("pattern = {}", number::text(pattern_word(goal.pattern))),
        format!("bands = [{}, {}]", goal.bands_least, goal.bands_most),
        format!("knives = {}", goal.knives),
    ];
    if let Some(margin) = goal.edge_margin {
        lines.push(format!("edge-margin = {}", size(margin)));
    }
    let blade = &goal.blade;
    lines.extend([
        String::new(),
        "[goal.blade]".to_owned(),
        format!("length = {}", size(blade.length)),
        format!("width = {}", size(blade.width)),
        format!("spine = {}", size(blade.spine)),
        format!("spine-tip = {}", size(blade.spine_tip)),
        format!("edge = {}", size(blade.edge)),
    ]);
    if blade.bevel < 1.0 {
        lines.push(format!(
            "bevel = {}",
            number::share(crate::units::Fraction(blade.bevel))
        ));
    }
    if let Some(tang) = &goal.tang {
        lines.extend([
            String::new(),
            "[goal.tang]".to_owned(),
            format!("length = {}", size(tang.length)),
            format!("width = {}", size(tang.width)),
            format!("thickness = {}", size(tang.thickness)),
            format!("width-end = {}", size(tang.width_end)),
            format!("thickness-end = {}", size(tang.thickness_end)),
        ]);
    }
    if let Some(bolster) = &goal.bolster {
        lines.extend([
            String::new(),
            "[goal.bolster]".to_owned(),
            format!("length = {}", size(bolster.length)),
            format!("width = {}", size(bolster.width)),
            format!("thickness = {}", size(bolster.thickness)),
        ]);
    }
    push_lines(out, lines);
}

/// The word for a pattern family in a plan file.
#[must_use]
pub fn pattern_word(pattern: Pattern) -> &'static str {
    match pattern {
        Pattern::Random => "random",
        Pattern::Ladder => "ladder",
        Pattern::Raindrop => "raindrop",
        Pattern::Twist => "twist",
        Pattern::TurnedW => "turned-w",
        Pattern::Feather => "feather",
        Pattern::ThreeLayer => "three-layer",
        Pattern::Straight => "straight",
    }
}

fn shop(plan: &Plan, out: &mut String) {
    let shop = &plan.shop;
    let allow = &shop.allowances;
    let size = |value| number::length(plan.units, value);
    out.push_str("\n[shop]\n");
    let mut lines = vec![match shop.machine {
        Machine::Hand => "hand = true".to_owned(),
        Machine::Press { force } => format!("press = {}", number::force(force)),
        Machine::Hammer { ram } => format!("hammer = {}", number::mass(plan.units, ram)),
    }];
    lines.extend([
        format!("die = {}", size(shop.die)),
        format!("kerf = {}", size(allow.kerf)),
        format!("grind = {}", size(allow.grind)),
        format!("trim = {}", size(allow.trim)),
        format!("scale = {}", number::share(allow.scale)),
        format!("mark = {}", size(allow.mark)),
        format!("shortest = {}", size(allow.shortest)),
    ]);
    for (key, limit) in [
        ("widest", allow.widest),
        ("tallest", allow.tallest),
        ("longest", allow.longest),
    ] {
        lines.extend(limit.map(|limit| format!("{key} = {}", size(limit))));
    }
    if shop.fuel != Fuel::default() {
        lines.push(format!("fuel = {}", number::text(shop.fuel.word())));
    }
    if shop.quench != Quench::default() {
        lines.push(format!("quench = {}", number::text(shop.quench.word())));
    }
    lines.push(format!(
        "fire = {}",
        number::temperature(plan.units, shop.fire)
    ));
    if shop.fire_scale.0 < 1.0 {
        lines.push(format!("fire-scale = {}", number::share(shop.fire_scale)));
    }
    if let Some(oil) = shop.oil {
        lines.push(format!("oil = {}", number::temperature(plan.units, oil)));
    }
    if !shop.eye.pins.is_empty() {
        let pins: Vec<String> = shop
            .eye
            .pins
            .iter()
            .map(|pin| format!("\"{} {} C\"", pin.name, pin.celsius.0))
            .collect();
        lines.push(format!("colours = [{}]", pins.join(", ")));
    }
    push_lines(out, lines);
}

fn steps(plan: &Plan, out: &mut String) {
    let walk = dry_run(plan, 0, &plan.first_billet());
    let mut counts: BTreeMap<Kind, u32> = BTreeMap::new();
    let mut day = 1;
    let mut told = 0;
    for (at, step) in plan.steps.iter().enumerate() {
        if step.day != told {
            told = step.day;
            let head = format!("---- day {told} ");
            out.push_str(&format!("\n# {head:-<78}\n"));
        }
        let kind = step.kind();
        let number = counts.entry(kind).or_insert(0);
        *number += 1;
        let usual = format!("{}-{number}", kind.word());
        out.push_str("\n[[step]]\n");
        push_lines(out, step::lines(plan, step, &usual, day));
        if let Some(row) = walk.rows.get(at) {
            out.push_str(&after(plan, row, kind));
        }
        day = step::day_after(kind, step.day.max(day));
    }
}

/// What the plan expects after a step, as a comment.
fn after(plan: &Plan, row: &Row, kind: Kind) -> String {
    if !kind.is_measured() || matches!(kind, Kind::Inspect | Kind::EndDay) {
        return String::new();
    }
    let billet = &row.billet;
    let bar = &billet.bar;
    let pieces = match billet.pieces {
        1 => String::new(),
        many => format!("{many} of "),
    };
    comment(&format!(
        "then {pieces}{}, {} in all, {}",
        plan.units.size(bar.width, bar.thickness, bar.length),
        plan.units.mass(billet.mass()),
        show::layers(billet.nominal, billet.bands()),
    ))
}

#[cfg(test)]
mod tests;
