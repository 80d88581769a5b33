//! The plan as a page for the shop wall: what is done step by step when the laptop is dead. Plain HTML in
//! one file, no script; every `String` write here cannot fail.

use std::collections::{BTreeSet, HashSet};
use std::fmt::Write as _;

use crate::billet::{Kind, Stage};
use crate::plan::caution::{Answer, Hold, card, legal};
use crate::plan::{Plan, Row, Step, Walk};
use crate::units::{Celsius, Units, show};

const STYLE: &str = "
body{font:11pt/1.35 sans-serif;color:#111;background:#fff;margin:1.5cm auto;max-width:26cm;padding:0 1em}
h1{font-size:18pt}h2{font-size:14pt;margin-top:1.6em}h3{font-size:12pt;margin:1em 0 .2em}
table{border-collapse:collapse;width:100%}th,td{border:1px solid #555;padding:.25em .45em;text-align:left;vertical-align:top}
thead{display:table-header-group}tr,section{break-inside:avoid}.write td{height:2.2em;min-width:3cm}
.card{list-style:none;padding-left:0}.card li::before{content:'\\2610  '}.killer{font-weight:bold}
.deferral{border:2px solid #111;padding:.6em}
@media (prefers-color-scheme:dark){@media screen{body{color:#eee;background:#111}.deferral{border-color:#eee}}}
@media print{body{margin:0;max-width:none}}
";

/// Text that stands for itself in HTML.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// The same figure in the plan's units and, in brackets, in the other ones.
fn both(units: Units, say: impl Fn(Units) -> String) -> String {
    format!("{} [{}]", say(units), say(units.other()))
}

/// The page.
#[must_use]
pub fn sheet(plan: &Plan, walk: &Walk) -> String {
    let mut out =
        String::from("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n");
    let _ = write!(
        out,
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{0}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{0}</h1>\n",
        plain(&plan.title)
    );
    out.push_str("<div class=\"deferral\">");
    for line in legal().lines().filter(|line| !line.trim().is_empty()) {
        let _ = writeln!(out, "<p>{}</p>", plain(line));
    }
    out.push_str("</div>\n");
    let goal = &plan.goal;
    let blade = &goal.blade;
    let _ = writeln!(
        out,
        "<p>Wanted: {} to {} bands, {}, blade {}. Sizes are cold and as planned; write what you read beside them, \
         and enter it when the laptop runs again.</p>",
        goal.bands_least,
        goal.bands_most,
        match goal.knives {
            1 => "1 knife".to_owned(),
            many => format!("{many} knives"),
        },
        both(plan.units, |units| units.size(
            blade.length,
            blade.width,
            blade.spine
        ))
    );
    pieces(plan, &mut out);
    steps(plan, walk, &mut out);
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// What is cut for the first stack.
fn pieces(plan: &Plan, out: &mut String) {
    out.push_str(
        "<h2>Pieces to cut</h2>\n<table>\n<thead><tr><th scope=\"col\">how many</th><th scope=\"col\">steel</th>\
         <th scope=\"col\">width x thickness x length, each</th><th scope=\"col\">cut</th></tr></thead>\n<tbody>\n",
    );
    let mut told: Vec<(usize, u64)> = Vec::new();
    for piece in &plan.stack {
        let key = (piece.steel.index(), piece.thickness.0.to_bits());
        if told.contains(&key) {
            continue;
        }
        told.push(key);
        let like = |other: &&crate::billet::StackPiece| {
            (other.steel.index(), other.thickness.0.to_bits()) == key
        };
        let steel = plan.steels.get(piece.steel.index());
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td>{}</td><td>{}</td><td></td></tr>",
            plan.stack.iter().filter(like).count(),
            steel.map_or_else(String::new, |steel| plain(&format!(
                "{} {}",
                steel.letter, steel.steel.grade
            ))),
            both(plan.units, |units| units.size(
                plan.stack_width,
                piece.thickness,
                plan.stack_length
            ))
        );
    }
    out.push_str("</tbody>\n</table>\n");
}

fn steps(plan: &Plan, walk: &Walk, out: &mut String) {
    let mut day = 0;
    let mut job: HashSet<String> = HashSet::new();
    let mut today: HashSet<String> = HashSet::new();
    let mut lit = false;
    for (at, step) in plan.steps.iter().enumerate() {
        let mut topics = Vec::new();
        if step.day != day {
            day = step.day;
            today.clear();
            lit = false;
            topics.push("day");
            let _ = writeln!(out, "<h2>Day {day}</h2>");
        }
        if step.kind().is_hot() && !lit {
            lit = true;
            topics.push("fire");
        }
        if step.kind() == Kind::EndDay && lit {
            topics.push("watch");
        }
        let _ = writeln!(
            out,
            "<section>\n<h3>{}. {}</h3>\n{}",
            at + 1,
            plain(step.name()),
            facts(plan, step, walk.rows.get(at))
        );
        let items = items(plan, step, &topics, &mut today, &mut job);
        if !items.is_empty() {
            let _ = writeln!(out, "<ul class=\"card\">\n{}</ul>", items.concat());
        }
        out.push_str("</section>\n");
    }
}

/// Sizes, fire and space to write, in one table.
fn facts(plan: &Plan, step: &Step, row: Option<&Row>) -> String {
    let units = plan.units;
    let mut rows: Vec<(&str, String)> = Vec::new();
    if let Some(row) = row {
        let billet = &row.billet;
        if billet.stage < Stage::Forged {
            let size = both(units, |units| billet.outside(units));
            rows.push(("after it", format!("{} x {size}", billet.pieces)));
            rows.push(("layers", show::layers(billet.nominal, billet.bands())));
        }
        let mass = both(units, |units| units.mass(billet.piece_mass()));
        rows.push(("mass of a piece", mass));
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
        rows.push(("done when", plain(done)));
    }
    let notes = step.notes.iter().map(|note| ("note", plain(note)));
    rows.extend(notes);
    rows.push(("read, and when", String::new()));
    let rows: Vec<String> = rows
        .into_iter()
        .map(|(what, value)| format!("<tr><th scope=\"row\">{what}</th><td>{value}</td></tr>\n"))
        .collect();
    format!(
        "<table class=\"write\">\n<tbody>\n{}</tbody>\n</table>",
        rows.concat()
    )
}

/// The card of a step: what holds for the day or the job stands once. On paper nobody answers, so what an
/// answer would open stands there too.
fn items(
    plan: &Plan,
    step: &Step,
    topics: &[&str],
    today: &mut HashSet<String>,
    job: &mut HashSet<String>,
) -> Vec<String> {
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
            Hold::Job => job.insert(item.id.0.clone()),
        })
        .map(|item| {
            let killer = if item.killer { " class=\"killer\"" } else { "" };
            let when = if always.contains(&item.id.0) {
                ""
            } else {
                " (where it applies)"
            };
            let asked = match &item.answer {
                Answer::Number { ask, of } => {
                    format!(" {}: ______ {}", plain(ask), of.unit(plan.units))
                }
                _ => String::new(),
            };
            format!("<li{killer}>{}{when}{asked}</li>\n", plain(&item.text))
        })
        .collect()
}
