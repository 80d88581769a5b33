//! The review as JSON: stable keys with their units in the name. `page` documents each of them.

use serde_json::{Map, Value, json};

use crate::billet::{Billet, Ledger, Loss, LossEntry, Side, Stage};
use crate::plan::{Checked, Plan, Row, Step};
use crate::units::Mm;

/// Number of the format; it rises when a key changes its meaning or goes away.
const FORMAT: u32 = 1;

/// The whole review. Every key is always there; what is not known is null or an empty list.
#[must_use]
pub fn json(checked: &Checked) -> Value {
    let plan = checked.plan.as_ref();
    let rows = checked.walk.as_ref().map(|walk| walk.rows.as_slice());
    let rows = rows.unwrap_or_default();
    let steps: Vec<Value> = plan.map_or_else(Vec::new, |plan| {
        let walked = rows.iter().map(Some).chain(std::iter::repeat(None));
        let steps = plan.steps.iter().zip(walked).enumerate();
        steps.map(|(at, (own, row))| step(at, own, row)).collect()
    });
    json!({
        "format": FORMAT,
        "ok": checked.errors() == 0,
        "errors": checked.errors(),
        "warnings": checked.warnings(),
        "findings": checked.found,
        "title": plan.map(|plan| &plan.title),
        "units": plan.map(|plan| plan.units),
        "goal": plan.map(goal),
        "steels": plan.map_or_else(Vec::new, steels),
        "steps": steps,
        "totals": rows.last().map(|row| totals(&row.billet)),
    })
}

fn goal(plan: &Plan) -> Value {
    let goal = &plan.goal;
    json!({
        "pattern": goal.pattern,
        "knives": goal.knives,
        "bands_least": goal.bands_least,
        "bands_most": goal.bands_most,
        "finished_mm3": mm3(goal.volume().0),
    })
}

fn steels(plan: &Plan) -> Vec<Value> {
    plan.steels
        .iter()
        .map(|steel| {
            json!({
                "name": steel.key,
                "letter": steel.letter,
                "grade": steel.steel.grade,
                "density_g_cm3": steel.steel.density.0,
            })
        })
        .collect()
}

fn step(at: usize, step: &Step, row: Option<&Row>) -> Value {
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| out.insert(key.to_owned(), value);
    put("number", json!(at + 1));
    put("id", json!(step.id));
    put("kind", json!(step.kind()));
    put("title", json!(step.name()));
    put("day", json!(step.day));
    put("line", json!(step.line));
    put("heats", json!(step.heats));
    put(
        "window_low_c",
        json!(step.window.map(|window| window.low.0)),
    );
    put(
        "window_high_c",
        json!(step.window.map(|window| window.high.0)),
    );
    put("soak_s", json!(step.soak.map(|soak| soak.0)));
    let to = step.made.target().unwrap_or_default();
    let target = |size: Option<Mm>| json!(size.map(|size| mm(size.0)));
    put("target_width_mm", target(to.width));
    put("target_thickness_mm", target(to.thickness));
    put("target_length_mm", target(to.length));
    let billet = row.map(|row| &row.billet);
    // A forged blank is no bar any more.
    let bar = billet.filter(|billet| billet.stage < Stage::Forged);
    let length = |of: fn(&Billet) -> f64| json!(bar.map(|billet| mm(of(billet))));
    let volume = |of: fn(&Billet) -> f64| json!(billet.map(|billet| mm3(of(billet))));
    put("stage", json!(billet.map(|billet| billet.stage)));
    put("width_mm", length(|billet| billet.bar.width.0));
    put("thickness_mm", length(|billet| billet.bar.thickness.0));
    put("length_mm", length(|billet| billet.bar.length.0));
    put("void_mm3", json!(bar.map(|billet| mm3(billet.bar.void.0))));
    put(
        "edge_bar_mm",
        length(|billet| billet.bar.frame_on(Side::Edge).0),
    );
    put(
        "spine_bar_mm",
        length(|billet| billet.bar.frame_on(Side::Spine).0),
    );
    put(
        "top_bar_mm",
        length(|billet| billet.bar.frame_on(Side::Top).0),
    );
    put(
        "bottom_bar_mm",
        length(|billet| billet.bar.frame_on(Side::Bottom).0),
    );
    put("pieces", json!(billet.map(|billet| billet.pieces)));
    put("volume_mm3", volume(|billet| billet.volume().0));
    put(
        "mass_g",
        json!(billet.map(|billet| rounded(billet.mass().0, 1e3))),
    );
    put("nominal", json!(billet.map(|billet| whole(billet.nominal))));
    put("bands", json!(billet.map(|billet| whole(billet.bands()))));
    put("stock_mm3", volume(|billet| billet.stock_volume().0));
    put("losses", json!(row.map(|row| losses(&row.losses))));
    Value::Object(out)
}

fn totals(billet: &Billet) -> Value {
    let ledger: &Ledger = &billet.ledger;
    json!({
        "start_mm3": mm3(ledger.start.0),
        "added_mm3": mm3(ledger.added.0),
        "losses": losses(&ledger.losses),
        "left_mm3": mm3(billet.volume().0),
        "stock_mm3": mm3(billet.stock_volume().0),
    })
}

/// Every loss, the ones that did not happen as zero.
fn losses(entries: &[LossEntry]) -> Value {
    let one = |loss: Loss| {
        let of = entries.iter().filter(|entry| entry.loss == loss);
        let sum: f64 = of.map(|entry| entry.volume.0).sum();
        (format!("{}_mm3", loss.word()), json!(mm3(sum)))
    };
    Value::Object(Loss::ALL.into_iter().map(one).collect())
}

/// A count as a number: exact up to 2^53, which every JSON reader holds, beyond that to 16 figures.
fn whole(count: u128) -> Value {
    match u64::try_from(count) {
        Ok(count) if count <= 1 << 53 => json!(count),
        #[expect(clippy::cast_precision_loss, reason = "said in the doc comment")]
        _ => json!(count as f64),
    }
}

fn mm(value: f64) -> f64 {
    rounded(value, 1e4)
}

fn mm3(value: f64) -> f64 {
    rounded(value, 1e2)
}

/// To so many parts, without a minus before zero.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}
