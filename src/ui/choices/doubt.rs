//! What is asked where the count is in doubt, and the ways that agree.

use super::super::model::Model;
use crate::plan::StepId;
use crate::session::Recount;

/// Something that may be sure or not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::ui) struct Ask {
    pub(in crate::ui) words: String,
    /// Held to be sure.
    pub(in crate::ui) sure: bool,
}

/// Most restacks that are asked about.
const ASKED: usize = 2;

/// What is asked, in the order of its numbers: the sizes, the count, the newest restacks.
pub(in crate::ui) fn asks(model: &Model) -> Vec<Ask> {
    let (session, sure) = (&model.session, &model.sure);
    let mut out = vec![Ask {
        words: "the sizes and masses read since".to_owned(),
        sure: sure.sizes,
    }];
    out.push(Ask {
        words: count(model),
        sure: sure.count,
    });
    let restacks = session.restacks_done();
    out.extend(restacks.iter().rev().take(ASKED).map(|one| Ask {
        words: format!("{} pieces at {}", one.pieces, one.step),
        sure: sure.restacks.contains(&one.step),
    }));
    out
}

/// The last count that is done with, and the one that is typed in the step in hand.
fn count(model: &Model) -> String {
    let session = &model.session;
    let done = session
        .last_count()
        .map(|(step, range)| (step.clone(), range));
    let in_hand = session.current().and_then(|step| {
        let bands = session.step.reading.bands?;
        let range = session.step.reading.between.unwrap_or([bands; 2]);
        Some((step.id.clone(), range))
    });
    let words = |(step, [low, high]): (StepId, [u64; 2])| {
        if low < high {
            format!("the count at {step}: {low} to {high} bands")
        } else {
            format!("the count at {step}: {low} bands")
        }
    };
    let open = "not settled until the step is done";
    match (done, in_hand) {
        (Some(done), None) => words(done),
        (Some(done), Some((step, _))) => format!("{}; that of {step} is {open}", words(done)),
        (None, Some(typed)) => format!("{}, {open}", words(typed)),
        (None, None) => "a count on an etched end: none was made".to_owned(),
    }
}

/// The ways that may be taken: those that are not the journal's own.
pub(in crate::ui) fn ways(model: &Model) -> Vec<Recount> {
    model.session.recounts(&model.sure)
}
