//! The job that is pictured, and the places in it.

use std::path::Path;

use super::tones::SetTone;
use crate::cli::status;
use crate::pattern::LinesRange;
use crate::session::{Aspect, Session, Subject};
use crate::shell::store::read_entries;
use crate::units::show;

/// A place in the plan: so many steps made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct At(pub(super) usize);

impl At {
    /// Now where something was done, else the finished work.
    pub(super) fn usual(job: &Job) -> Self {
        Self(if job.begun {
            job.session.at
        } else {
            job.steps()
        })
    }

    /// A step's id, `now` or `finished`.
    pub(super) fn read(word: &str, job: &Job) -> Result<Self, String> {
        Self::find(word, job).ok_or_else(|| {
            let steps = &job.session.plan.steps;
            let ids: Vec<&str> = steps.iter().map(|step| step.id.0.as_str()).collect();
            format!(
                "`{}` is not a step of this plan; write `now`, `finished`, or one of: {}",
                show::plain(word, 60),
                ids.join(", ")
            )
        })
    }

    pub(super) fn find(word: &str, job: &Job) -> Option<Self> {
        match word {
            "now" => Some(Self(job.session.at)),
            "finished" => Some(Self(job.steps())),
            id => job
                .session
                .plan
                .steps
                .iter()
                .position(|step| step.id.0 == id)
                .map(|at| Self(at + 1)),
        }
    }
}

/// A plan with what was done of it.
#[derive(Debug)]
pub(super) struct Job {
    pub(super) session: Session,
    /// There is a journal.
    pub(super) begun: bool,
    pub(super) seed: u64,
    /// Tones in place of those from the analysis.
    pub(super) tones: Vec<SetTone>,
}

impl Job {
    pub(super) fn open(plan: &Path, seed: u64) -> Result<Self, String> {
        let begun = !read_entries(plan)?.is_empty();
        let session = status::load(plan)?;
        Ok(Self {
            session,
            begun,
            seed,
            tones: Vec::new(),
        })
    }

    /// With tones of the smith's own; each must be of a steel of the plan.
    pub(super) fn toned(mut self, tones: &[SetTone]) -> Result<Self, String> {
        for tone in tones {
            tone.check(&self.session.plan.steels)?;
        }
        self.tones = tones.to_vec();
        Ok(self)
    }

    pub(super) fn title(&self) -> &str {
        &self.session.plan.title
    }

    pub(super) fn steps(&self) -> usize {
        self.session.plan.steps.len()
    }

    /// How the bands run, over so many hands.
    pub(super) fn lines(
        &self,
        At(place): At,
        subject: &Subject,
        aspect: Aspect,
        hands: u64,
    ) -> Option<LinesRange> {
        let from = (place, self.seed);
        self.session
            .lines(subject, aspect, from, hands.saturating_sub(1))
    }

    /// The id of the step that a place comes after.
    pub(super) fn step_before(&self, At(place): At) -> Option<&str> {
        let step = self.session.plan.steps.get(place.checked_sub(1)?)?;
        Some(step.id.0.as_str())
    }

    /// True where a place is still to be reached.
    pub(super) fn is_ahead(&self, At(place): At) -> bool {
        place > self.session.at
    }

    pub(super) fn subject(&self, At(place): At) -> Result<Subject, String> {
        let mut subject = self.session.subject(place, self.seed).ok_or_else(|| {
            let stuck = self.session.plan.steps.get(self.session.last_place());
            let stuck = stuck.map_or("its end", |step| step.id.0.as_str());
            format!(
                "{}: the plan cannot be followed past {stuck}; `anvilside check` says why",
                self.title()
            )
        })?;
        for tone in &self.tones {
            tone.put(&self.session.plan.steels, &mut subject.look);
        }
        Ok(subject)
    }
}
