//! Pages of what is to come: forecast, changes, what the shop teaches.

use crate::physics::Spread;
use crate::planner::forecast::{Forecast, StepForecast, percent};
use crate::planner::learn::Topic;
use crate::ui::choices::{NUMBERED, learnt, topic_lines};
use crate::ui::model::Model;
use crate::ui::model::ahead::{hours, range};
use crate::ui::theme::Meaning;
use crate::units::{Grams, Mm, Units, show};

type Lines = Vec<(Meaning, String)>;

/// Said while the first answer is on its way.
const WAITING: &str = "Being worked out; it comes by itself.";

/// The steps to come, with 90 % bands.
pub(super) fn forecast(model: &Model) -> Lines {
    let Some(seen) = model.forecast() else {
        return vec![(Meaning::Text, WAITING.to_owned())];
    };
    let units = model.units();
    let mark = if model.is_foreseeing() {
        " (updating)"
    } else {
        ""
    };
    let mut out = vec![(
        Meaning::Text,
        format!("Nine times in ten it lies in the range given. All are estimates{mark}."),
    )];
    let day = model.situation.day;
    out.extend(day.map(|day| (Meaning::Measured, day.text(model.session.offset))));
    let from = model.session.plan.steps.len() - seen.steps.len().min(model.plan().steps.len());
    let mut before: Option<&StepForecast> = None;
    for (at, step) in seen.steps.iter().enumerate() {
        let known = model
            .plan()
            .steps
            .iter()
            .find(|known| known.id == step.step);
        let name = known.map_or(step.step.0.as_str(), |known| known.name());
        let name = show::plain(name, 22);
        let number = from + at + 1;
        out.push((
            Meaning::Now,
            format!("{number:>2} {name:<22} {}", sizes(units, step)),
        ));
        let ends = model.situation.trims.iter();
        let ends = ends.filter(|ends| ends.step == step.step);
        let ends: String = ends
            .map(|ends| format!("; {}", ends.short(units)))
            .collect();
        let rest = rest(units, step, before);
        out.push((Meaning::Text, format!("   {rest}{ends}")));
        before = Some(step);
    }
    out.extend(sum(model, seen));
    out
}

/// What it comes to at the end.
fn sum(model: &Model, seen: &Forecast) -> Lines {
    let units = model.units();
    let situation = &model.situation;
    let tone = |caution: bool| {
        if caution {
            Meaning::Caution
        } else {
            Meaning::Measured
        }
    };
    let mut out = vec![
        (
            Meaning::Text,
            format!(
                "in all {}, {}; all steps as planned: {}",
                show::counted(range(seen.heats, 0), "heat"),
                hours(seen.minutes),
                situation.planned().unwrap_or_default()
            ),
        ),
        (
            tone(situation.is_off()),
            situation.steel(units).unwrap_or_default(),
        ),
    ];
    let ends = situation.ends.iter();
    out.extend(ends.map(|ends| (Meaning::Measured, ends.text(units))));
    let costs = situation.costs.iter();
    let costs = costs.flat_map(|costs| costs.lines(model.session.is_finished()));
    out.extend(costs.map(|line| (Meaning::Measured, line)));
    if let Some(edge) = &seen.edge {
        out.push((Meaning::Measured, edge.text(units)));
        out.extend(
            edge.warning(units)
                .map(|text| (Meaning::Caution, format!("! {text}"))),
        );
    }
    out
}

/// Pieces and size of one step.
fn sizes(units: Units, step: &StepForecast) -> String {
    let size = units.size(
        Mm(step.width.best),
        Mm(step.thickness.best),
        Mm(step.length.best),
    );
    let pieces = range(step.pieces, 0);
    format!("{pieces} x {size} ({})", between(units, step.length))
}

/// Mass, counts where they change, heats and minutes of one step.
fn rest(units: Units, step: &StepForecast, before: Option<&StepForecast>) -> String {
    let (low, high) = (
        units.mass(Grams(step.mass.low)),
        units.mass(Grams(step.mass.high)),
    );
    let mut text = if low == high {
        high
    } else {
        format!("{low} to {high}")
    };
    let counts = |one: &StepForecast| {
        format!(
            "{} nominal / {} bands, thinnest {}",
            show::count(one.nominal),
            range(one.bands, 0),
            between_fine(units, one.thinnest)
        )
    };
    let now = counts(step);
    if before.map(counts).as_ref() != Some(&now) {
        text.push_str(&format!("; {now}"));
    }
    if step.heats.high > 0.0 {
        text.push_str(&format!(
            "; {}",
            show::counted(range(step.heats, 0), "heat")
        ));
    }
    text.push_str(&format!("; {} min", range(step.minutes, 0)));
    if step.as_planned < 0.995 {
        text.push_str(&format!("; as planned: {}", percent(step.as_planned)));
    }
    text
}

fn between(units: Units, band: Spread) -> String {
    let (low, high) = (units.length_bare(Mm(band.low)), units.length(Mm(band.high)));
    if units.length(Mm(band.low)) == high {
        high
    } else {
        format!("{low} to {high}")
    }
}

