//! The plan as a page for the shop wall: what is done step by step when the laptop is dead.

use std::collections::{BTreeSet, HashSet};

use maud::{Markup, html};

use super::html::{deferral, page, table};
use crate::billet::{Billet, Kind, Move, Stage};
use crate::plan::caution::{Answer, Hold, card};
use crate::plan::{Plan, Step, Walk, WalkedStep};
use crate::units::{Celsius, Mm, Units, show};

const STYLE: &str = "
.write th{width:9rem}.write tr:last-child td{height:3.4rem}.card{list-style:none;padding-left:0}.card li::before{content:'\\2610  '}
.killer{font-weight:bold}section{break-inside:avoid}
";

/// The same figure in the plan's units and, in brackets, in the other ones.
fn both(units: Units, say: impl Fn(Units) -> String) -> String {
    format!("{} [{}]", say(units), say(units.other()))
}

/// The page.
#[must_use]
pub fn sheet(plan: &Plan, walk: &Walk) -> String {
    let goal = &plan.goal;
    let blade = &goal.blade;
    let body = html! {
        h1 { (plan.title) }
        (deferral())
        p {
            "Wanted: " (goal.bands_least) " to " (goal.bands_most) " bands, "
            (goal.knives_words()) ", blade "
            (both(plan.units, |units| units.size(blade.length, blade.width, blade.spine)))
            ". Sizes are cold and as planned; write what you read beside them, and when, and enter it with \
             anvilside enter when the laptop runs again."
        }
        h2 { "Pieces to cut" }
        (pieces(plan))
        (steps(plan, walk))
    };
    page(&plan.title, STYLE, None, &body)
}

/// What is cut for the first stack.
fn pieces(plan: &Plan) -> Markup {
    let mut rows = Vec::new();
    for line in plan.cut_list() {
        let [width, thickness, length] = line.size;
        rows.push(vec![
            line.count.to_string(),
            line.name,
            both(plan.units, |units| units.size(width, thickness, length)),
            String::new(),
        ]);
    }
    let head = [
        "how many",
        "steel",
        "width x thickness x length, each",
        "cut",
    ];
    table("For the first stack", &head, &rows)
}

fn steps(plan: &Plan, walk: &Walk) -> Markup {
    let mut day = 0;
    let mut job: HashSet<String> = HashSet::new();
    let mut today: HashSet<String> = HashSet::new();
    let mut lit = false;
    let mut all = Vec::new();
    for (at, step) in plan.steps.iter().enumerate() {
        let mut topics = Vec::new();
        let fresh = step.day != day;
        if fresh {
            day = step.day;
            today.clear();
            lit = false;
            topics.push("day");
        }
        if step.kind().is_hot() && !lit {
            lit = true;
            topics.push("fire");
        }
        if step.kind() == Kind::EndDay && lit {
            topics.push("watch");
        }
        let items = items(plan, step, &topics, &mut today, &mut job);
        all.push(html! {
            @if fresh { h2 { "Day " (day) } }
            section {
                h3 { (at + 1) ". " (step.name()) }
                (facts(plan, step, walk.rows.get(at)))
                @if !items.is_empty() { ul.card { @for item in &items { (item) } } }
            }
        });
    }
    html! { @for one in &all { (one) } }
}

/// Sizes, fire and space to write, in one table.
fn facts(plan: &Plan, step: &Step, row: Option<&WalkedStep>) -> Markup {
    let units = plan.units;
    let mut rows: Vec<(&str, String)> = Vec::new();
    if let Some(row) = row {
        let billet = &row.billet;
        if billet.stage < Stage::Forged {
            let size = both(units, |units| billet.outside(units));
            rows.push(("after it", format!("{} x {size}", billet.pieces)));
            rows.push(("layers", billet.counts_text()));
        }
        rows.extend(asked(plan, step, billet));
        let mass = both(units, |units| units.mass(billet.piece_mass()));
        let of = match step.kind() {
            Kind::Prepare => "mass of all pieces",
            _ => "mass of a piece",
        };
        rows.push((of, mass));
    }
    if step.heats > 0 {
        rows.push(("heats", format!("about {}", step.heats)));
    }
    if let Some(window) = step.window {
        let span = |at: Celsius| both(units, |units| units.temperature(at));
        rows.push((
            "work between",
            format!("{} and {}", span(window.low), span(window.high)),
        ));
    }
    if let Some(soak) = step.soak {
        rows.push(("soak", show::span(soak)));
    }
    if let Some(done) = &step.done_when {
        rows.push(("done when", done.clone()));
    }
    rows.extend(step.notes.iter().map(|note| ("note", note.clone())));
    rows.push(("read, and when", String::new()));
    html! {
        table.write {
            tbody { @for (what, value) in &rows { tr { th scope="row" { (what) } td { (value) } } } }
        }
    }
}

