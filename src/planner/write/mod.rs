//! A plan as the text of a plan file, with comments, that reads back to the same plan.

mod keys;
pub(in crate::planner) mod number;
pub(in crate::planner) mod stack;
mod steel;
mod step;

use std::collections::BTreeMap;

use crate::billet::{Kind, Stage};
use crate::plan::keys::{BLADE, BOLSTER, GOAL, SHOP, TANG, usual_goal, usual_shop};
use crate::plan::{Bolster, Plan, Tang, WalkedStep, day_after, dry_run};
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
    for bar in &plan.bars {
        out.push_str(match (bar.name.is_empty(), &bar.found) {
            (false, _) => "\n[[bar]]\n",
            (true, Some(_)) => "\n[found]\n",
            (true, None) => "\n[stack]\n",
        });
        push_lines(&mut out, stack::lines(plan, bar));
    }
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
        lines.push(format!("notes = {}", number::list(&plan.notes)));
    }
    push_lines(out, lines);
}

fn goal(plan: &Plan, out: &mut String) {
    let mut goal = plan.goal.clone();
    let usual = &mut usual_goal();
    out.push_str("\n[goal]\n");
    push_lines(out, keys::lines(plan, GOAL, &mut goal, usual));
    out.push_str("\n[goal.blade]\n");
    push_lines(
        out,
        keys::lines(plan, BLADE, &mut goal.blade, &mut usual.blade),
    );
    if let Some(tang) = &mut goal.tang {
        out.push_str("\n[goal.tang]\n");
        push_lines(out, keys::lines(plan, TANG, tang, &mut Tang::default()));
    }
    if let Some(bolster) = &mut goal.bolster {
        out.push_str("\n[goal.bolster]\n");
        push_lines(
            out,
            keys::lines(plan, BOLSTER, bolster, &mut Bolster::default()),
        );
    }
}

fn shop(plan: &Plan, out: &mut String) {
    out.push_str("\n[shop]\n");
    let usual = &mut usual_shop(plan.units);
    push_lines(out, keys::lines(plan, SHOP, &mut plan.shop.clone(), usual));
}

fn steps(plan: &Plan, out: &mut String) {
    let walk = dry_run(plan, 0, &plan.first_billet());
    let mut counts: BTreeMap<Kind, u32> = BTreeMap::new();
    let mut day = 1;
    let mut told = 0;
    let mut bar = plan.bars.first().map_or("", |bar| bar.name.as_str());
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
        if step.bar != bar {
            bar = &step.bar;
            out.push_str(&format!("bar = {}\n", number::text(bar)));
        }
        if let Some(row) = walk.rows.get(at) {
            out.push_str(&after(plan, row, kind));
        }
        day = day_after(kind, step.day.max(day));
    }
}

/// What the plan expects after a step, as a comment.
fn after(plan: &Plan, row: &WalkedStep, kind: Kind) -> String {
    if !kind.is_measured() || matches!(kind, Kind::Inspect | Kind::EndDay) {
        return String::new();
    }
    let billet = &row.billet;
    let bar = &billet.bar;
    let pieces = match billet.pieces {
        1 => String::new(),
        many => format!("{many} of "),
    };
    let mass = plan.units.mass(billet.mass());
    // The blank's sizes are none of a blade that is forged.
    if billet.stage >= Stage::Forged {
        return comment(&format!("then {mass} in all"));
    }
    comment(&format!(
        "then {pieces}{}, {mass} in all, {}",
        plan.units.size(bar.width, bar.thickness, bar.length),
        billet.counts_text(),
    ))
}

#[cfg(test)]
mod tests;
