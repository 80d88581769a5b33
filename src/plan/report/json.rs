//! The review as JSON: stable keys with their units in the name. `page` documents each of them.

use serde_json::{Map, Value, json};

use crate::billet::{Bar, Billet, Ledger, Loss, LossEntry, Side, Stage};
use crate::plan::{Checked, Plan, Row, Step};
use crate::units::Mm;

/// Number of the format of every `--json`; it rises when a key changes its meaning or goes away. 2: `harden_mark`
/// for `by_maker`, `range` for `band`, slopes in degrees for `liveliness`.
pub const FORMAT: u32 = 2;

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
    let metal = row.map_or_else(|| blank(&FIGURES), |row| billet(&row.billet));
    out.extend(metal);
    out.insert(
        "losses".to_owned(),
        json!(row.map(|row| losses(&row.losses))),
    );
    Value::Object(out)
}

/// Keys of [`billet`], in the order of the page.
const FIGURES: [&str; 15] = [
    "stage",
    "width_mm",
    "thickness_mm",
    "length_mm",
    "void_mm3",
    "edge_bar_mm",
    "spine_bar_mm",
    "top_bar_mm",
    "bottom_bar_mm",
    "pieces",
    "volume_mm3",
    "mass_g",
    "nominal",
    "bands",
    "stock_mm3",
];

fn blank(keys: &[&str]) -> Map<String, Value> {
    let one = |key: &&str| ((*key).to_owned(), Value::Null);
    keys.iter().map(one).collect()
}

/// Stage, sizes, metal and counts of a billet. Sizes are null once it is forged: a forged blank is
/// no bar any more.
#[must_use]
pub fn billet(billet: &Billet) -> Map<String, Value> {
    let bar = (billet.stage < Stage::Forged).then_some(&billet.bar);
    let length = |of: &dyn Fn(&Bar) -> Mm| json!(bar.map(|bar| mm(of(bar).0)));
    let plain = |side: Side| length(&|bar| bar.frame_on(side));
    let values = [
        json!(billet.stage),
        length(&|bar| bar.width),
        length(&|bar| bar.thickness),
        length(&|bar| bar.length),
        json!(bar.map(|bar| mm3(bar.void.0))),
        plain(Side::Edge),
        plain(Side::Spine),
        plain(Side::Top),
        plain(Side::Bottom),
        json!(billet.pieces),
        json!(mm3(billet.volume().0)),
        json!(rounded(billet.mass().0, 1e3)),
        whole(billet.nominal),
        whole(billet.bands()),
        json!(mm3(billet.stock_volume().0)),
    ];
    let keys = FIGURES.iter().map(|key| (*key).to_owned());
    keys.zip(values).collect()
}

/// Where the metal of a billet went.
#[must_use]
pub fn totals(billet: &Billet) -> Value {
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
#[must_use]
pub fn losses(entries: &[LossEntry]) -> Value {
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

/// To so many parts; the sum turns a zero with a minus into a plain one.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}
