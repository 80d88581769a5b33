//! The numbers that go with a picture: how the bands run in it, and what the work to come does to them.

use serde_json::{Value, json};

use super::job::{At, Job};
use crate::billet::{Counts, Kind};
use crate::pattern::{Coming, LinesRange, View, foresee, straight, straighter};
use crate::physics::Spread;
use crate::session::{Aspect, Subject};
use crate::units::show;

/// Hands that the same work is given to: what they differ by is the range of the estimate.
const HANDS: u64 = 5;
/// Hands for the work to come, step by step.
const FEWER: u64 = 3;

/// The lines in one picture.
#[derive(Debug, Clone)]
pub(super) struct Figures {
    /// What is looked at and when, as the picture's own words have it.
    pub(super) head: String,
    title: String,
    step: Option<String>,
    aspect: Aspect,
    forecast: bool,
    lines: Option<LinesRange>,
    /// Bands along lines through the section; none of the blade.
    counts: Option<Counts>,
    /// What is guessed of a bar as found.
    guess: Option<String>,
}

/// One step to come that bends the lines.
#[derive(Debug, Clone)]
struct Ahead {
    number: usize,
    id: String,
    kind: Kind,
    /// Times straighter that it leaves the lines that are there, where it only squeezes.
    law: Option<f64>,
    before: Option<Spread>,
    /// Liveliness that the squeeze leaves of it.
    left: Option<Spread>,
    after: Option<Spread>,
}

/// What is to come after a place.
#[derive(Debug, Clone)]
pub(super) struct Road {
    steps: Vec<Ahead>,
    /// The bar's length at the end of the plan, in the plan's units.
    length: String,
    /// Times straighter that all draws to come leave the lines of this place; none without a draw.
    finished: Option<f64>,
}

impl Figures {
    pub(super) fn of(job: &Job, at: At, subject: &Subject, aspect: Aspect, head: String) -> Self {
        Self {
            head,
            title: job.title().to_owned(),
            step: job.step_before(at).map(str::to_owned),
            aspect,
            forecast: job.is_ahead(at),
            lines: job.lines(at, subject, aspect, HANDS),
            counts: (aspect != Aspect::Blade).then(|| subject.billet.counts()),
            guess: job.session.plan.guess(&subject.billet.name),
        }
    }

    /// As lines of text.
    pub(super) fn text(&self) -> Vec<String> {
        let mut out = vec![format!(
            "{}: estimates, with their range over {HANDS} simulated hammer runs",
            self.head
        )];
        out.extend(
            self.counts
                .map(|counts| format!("  bands: {}", counts.text())),
        );
        out.extend(self.guess.iter().map(|guess| format!("  {guess}")));
        let Some(lines) = &self.lines else {
            out.push("  no layers show here".to_owned());
            return out;
        };
        let (one, other) = ways(self.aspect);
        out.push(format!(
            "  bands/cm: {} {one}, {} {other}",
            lines.along.words(1),
            lines.across.words(1)
        ));
        out.push(format!(
            "  mean slope of the layers: {} degrees, {}",
            lines.slope.words(1),
            lines.word.word()
        ));
        out
    }

    /// In one line, without ranges, for a picture's caption.
    pub(super) fn caption(&self) -> Option<String> {
        let lines = self.lines.as_ref()?;
        let (one, other) = ways(self.aspect);
        Some(format!(
            "~{} bands/cm {one}, {} {other}; {}",
            show::fixed(lines.along.best, 1),
            show::fixed(lines.across.best, 1),
            lines.word.word()
        ))
    }

    pub(super) fn json(&self) -> Value {
        json!({
            "title": self.title,
            "after": self.step,
            "view": self.aspect.word(),
            "forecast": self.forecast,
            "bands": self.counts.map(|counts| json!({
                "through": counts.through,
                "across": counts.across,
                "exact": counts.exact,
            })),
            "lines": self.lines.as_ref().map(|lines| json!({
                "bands_per_cm_along": band(lines.along),
                "bands_per_cm_across": band(lines.across),
                "slope_deg": band(lines.slope),
                "word": lines.word.word(),
            })),
        })
    }
}

