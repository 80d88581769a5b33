//! The page of what is left over, and the line that points to it.

use crate::planner::shelf::like;
use crate::ui::choices::NUMBERED;
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::show;

pub(super) fn lines(model: &Model) -> Vec<(Meaning, String)> {
    let (session, units) = (&model.session, model.units());
    let left = session.left_over();
    let mut out = Vec::new();
    if left.is_empty() {
        out.push((
            Meaning::Text,
            "Nothing is left over that is not kept.".to_owned(),
        ));
    } else {
        let words = "Keep for other plans, by its number:";
        out.push((Meaning::Head, words.to_owned()));
    }
    for (at, spare) in (1..).zip(&left) {
        let number = if at <= NUMBERED {
            at.to_string()
        } else {
            " ".to_owned()
        };
        let bar = if spare.bar.is_empty() {
            String::new()
        } else {
            format!("bar {}, ", spare.bar)
        };
        let what = format!("{number}  {} x {}", spare.pieces, like(spare, units));
        out.push((Meaning::Now, what));
        out.push((Meaning::Text, format!("   {bar}left by {}", spare.from)));
    }
    let said = model.shelf.said.iter();
    out.extend(said.map(|line| (Meaning::Measured, line.clone())));
    let mut kept = session.kept.iter().peekable();
    if kept.peek().is_some() {
        out.push((Meaning::Text, String::new()));
        let words = "Kept from this job (- in the step takes the last back):";
        out.push((Meaning::Head, words.to_owned()));
    }
    for kept in kept {
        let what = format!("   {} x {}", kept.spare.pieces, like(&kept.spare, units));
        out.push((Meaning::Text, what));
    }
    out
}

/// What a job that is done has left over, in one line.
pub(super) fn left(model: &Model) -> Option<String> {
    let left = model.session.left_over();
    let pieces: u32 = left.iter().map(|spare| spare.pieces).sum();
    (pieces > 0).then(|| {
        let pieces = show::counted(pieces, "piece");
        format!("{pieces} left over: k, or * 0 0 3, keeps them on the shelf")
    })
}
