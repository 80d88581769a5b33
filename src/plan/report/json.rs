//! The review as JSON: stable keys with their units in the name. The doc comments are the page.
//!
//! Long because every key has its line and its words.
//!
//! Long because every key of a review stands here with its doc.

use serde_json::{Number, Value};

use super::keys::documented;
use crate::billet::{Bar, Billet, Kind, Loss, LossEntry, Side, Stage};
use crate::plan::{
    Blank, Checked, Diagnostic, Level, Pattern, Plan, Step, WalkedStep, bands_by_scale,
};
use crate::units::{Mm, Units};

/// Number of the format of every `--json`; it rises when a key changes its meaning or goes away. 2: `harden_mark`
/// for `by_maker`, `range` for `band`, slopes in degrees for `liveliness`.
pub const FORMAT: u32 = 2;

documented! {
    /// The whole review. Every key is always there; what is not known is null or an empty list.
    struct Review {
        /// number of this format, 2
        format: u32,
        /// true when there is no error
        ok: bool,
        /// how many errors
        errors: usize,
        /// how many oddities
        warnings: usize,
        /// errors first, then by line
        findings: Vec<Finding>,
        /// title of the plan; null when it could not be read, as for all below
        title: Option<String>,
        /// `mm` or `inch`: the units that people see; JSON is always metric
        units: Option<Units>,
        /// what is wanted
        goal: Option<Goal>,
        /// steels of the job
        steels: Vec<Alloy>,
        /// steps in order; the figures are those after the step, cold
        steps: Vec<StepKeys>,
        /// the metal at the end of the walk
        totals: Option<Totals>,
        /// bands at the end as scale eats more or less of the outside than the plan says; null where that makes no odds
        bands_by_scale: Option<BandRange>,
        /// the blank that the plan cuts, beside what the knife takes; null where nothing is forged to shape
        blank: Option<BlankKeys>,
    }

    /// Bands at the end, an estimate.
    struct BandRange {
        /// fewest
        low: Option<Number>,
        /// most
        high: Option<Number>,
    }

    /// A blank of a plan that forges to shape.
    struct BlankKeys {
        /// how many the plan cuts
        pieces: u32,
        /// length of one as it is cut
        length_mm: f64,
        /// its width
        width_mm: f64,
        /// its thickness
        thickness_mm: f64,
        /// metal in one
        volume_mm3: f64,
        /// length of the same bar that the knife takes, an estimate: the best
        takes_mm: f64,
        /// the least
        takes_low_mm: f64,
        /// the most, with what goes wrong at the anvil
        takes_high_mm: f64,
        /// metal over the most; below zero: so much it is short where all that may go wrong at the anvil does
        over_mm3: f64,
    }

    /// What was found.
    struct Finding {
        /// `error` or `warning`
        level: Level,
        /// where it is in the plan file
        place: Spot,
        /// id of the step
        step: Option<String>,
        /// key of the plan file
        key: Option<String>,
        /// what is wrong, with the value quoted
        what: String,
        /// what to do
        remedy: String,
    }

    /// A place in the plan file.
    struct Spot {
        /// line of the plan file, from 1
        line: usize,
        /// column, from 1
        column: usize,
    }

    /// What is wanted.
    struct Goal {
        /// pattern family
        pattern: Pattern,
        /// knives wanted
        knives: u32,
        /// fewest bands wanted
        bands_least: u64,
        /// most bands wanted
        bands_most: u64,
        /// volume of one finished knife
        finished_mm3: f64,
    }

    /// A steel of the job.
    struct Alloy {
        /// the plan's name for it
        name: String,
        /// its letter in pictures
        letter: char,
        /// its grade
        grade: String,
        /// its heat lot; empty where none is noted
        lot: String,
        /// cold density
        density_g_cm3: f64,
    }

    /// A step, and the metal after it.
    struct StepKeys {
        /// place in the plan, from 1
        number: usize,
        /// stable name
        id: String,
        /// kind, as the plan file writes it
        kind: Kind,
        /// what the screen calls it
        title: String,
        /// day of the job, from 1
        day: u32,
        /// line of the plan file
        line: usize,
        /// trips to the fire expected
        heats: u32,
        /// lowest working temperature stated
        window_low_c: Option<f64>,
        /// highest working temperature stated
        window_high_c: Option<f64>,
        /// soak, or one cycle of tempering
        soak_s: Option<f64>,
        /// width that the step asks for; of the part, where it forges one
        target_width_mm: Option<f64>,
        /// thickness that it asks for
        target_thickness_mm: Option<f64>,
        /// length that it asks for
        target_length_mm: Option<f64>,
        /// what this step lost, all pieces together
        losses: Option<Losses>,
        .. metal: Metal,
    }

    /// Stage, sizes, metal and counts of a billet.
    #[derive(Default)]
    struct Metal {
        /// how far the metal has come: `loose`, `pile`, `bar`, `pieces`, `forged`, `ground`, `hard`, `tempered`, `finished`, `etched`; null where the plan could not be walked, as for all below
        stage: Option<Stage>,
        /// across one piece; this and the seven below are null from `forged` on, when it is no bar any more
        width_mm: Option<f64>,
        /// through one piece
        thickness_mm: Option<f64>,
        /// along one piece
        length_mm: Option<f64>,
        /// open grooves and dimples inside the outside of one piece
        void_mm3: Option<f64>,
        /// plain bar on the edge side, 0 when there is none
        edge_bar_mm: Option<f64>,
        /// plain bar on the spine side
        spine_bar_mm: Option<f64>,
        /// plain bar on the face marked up
        top_bar_mm: Option<f64>,
        /// plain bar on the face below
        bottom_bar_mm: Option<f64>,
        /// like pieces
        pieces: Option<u32>,
        /// metal, all pieces together
        volume_mm3: Option<f64>,
        /// mass, all pieces together
        mass_g: Option<f64>,
        /// pieces of the first stack times every restack and fold
        nominal: Option<Number>,
        /// bands to the eye, along the line that meets most of them: like faces merged, ground-off bands gone
        bands: Option<Number>,
        /// bands along a line through the thickness, all bars of the section counted
        bands_through: Option<Number>,
        /// bands along a line across the width
        bands_across: Option<Number>,
        /// true where layers lie straight; false where these two are estimates, of bent layers as they lay before
        bands_exact: Option<bool>,
        /// metal kept aside so far
        stock_mm3: Option<f64>,
    }

    /// Where the metal went.
    struct Totals {
        /// the first stack
        start_mm3: f64,
        /// bars added later
        added_mm3: f64,
        /// all that went
        losses: Losses,
        /// in the pieces worked, at the end of the walk
        left_mm3: f64,
        /// kept aside
        stock_mm3: f64,
    }

    /// Every loss, the ones that did not happen as zero.
    struct Losses {
        /// to the fire
        scale_mm3: f64,
        /// ends cut off
        trim_mm3: f64,
        /// ground away
        grind_mm3: f64,
        /// to the saw
        kerf_mm3: f64,
        /// grooves and dimples cut out
        groove_mm3: f64,
        /// short ends of lengths rounded to a mark
        rounding_mm3: f64,
    }
}

