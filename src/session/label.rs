//! A label for the knife's owner: what it is and how to keep it. Nothing stands on it that the record does not
//! hold.

use maud::html;

use super::{Session, when};
use crate::plan::Pattern;
use crate::plan::report::html::page;
use crate::units::show;

/// A steel with less chromium than this, mass %, rusts: EN 10088-1 names 10.5 % for stainless (from memory).
const STAINLESS: f64 = 10.5;

/// How to keep a blade of carbon steel. Common practice, no source.
const CARE: [&str; 4] = [
    "This steel rusts. Wash it by hand, dry it at once, and leave a thin film of oil on it: one fit for food where \
     it cuts food.",
    "Never in a dishwasher, never left wet, in salt or in acid food. A grey bloom from use is no harm; red rust is: \
     rub it off with oil.",
    "The pattern is etched and thin. Steel wool, scourers and sandpaper take it off; a smith can etch it again.",
    "Sharpen it on a wet stone. Do not pry, twist, or heat it over a flame: heat takes the hardness.",
];
/// The same where every steel is stainless. Common practice, no source.
const CARE_STAINLESS: [&str; 3] = [
    "Wash it by hand and dry it; stainless steel stains too when it is left wet or in salt.",
    "The pattern is etched and thin. Scourers and sandpaper take it off; a smith can etch it again.",
    "Sharpen it on a wet stone. Do not pry, twist, or heat it over a flame: heat takes the hardness.",
];

/// There is no label yet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{title}: the job is not finished, it stands at {step}; a label says what was made, `anvilside record` says \
     where it stands"
)]
pub struct Unfinished {
    /// The job.
    pub title: String,
    /// Where it stands.
    pub step: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    title: String,
    facts: Vec<(&'static str, String)>,
    care: &'static [&'static str],
}

impl Session {
    /// The label of a finished job.
    ///
    /// # Errors
    /// Why there is none yet, and what to do.
    pub fn label(&self) -> Result<Label, Unfinished> {
        if let Some(step) = self.current() {
            return Err(Unfinished {
                title: self.plan.title.clone(),
                step: step.name().to_owned(),
            });
        }
        let goal = &self.plan.goal;
        let units = self.plan.units;
        let blade = &goal.blade;
        let pattern: &'static str = goal.pattern.into();
        let what = match goal.pattern {
            Pattern::ThreeLayer => "a core of plain steel between two jackets".to_owned(),
            Pattern::Jacket => "a core of plain steel in a pattern-welded jacket".to_owned(),
            Pattern::Tiles => "end-grain tiles of pattern-welded steel".to_owned(),
            _ => format!("pattern-welded steel, {pattern} pattern"),
        };
        let what = match goal.knives {
            1 => what,
            many => format!("{what}; one of {many} from one billet"),
        };
        let billet = self.metal();
        let counted = self.done.iter().rev().find_map(|done| done.reading.bands);
        let bands = match counted {
            Some(bands) => format!(
                "{}, counted on the etched bar",
                show::counted(bands, "band")
            ),
            None => format!(
                "about {} (worked out, not counted)",
                show::counted(show::count(billet.bands()), "band")
            ),
        };
        let steels = self
            .plan
            .steels
            .iter()
            .map(crate::plan::PlanSteel::with_lot);
        let steels: Vec<String> = steels.collect();
        let mut facts = vec![
            ("What", what),
            (
                "Blade as meant",
                format!(
                    "{} long, {} wide",
                    units.length(blade.length),
                    units.length(blade.width)
                ),
            ),
            ("Bands", bands),
            ("Steels", steels.join("; ")),
            (
                "Edge",
                match self.edge_steel() {
                    Some(steel) => steel.steel.grade.clone(),
                    None => "the layers run to the edge".to_owned(),
                },
            ),
        ];
        if let Some(last) = self.worked_last() {
            let day = when(last, self.offset);
            facts.push(("Finished", day.get(..10).unwrap_or_default().to_owned()));
        }
        let rusts = |steel: &crate::plan::PlanSteel| steel.steel.nominal.cr < STAINLESS;
        Ok(Label {
            title: self.plan.title.clone(),
            facts,
            care: if self.plan.steels.iter().any(rusts) {
                &CARE
            } else {
                &CARE_STAINLESS
            },
        })
    }
}

impl Label {
    /// As plain text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lines = vec![self.title.clone(), String::new()];
        lines.extend(
            self.facts
                .iter()
                .map(|(what, value)| format!("{what}: {value}")),
        );
        lines.extend([String::new(), "Care".to_owned()]);
        lines.extend(self.care.iter().map(|line| format!("- {line}")));
        lines.join("\n")
    }

    /// As a small page.
    #[must_use]
    pub fn page(&self) -> String {
        const OWN: &str = "
body{max-width:34rem}.label{border:2px solid var(--ink);padding:1rem 1.4rem;break-inside:avoid}
.label dl{display:grid;grid-template-columns:max-content 1fr;gap:.25rem 1rem;margin:.8rem 0}.label dt{color:var(--soft)}.label dd{margin:0}
.label h1{font-size:1.3rem}.label h2{font-size:1.05rem;margin:1rem 0 .3rem;border:0}.label ul{margin:.3rem 0;padding-left:1.2rem}
@media print{body{max-width:120mm;margin:0}.label{font-size:9.5pt}}
";
        let body = html! {
            div.label {
                h1 { (self.title) }
                dl { @for (what, value) in &self.facts { dt { (what) } dd { (value) } } }
                h2 { "Care" }
                ul { @for line in self.care { li { (line) } } }
            }
        };
        page(&self.title, OWN, None, &body)
    }
}