impl Road {
    /// From a place to the end of the plan, seen on the bar's face.
    pub(super) fn from(job: &Job, at: At) -> Self {
        let metal = |place: usize| job.session.metal_at(place);
        let last = job.session.last_place();
        let reach = |place: usize| metal(place).map_or(0, |metal| metal.history.len());
        let now = reach(at.0);
        let end = metal(last);
        let first = end.as_ref().map_or(&[][..], |metal| &metal.first);
        let history = end.as_ref().map_or(&[][..], |metal| &metal.history);
        let all: Vec<Vec<Coming>> = (0..FEWER)
            .map(|more| {
                let hand = job.session.hand(job.seed.wrapping_add(more));
                foresee(first, history, now, hand, View::Face)
            })
            .collect();
        let slope = |n: usize, of: fn(&Coming) -> Option<f64>| {
            let found: Option<Vec<f64>> = all.iter().map(|coming| of(coming.get(n)?)).collect();
            Spread::over(found?)
        };
        let mut whole = 1.0;
        let mut drawn = false;
        let mut steps = Vec::new();
        for (n, coming) in all.first().into_iter().flatten().enumerate() {
            let Some(place) = (at.0..last).find(|place| reach(place + 1) > coming.at) else {
                break;
            };
            let times = coming.law.and_then(|_| {
                let (before, after) = (metal(place)?, metal(place + 1)?);
                Some(straighter(&before, &after))
            });
            if let Some(times) = times {
                whole *= times;
                drawn |= (times - 1.0).abs() > 0.02;
            }
            let id = job.session.plan.steps.get(place);
            steps.push(Ahead {
                number: place + 1,
                id: id.map_or_else(String::new, |step| step.id.0.clone()),
                kind: coming.kind,
                law: times,
                before: slope(n, |coming| Some(coming.before?.slope)),
                left: slope(n, Coming::leaves),
                after: slope(n, |coming| Some(coming.lines?.slope)),
            });
        }
        let units = job.session.plan.units;
        Self {
            steps,
            length: metal(last).map_or_else(String::new, |metal| units.length(metal.bar.length)),
            finished: drawn.then_some(whole),
        }
    }

    /// As lines of text; none at the end of the plan.
    pub(super) fn text(&self) -> Vec<String> {
        if self.steps.is_empty() {
            return Vec::new();
        }
        let mut out = vec![format!(
            "forecast, on the bar's face: estimates, with their range over {FEWER} simulated hammer runs"
        )];
        out.extend(self.steps.iter().map(Ahead::text));
        out.push(match self.finished {
            Some(times) => format!(
                "at the bar's finished length, {}, the lines are {} than here (estimate)",
                self.length,
                straight(times)
            ),
            None => "no draw to come: the lines keep their slope".to_owned(),
        });
        out
    }

    pub(super) fn json(&self) -> Value {
        json!({
            "coming": self.steps.iter().map(|step| json!({
                "number": step.number,
                "step": step.id,
                "kind": step.kind.word(),
                "straighter_times": step.law.map(rounded),
                "slope_before_deg": step.before.map(band),
                "slope_left_deg": step.left.map(band),
                "slope_after_deg": step.after.map(band),
            })).collect::<Vec<_>>(),
            "straighter_at_finish_times": self.finished.map(rounded),
        })
    }
}

impl Ahead {
    fn text(&self) -> String {
        let mut words = vec![match (self.before, self.after) {
            (Some(before), Some(after)) => self.change(before, after),
            (None, Some(after)) => format!("slope {} degrees", after.words(1)),
            (_, None) => "no layers show on the face".to_owned(),
        }];
        match self.law {
            Some(times) if !(0.98..=1.02).contains(&times) => {
                words.push(format!("layers {}", straight(times)));
            }
            _ => {}
        }
        format!("  {}. {}: {}", self.number, self.id, words.join("; "))
    }

    /// A draw takes by its law what is there, and its hammer makes new waves; other work adds or takes.
    fn change(&self, before: Spread, after: Spread) -> String {
        let was = show::fixed(before.best, 1);
        match self.left {
            Some(left) if (left.best - before.best).abs() > 0.05 => {
                let by = before.best - left.best;
                let verb = if by > 0.0 { "takes" } else { "adds" };
                format!(
                    "slope {was} degrees, stretching {verb} {}; {} with the hammer's new waves",
                    show::fixed(by.abs(), 1),
                    after.words(1)
                )
            }
            _ => {
                let by = after.best - before.best;
                let verb = if by < 0.0 { "takes" } else { "adds" };
                format!(
                    "slope {was} degrees, {verb} {}: {}",
                    show::fixed(by.abs(), 1),
                    after.words(1)
                )
            }
        }
    }
}

/// What the two directions of an aspect are called.
fn ways(aspect: Aspect) -> (&'static str, &'static str) {
    match aspect {
        Aspect::End => ("across the width", "through"),
        Aspect::Side => ("along", "through"),
        Aspect::Face | Aspect::Blade => ("along", "across"),
    }
}

fn band(of: Spread) -> Value {
    let [low, best, high] = [of.low, of.best, of.high].map(rounded);
    json!({ "low": low, "best": best, "high": high })
}

/// To four decimals: an estimate has no more.
fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