/// What a step asks for that the bar after it does not show.
fn asked(plan: &Plan, step: &Step, after: &Billet) -> Vec<(&'static str, String)> {
    let size = |mm: Mm| both(plan.units, |units| units.length(mm));
    let mut rows = Vec::new();
    match &step.made {
        Move::Forge { to, .. } => {
            let sizes = to.given().map(|(key, mm)| format!("{key} {}", size(mm)));
            rows.push(("forge to", sizes.collect::<Vec<_>>().join(", ")));
        }
        Move::Slice {
            tiles,
            thickness,
            lay,
            ..
        } => {
            let lay: &str = (*lay).into();
            rows.push((
                "tiles",
                format!("{tiles} of a piece, each {}, {lay}", size(*thickness)),
            ));
        }
        Move::RoughGrind { edge, .. } | Move::FinishGrind { edge, .. } => {
            rows.push(("edge to leave", size(*edge)));
        }
        Move::Temper { cycles } => rows.push(("cycles", cycles.to_string())),
        Move::Normalise { cycles, .. } => rows.push(("cycles", cycles.to_string())),
        _ => {}
    }
    if let Some(oil) = plan.shop.oil.filter(|_| step.kind() == Kind::Harden) {
        rows.push(("oil at", both(plan.units, |units| units.temperature(oil))));
    }
    for line in plan.laid_list(step, &after.bar) {
        rows.push(("lay on", line.text(plan.units)));
    }
    rows
}

/// The card of a step: what holds for the day or the job stands once. On paper nobody answers, so what an
/// answer would open stands there too.
fn items(
    plan: &Plan,
    step: &Step,
    topics: &[&str],
    today: &mut HashSet<String>,
    job: &mut HashSet<String>,
) -> Vec<Markup> {
    let mut words: BTreeSet<String> = topics.iter().map(|word| (*word).to_owned()).collect();
    let sure = words.clone();
    loop {
        let all: Vec<&str> = words.iter().map(String::as_str).collect();
        let made = card(&plan.shop, step, &all);
        let opened: BTreeSet<String> = made
            .items
            .iter()
            .filter_map(|item| match &item.answer {
                Answer::Choice(answers) => Some((item, answers)),
                _ => None,
            })
            .flat_map(|(item, answers)| answers.iter().flat_map(|one| item.opens(one)))
            .map(str::to_owned)
            .collect();
        let before = words.len();
        words.extend(opened);
        if words.len() == before {
            break;
        }
    }
    let of = |words: &BTreeSet<String>| {
        let all: Vec<&str> = words.iter().map(String::as_str).collect();
        card(&plan.shop, step, &all).items
    };
    let always: HashSet<String> = of(&sure).into_iter().map(|item| item.id.0).collect();
    of(&words)
        .into_iter()
        .filter(|item| match item.hold {
            Hold::Step => true,
            Hold::Day => today.insert(item.id.0.clone()),
            // What can kill is on the sheet of each day.
            Hold::Job if item.killer => today.insert(item.id.0.clone()),
            Hold::Job => job.insert(item.id.0.clone()),
        })
        .map(|item| {
            let asked = match &item.answer {
                Answer::Number { ask, of } => {
                    Some(format!(" {ask}: ______ {}", of.unit(plan.units)))
                }
                _ => None,
            };
            html! {
                li.killer[item.killer] {
                    (item.text)
                    @if !always.contains(&item.id.0) { " (where it applies)" }
                    @if let Some(asked) = asked { (asked) }
                }
            }
        })
        .collect()
}
