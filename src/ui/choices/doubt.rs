//! What is asked where the count is in doubt, and the ways that agree.

use super::super::model::Model;
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
    let count = session.last_count().map(|(step, [low, high])| {
        if low < high {
            format!("the count at {step}: {low} to {high} bands")
        } else {
            format!("the count at {step}: {low} bands")
        }
    });
    out.push(Ask {
        words: count.unwrap_or_else(|| "a count on an etched end: none was made".to_owned()),
        sure: sure.count,
    });
    let restacks = session.restacks_done();
    out.extend(restacks.iter().rev().take(ASKED).map(|one| Ask {
        words: format!("{} pieces at {}", one.pieces, one.step),
        sure: sure.restacks.contains(&one.step),
    }));
    out
}

/// The ways that may be taken: those that are not the journal's own.
pub(in crate::ui) fn ways(model: &Model) -> Vec<Recount> {
    model.session.recounts(&model.sure)
}
