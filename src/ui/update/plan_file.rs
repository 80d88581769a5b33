//! The plan file changed on disk.

use super::super::effect::Effect;
use super::super::model::mode::{Mode, Then};
use super::super::model::{Model, Tone};
use super::{open, write};
use crate::journal::Event;
use crate::plan::{Level, Plan, PlanBar, check};
use crate::session::{begun_otherwise, rewritten, to_come};

/// New text, or why it cannot be read.
pub(super) fn changed(model: &mut Model, found: Result<String, String>) -> Vec<Effect> {
    let text = match found {
        Ok(text) => text,
        Err(why) => {
            model.put_up(
                "plan",
                Tone::Caution,
                format!("{why}. The plan in force stays"),
            );
            return Vec::new();
        }
    };
    let hash = crc32fast::hash(text.as_bytes());
    // What the smith decided here is in the journal and stands over a file that has not changed.
    if hash == model.session.plan_hash || hash == model.session.file_hash() {
        model.take_down("plan");
        return Vec::new();
    }
    let checked = check(&text);
    let error = checked
        .found
        .iter()
        .find(|found| found.level == Level::Error);
    if let Some(error) = error {
        let text = format!(
            "Plan file line {}: {}; {}. The plan in force stays",
            error.place.line, error.what, error.remedy
        );
        model.put_up("plan", Tone::Caution, text);
        return Vec::new();
    }
    let Some((plan, _)) = checked.sound() else {
        return Vec::new();
    };
    if let Some(names) = other_steels(model, &plan) {
        let text = format!(
            "Plan file: the metal in work is of {names}: keep these steels first, in this order, and put new ones behind them. The plan in force stays"
        );
        model.put_up("plan", Tone::Caution, text);
        return Vec::new();
    }
    model.take_down("plan");
    let (done, old) = (&model.session.done, &model.session.plan);
    let begun =
        begun_otherwise(done, old, &plan).map(|bar| format!("{}, as it began", of_bar(bar)));
    let steps = rewritten(done, &plan).into_iter();
    let steps = steps.map(|step| format!("{} ({})", step.id, step.name()));
    let steps: Vec<String> = begun.chain(steps).collect();
    let (same, mut changes) = differences(model, &plan);
    // A file that says what is in force already undoes nothing.
    let decided = model.session.over_the_file();
    let undone: Vec<String> = match same {
        true => Vec::new(),
        false => decided.into_iter().map(ToOwned::to_owned).collect(),
    };
    changes.extend(undone.iter().map(|what| format!("undone: {what}")));
    if !steps.is_empty() || !undone.is_empty() {
        return open(
            model,
            Mode::AskPlan {
                hash,
                text,
                steps,
                undone,
                changes,
            },
        );
    }
    write(
        model,
        vec![Event::Plan { hash, text }],
        Then::Changes(changes),
    )
}

/// The smith takes the new file for the steps to come.
pub(super) fn take_asked(model: &mut Model) -> Vec<Effect> {
    let Mode::AskPlan {
        hash,
        text,
        changes,
        ..
    } = &model.mode
    else {
        return Vec::new();
    };
    let event = Event::Plan {
        hash: *hash,
        text: text.clone(),
    };
    let then = Then::Changes(changes.clone());
    write(model, vec![event], then)
}

/// What a bar begins with, in words.
fn of_bar(bar: &PlanBar) -> String {
    let what = match (&bar.found, bar.shelf) {
        (None, None) => "first stack",
        (Some(_), _) => "bar as found",
        (None, Some(_)) => "piece of the shelf",
    };
    match bar.name.as_str() {
        "" => format!("the {what}"),
        name => format!("the {what} of bar {name}"),
    }
}

/// The steels of a begun job where a new file does not begin with them: layers know theirs by its place.
fn other_steels(model: &Model, new: &Plan) -> Option<String> {
    let old = &model.session.plan.steels;
    let same = old.iter().enumerate().all(|(at, held)| {
        let now = new.steels.get(at);
        now.is_some_and(|now| now.key == held.key && now.steel.grade == held.steel.grade)
    });
    if same || model.session.done.is_empty() {
        return None;
    }
    let names = old
        .iter()
        .map(|steel| format!("{} {}", steel.letter, steel.steel.grade));
    Some(names.collect::<Vec<_>>().join(", "))
}

/// What differs in the steps to come, a line each, and whether nothing does.
fn differences(model: &Model, new: &Plan) -> (bool, Vec<String>) {
    let old = &model.session.plan;
    let old_ahead: Vec<_> = old.steps.iter().skip(model.session.at).collect();
    let new_ahead: Vec<_> = to_come(&model.session.done, new).collect();
    let mut lines = Vec::new();
    for step in &new_ahead {
        match old_ahead.iter().find(|held| held.id == step.id) {
            None => lines.push(format!("new: {} ({})", step.name(), step.id)),
            Some(held) if held.made != step.made => {
                lines.push(format!("changed: {} ({})", step.name(), step.id));
            }
            Some(held) => {
                let same = held.heats == step.heats
                    && held.window == step.window
                    && held.soak == step.soak
                    && held.title == step.title
                    && held.cautions == step.cautions
                    && held.notes == step.notes
                    && held.done_when == step.done_when;
                if !same {
                    lines.push(format!(
                        "words or heats changed: {} ({})",
                        step.name(),
                        step.id
                    ));
                }
            }
        }
    }
    for held in &old_ahead {
        if !new_ahead.iter().any(|step| step.id == held.id) {
            lines.push(format!("gone: {} ({})", held.name(), held.id));
        }
    }
    let begun = begun_otherwise(&model.session.done, old, new);
    let begun: Vec<&str> = begun.map(|bar| bar.name.as_str()).collect();
    let bars = new
        .bars
        .iter()
        .filter(|bar| !begun.contains(&bar.name.as_str()));
    let other = bars.filter(|bar| !old.bars.contains(bar));
    lines.extend(other.map(|bar| format!("changed: {}", of_bar(bar))));
    if new.steels != old.steels {
        lines.push("steels changed".to_owned());
    }
    if new.goal != old.goal {
        lines.push("the goal changed".to_owned());
    }
    if new.shop != old.shop {
        lines.push("shop allowances or machines changed".to_owned());
    }
    let same = lines.is_empty();
    if same {
        lines.push("nothing that concerns the steps to come".to_owned());
    }
    (same, lines)
}
