//! The list of plans: each in as many rows as its words take, as many as there is room for.

use std::ops::Range;

use ratatui::layout::Rect;

use super::Draft;
use crate::planner::draft::{Drafted, PROMISE};
use crate::ui::theme::Meaning;
use crate::ui::view::{Pen, wrap};

impl Draft {
    pub(super) fn list(&self, area: Rect, body: Rect, foot: Rect, pen: &mut Pen<'_>) {
        let Some(found) = &self.found else { return };
        let title = format!(
            " {} PLANS of {} candidates: none beats them in welds, steel, time",
            found.offers.len(),
            count(found.candidates)
        );
        pen.bar(area, 0, &title, Meaning::Bar);
        let [first, second] = found.wish.summary();
        let mut head = pen.wrapped(body, 0, &first, Meaning::Text);
        head = pen.wrapped(body, head, &second, Meaning::Text);
        let under = Rect {
            x: body.x + 3.min(body.width),
            width: body.width.saturating_sub(3),
            ..body
        };
        // Each plan in as many rows as its words take: nothing of it is cut.
        let blocks: Vec<[Vec<String>; 2]> = found
            .offers
            .iter()
            .map(|(offer, seen)| {
                let [what, takes, risk] = offer.summary(seen);
                let first = format!("{what}; {}", offer.why.join(", "));
                let mut rest = wrap(&takes, under.width);
                rest.extend(wrap(&frame(offer.frame_words(), &risk), under.width));
                [wrap(&first, under.width), rest]
            })
            .collect();
        let heights: Vec<usize> = blocks
            .iter()
            .map(|[first, rest]| first.len() + rest.len())
            .collect();
        let shown = in_sight(
            &heights,
            self.plan,
            usize::from(body.height.saturating_sub(head)),
        );
        let mut row = head;
        for (n, block) in blocks
            .iter()
            .enumerate()
            .skip(shown.start)
            .take(shown.len())
        {
            let here = n == self.plan;
            let mark = if here { pen.glyphs.pointer() } else { ' ' };
            let meaning = if here { Meaning::Now } else { Meaning::Head };
            pen.line(body, row, &format!("{mark}{}", n + 1), meaning);
            for (lines, meaning) in block.iter().zip([meaning, Meaning::Text]) {
                for line in lines {
                    pen.line(under, row, line, meaning);
                    row = row.saturating_add(1);
                }
            }
        }
        self.foot(found, &shown, foot, pen);
    }

    fn foot(&self, found: &Drafted, shown: &Range<usize>, foot: Rect, pen: &mut Pen<'_>) {
        let from = match found.journals {
            0 => String::new(),
            1 => " Times learnt from 1 journal.".to_owned(),
            many => format!(" Times learnt from {many} journals."),
        };
        for (row, line) in (0_u16..2).zip(wrap(&format!("{PROMISE}{from}"), foot.width)) {
            pen.line(foot, row, &line, Meaning::Text);
        }
        let all = found.offers.len();
        let keys = if shown.len() < all {
            format!(
                "{} to {} of {all}   1-9 shows a plan   UP DOWN for more   + shows it   - the wish",
                shown.start + 1,
                shown.end
            )
        } else {
            "1-9 shows a plan   UP DOWN mark   + shows it   - the wish".to_owned()
        };
        pen.line(foot, 2, &keys, Meaning::Now);
    }
}

/// The plans that are in sight, the marked one among them, given the rows of each and the room.
fn in_sight(heights: &[usize], marked: usize, room: usize) -> Range<usize> {
    let rows = |plans: Range<usize>| {
        heights
            .get(plans)
            .map_or(0, |rows| rows.iter().sum::<usize>())
    };
    let top = (0..=marked).find(|top| rows(*top..marked + 1) <= room);
    let top = top.unwrap_or(marked);
    let end = (marked + 1..=heights.len())
        .rev()
        .find(|end| rows(top..*end) <= room);
    top..end.unwrap_or(marked + 1)
}

/// The frame, where there is one, then the risk.
fn frame(frame: Option<String>, risk: &str) -> String {
    match frame {
        Some(frame) => format!("frame {frame}; {risk}"),
        None => risk.to_owned(),
    }
}

fn count(candidates: u64) -> String {
    match candidates {
        many @ 1_000_000.. => format!("{} million", many / 1_000_000),
        many => many.to_string(),
    }
}