/// The same of a layer, which may be finer than any caliper's mark.
fn between_fine(units: Units, range: Spread) -> String {
    let (low, high) = (units.fine(Mm(range.low)), units.fine(Mm(range.high)));
    if low == high {
        high
    } else {
        format!("{low} to {high}")
    }
}

/// Ways out, each with its number.
pub(super) fn ways_out(model: &Model) -> Lines {
    let Some(known) = &model.ahead.known else {
        return vec![(Meaning::Text, WAITING.to_owned())];
    };
    if model.is_foreseeing() && (known.ways.is_empty() || known.cut != model.ahead.cut) {
        return vec![(Meaning::Text, WAITING.to_owned())];
    }
    let mut out = Vec::new();
    match (model.situation.off.as_slice(), known.cut) {
        (_, Some(by)) => out.push((
            Meaning::Caution,
            format!(
                "A weld failed; {} to be cut back.",
                model.units().length(by)
            ),
        )),
        ([], None) if model.session.has_decided() => out.push((
            Meaning::Text,
            "The plan leads to the blade as you decided. It could still be changed:".to_owned(),
        )),
        ([], None) => {
            out.push((
                Meaning::Text,
                "The plan still leads to the blade; no way out is needed.".to_owned(),
            ));
            return out;
        }
        (off, None) => {
            let lines = off.iter().map(|why| format!("Off the plan: {why}."));
            out.extend(lines.map(|line| (Meaning::Caution, line)));
        }
    }
    if known.ways.is_empty() && model.situation.off.is_empty() && known.cut.is_none() {
        out.push((
            Meaning::Text,
            "No other change fits the bar as it is.".to_owned(),
        ));
        return out;
    }
    if known.ways.is_empty() {
        out.push((
            Meaning::Caution,
            "No change known here leads to the blade for certain. Go on and read the bar again, or write another blade or more steel into the plan file (what was decided here is not in the file: it asks before it undoes that)."
                .to_owned(),
        ));
        return out;
    }
    out.push((
        Meaning::Text,
        "Each is worked to the end; a number takes it and writes it into the journal. Estimates."
            .to_owned(),
    ));
    for (number, way) in (1..).zip(&known.ways) {
        out.push((Meaning::Now, format!("{number}  {}", way.headline())));
        out.push((
            Meaning::Text,
            format!(
                "   {}; all steps as planned: {}; {}",
                way.cost.text(model.units()),
                percent(way.holds),
                way.enough.text(model.units())
            ),
        ));
    }
    if !model.ahead.changed.is_empty() {
        out.push((Meaning::Head, "What the last reading changed:".to_owned()));
        let lines = model.ahead.changed.iter();
        out.extend(lines.map(|line| (Meaning::Text, line.clone())));
    }
    out
}

/// What the last reading changed in the later steps.
pub(super) fn changed(model: &Model) -> Lines {
    let lines = &model.ahead.changed;
    if lines.is_empty() {
        let text = "No reading has changed the later sizes yet.";
        return vec![(Meaning::Text, text.to_owned())];
    }
    let mut out = vec![(
        Meaning::Text,
        "From the bar as read; the plan itself is as it was.".to_owned(),
    )];
    out.extend(lines.iter().map(|line| (Meaning::Now, line.clone())));
    out
}

/// Every learnt value, nine with numbers at a time.
pub(super) fn shop(model: &Model, from: usize) -> Lines {
    let all = learnt(model);
    if all.is_empty() {
        return vec![(Meaning::Text, WAITING.to_owned())];
    }
    let units = model.units();
    let journals = match model.ahead.others.len() {
        0 => "this journal".to_owned(),
        others => format!("this journal and {others} others of the folder"),
    };
    let mut out = vec![(
        Meaning::Text,
        format!("From {journals}. A number opens a line: pin it or start it afresh."),
    )];
    for (number, one) in (1..).zip(all.iter().skip(from).take(NUMBERED)) {
        let meaning = if one.pinned.is_some() {
            Meaning::Measured
        } else {
            Meaning::Text
        };
        out.push((meaning, format!("{number}  {}", one.text(units))));
    }
    let to = (from + NUMBERED).min(all.len());
    out.push((
        Meaning::Head,
        format!("{} to {to} of {}; 0 goes on", from + 1, all.len()),
    ));
    out
}

/// One learnt value and what can be done with it.
pub(super) fn topic(model: &Model, topic: Topic) -> Lines {
    let Some(one) = learnt(model).into_iter().find(|one| one.topic == topic) else {
        return vec![(Meaning::Text, WAITING.to_owned())];
    };
    let units = model.units();
    let mut out = vec![
        (Meaning::Now, one.text(units)),
        (Meaning::Text, String::new()),
    ];
    for (number, words) in (1..).zip(topic_lines()) {
        out.push((Meaning::Text, format!("{number}  {words}")));
    }
    if !one.left_out.is_empty() {
        let steps: Vec<String> = one.left_out.iter().map(ToString::to_string).collect();
        out.push((
            Meaning::Caution,
            format!("left out as too far off: {}", steps.join(", ")),
        ));
    }
    out
}