/// The whole review.
#[must_use]
pub fn json(checked: &Checked) -> Value {
    let plan = checked.plan.as_ref();
    let rows = checked.walk.as_ref().map(|walk| walk.rows.as_slice());
    let rows = rows.unwrap_or_default();
    let walked_plan = plan.zip(checked.walk.as_ref());
    let steps = plan.map_or(&[][..], |plan| &plan.steps);
    let walked = rows.iter().map(Some).chain(std::iter::repeat(None));
    let review = Review {
        format: FORMAT,
        ok: checked.errors() == 0,
        errors: checked.errors(),
        warnings: checked.warnings(),
        findings: checked.found.iter().map(finding).collect(),
        title: plan.map(|plan| plan.title.clone()),
        units: plan.map(|plan| plan.units),
        goal: plan.map(goal),
        steels: plan.map_or_else(Vec::new, steels),
        steps: (steps.iter().zip(walked).enumerate())
            .map(|(at, (own, row))| step(at, own, row))
            .collect(),
        totals: rows.last().map(|row| sums(&row.billet)),
        bands_by_scale: walked_plan
            .and_then(|(plan, walk)| bands_by_scale(plan, walk))
            .map(|(low, high)| BandRange {
                low: whole(low),
                high: whole(high),
            }),
        blank: walked_plan
            .and_then(|(plan, walk)| Blank::of(plan, walk))
            .map(|blank| blank_keys(&blank)),
    };
    serde_json::to_value(review).unwrap_or_default()
}

/// A blank, beside what its knife takes.
#[must_use]
pub fn blank(blank: &Blank) -> Value {
    serde_json::to_value(blank_keys(blank)).unwrap_or_default()
}

fn blank_keys(blank: &Blank) -> BlankKeys {
    let [length, width, thickness] = blank.cut.map(|size| mm(size.0));
    let takes = blank.length();
    BlankKeys {
        pieces: blank.pieces,
        length_mm: length,
        width_mm: width,
        thickness_mm: thickness,
        volume_mm3: mm3(blank.has.0),
        takes_mm: mm(takes.best),
        takes_low_mm: mm(takes.low),
        takes_high_mm: mm(takes.high),
        over_mm3: mm3(blank.over().0),
    }
}

fn finding(found: &Diagnostic) -> Finding {
    Finding {
        level: found.level,
        place: Spot {
            line: found.place.line,
            column: found.place.column,
        },
        step: found.step.clone(),
        key: found.key.clone(),
        what: found.what.clone(),
        remedy: found.remedy.clone(),
    }
}

