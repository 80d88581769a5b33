//! The short list and one whole plan as plain text.

use crate::planner::draft::{Drafted, Line, Offer, Outlook, PROMISE};
use crate::units::show;

/// The short list.
pub(super) fn list(found: &Drafted) -> String {
    let [first, second] = found.wish.summary();
    let mut lines = vec![
        first,
        second,
        format!(
            "{} out of {} candidates; none of the others has fewer welds, less steel and less time.{}",
            match found.offers.len() {
                1 => "1 plan".to_owned(),
                many => format!("{many} plans"),
            },
            found.candidates,
            match found.journals {
                0 => String::new(),
                many => format!(
                    " Heats and hours as learnt from {} of this folder.",
                    show::counted(many, "journal")
                ),
            }
        ),
    ];
    for (at, (offer, seen)) in found.offers.iter().enumerate() {
        let [what, takes, risk] = offer.summary(seen);
        lines.push(String::new());
        lines.push(format!("{}. {what}", at + 1));
        lines.push(format!("   why: {}", offer.why.join(", ")));
        lines.push(format!("   {takes}"));
        if let Some(frame) = offer.frame_words() {
            lines.push(format!("   frame: {frame}"));
        }
        lines.push(format!("   {risk}"));
    }
    lines.push(String::new());
    lines.push("--show N prints all of a plan, --take N writes it as a plan file.".to_owned());
    lines.push(PROMISE.to_owned());
    lines.join("\n")
}

/// One plan, all of it.
pub(super) fn whole(place: usize, offer: &Offer, seen: &Outlook) -> String {
    let mut lines = vec![format!(
        "plan {}: {} ({})",
        place + 1,
        offer.sequence_words(),
        offer.plan.title
    )];
    for line in offer.lines(seen) {
        lines.push(match line {
            Line::Head(head, text) => format!("{head:<9}{text}"),
            Line::Row(text) => text,
        });
    }
    lines.push(PROMISE.to_owned());
    lines.join("\n")
}

/// Behind a plan that was written.
pub(super) fn written(path: &str) -> String {
    format!("\n{path}: written. Look it over, then step through it: anvilside work {path}")
}
