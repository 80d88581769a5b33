//! The bars of a job of several: how each lies, and what it waits for.

use super::Session;
use crate::billet::{Billet, Piece, Stage};
use crate::plan::Step;

/// One bar of a job of several.
#[derive(Debug, Clone, PartialEq)]
pub struct BarLine {
    /// Its name.
    pub name: String,
    /// How it is marked.
    pub mark: String,
    /// True for the bar in hand.
    pub in_hand: bool,
    /// Pieces and size; where it went, once it is used up.
    pub size: String,
    /// The step that works on it next, or lays it into another.
    pub next: Option<String>,
}

impl BarLine {
    /// In one line.
    #[must_use]
    pub fn text(&self) -> String {
        let hand = if self.in_hand { ", in hand" } else { "" };
        let next = self.next.as_ref();
        let next = next.map_or_else(String::new, |step| format!("; next {step}"));
        format!(
            "bar {} ({}{hand}): {}{next}",
            self.name, self.mark, self.size
        )
    }
}

impl Session {
    /// Every bar, in the order of the plan; empty in a plan of one.
    #[must_use]
    pub fn bars(&self) -> Vec<BarLine> {
        let metal = self.metal();
        let named = self.plan.bars.iter().filter(|bar| !bar.name.is_empty());
        let found = named.filter_map(|bar| metal.bars().find(|other| *other.name == *bar.name));
        found
            .map(|bar| BarLine {
                name: bar.name.to_string(),
                mark: self.plan.mark_of(&bar.name),
                in_hand: bar.name == metal.name,
                size: self.lies(bar),
                next: self.next_of(bar),
            })
            .collect()
    }

    fn lies(&self, bar: &Billet) -> String {
        if let Some(within) = bar.within.as_ref().filter(|_| bar.pieces == 0) {
            return format!("in bar {within}");
        }
        let how = match bar.stage {
            Stage::Loose => "loose pieces, ",
            Stage::Pile => "not welded yet, ",
            _ => "",
        };
        format!("{how}{} x {}", bar.pieces, bar.outside(self.plan.units))
    }

    fn next_of(&self, bar: &Billet) -> Option<String> {
        let lays = |step: &&Step| {
            let (laid, _) = step.made.laid();
            let of = |one: &crate::billet::FrameBar| matches!(&one.piece, Piece::Of { bar: name, .. } if **name == *bar.name);
            *step.bar == *bar.name || laid.iter().any(of)
        };
        let coming = self.plan.steps.iter().skip(self.at);
        let step = coming.filter(|_| bar.pieces > 0).find(lays)?;
        Some(step.name().to_owned())
    }
}