fn goal(plan: &Plan) -> Goal {
    let goal = &plan.goal;
    Goal {
        pattern: goal.pattern,
        knives: goal.knives,
        bands_least: goal.bands_least,
        bands_most: goal.bands_most,
        finished_mm3: mm3(goal.volume().0),
    }
}

fn steels(plan: &Plan) -> Vec<Alloy> {
    let steels = plan.steels.iter();
    steels
        .map(|steel| Alloy {
            name: steel.key.clone(),
            letter: steel.letter,
            grade: steel.steel.grade.clone(),
            lot: steel.lot.clone(),
            density_g_cm3: steel.steel.density.0,
        })
        .collect()
}

fn step(at: usize, step: &Step, row: Option<&WalkedStep>) -> StepKeys {
    let to = step.made.target().unwrap_or_default();
    let size = |size: Option<Mm>| size.map(|size| mm(size.0));
    StepKeys {
        number: at + 1,
        id: step.id.0.clone(),
        kind: step.kind(),
        title: step.name().to_owned(),
        day: step.day,
        line: step.line,
        heats: step.heats,
        window_low_c: step.window.map(|window| window.low.0),
        window_high_c: step.window.map(|window| window.high.0),
        soak_s: step.soak.map(|soak| soak.0),
        target_width_mm: size(to.width),
        target_thickness_mm: size(to.thickness),
        target_length_mm: size(to.length),
        losses: row.map(|row| gone(&row.losses)),
        metal: row.map_or_else(Metal::default, |row| metal(&row.billet)),
    }
}

/// Stage, sizes, metal and counts of a billet. Sizes are null once it is forged: a forged blank is
/// no bar any more.
#[must_use]
pub fn billet(billet: &Billet) -> Value {
    serde_json::to_value(metal(billet)).unwrap_or_default()
}

fn metal(billet: &Billet) -> Metal {
    let bar = (billet.stage < Stage::Forged).then_some(&billet.bar);
    let length = |of: &dyn Fn(&Bar) -> Mm| bar.map(|bar| mm(of(bar).0));
    let counts = billet.counts();
    let plain = |side: Side| length(&|bar| bar.frame_on(side));
    Metal {
        stage: Some(billet.stage),
        width_mm: length(&|bar| bar.width),
        thickness_mm: length(&|bar| bar.thickness),
        length_mm: length(&|bar| bar.length),
        void_mm3: bar.map(|bar| mm3(bar.void.0)),
        edge_bar_mm: plain(Side::Edge),
        spine_bar_mm: plain(Side::Spine),
        top_bar_mm: plain(Side::Top),
        bottom_bar_mm: plain(Side::Bottom),
        pieces: Some(billet.pieces),
        volume_mm3: Some(mm3(billet.volume().0)),
        mass_g: Some(rounded(billet.mass().0, 1e3)),
        nominal: whole(billet.nominal),
        bands: whole(billet.bands()),
        bands_through: whole(counts.through),
        bands_across: whole(counts.across),
        bands_exact: Some(counts.exact),
        stock_mm3: Some(mm3(billet.stock_volume().0)),
    }
}

/// Where the metal of a billet went.
#[must_use]
pub fn totals(billet: &Billet) -> Value {
    serde_json::to_value(sums(billet)).unwrap_or_default()
}

fn sums(billet: &Billet) -> Totals {
    let ledger = billet.balance();
    let [left, stock] = billet.whole();
    Totals {
        start_mm3: mm3(ledger.start.0),
        added_mm3: mm3(ledger.added.0),
        losses: gone(&ledger.losses),
        left_mm3: mm3(left.0),
        stock_mm3: mm3(stock.0),
    }
}

/// Every loss, the ones that did not happen as zero.
#[must_use]
pub fn losses(entries: &[LossEntry]) -> Value {
    serde_json::to_value(gone(entries)).unwrap_or_default()
}

fn gone(entries: &[LossEntry]) -> Losses {
    let sum = |loss: Loss| {
        let of = entries.iter().filter(|entry| entry.loss == loss);
        mm3(of.map(|entry| entry.volume.0).sum())
    };
    Losses {
        scale_mm3: sum(Loss::Scale),
        trim_mm3: sum(Loss::Trim),
        grind_mm3: sum(Loss::Grind),
        kerf_mm3: sum(Loss::Kerf),
        groove_mm3: sum(Loss::Groove),
        rounding_mm3: sum(Loss::Rounding),
    }
}

/// A count as a number: exact up to 2^53, which every JSON reader holds, beyond that to 16 figures.
fn whole(count: u128) -> Option<Number> {
    match u64::try_from(count) {
        Ok(count) if count <= 1 << 53 => Some(Number::from(count)),
        #[expect(clippy::cast_precision_loss, reason = "said in the doc comment")]
        _ => Number::from_f64(count as f64),
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
