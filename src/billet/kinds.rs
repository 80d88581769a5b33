//! The kinds of work, without their numbers.

use serde::{Deserialize, Serialize};

/// The kind of a move, without its numbers. Order is the order of the plan-format page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(
    missing_docs,
    reason = "each is described at the move of the same name"
)]
pub enum Kind {
    Prepare,
    Stack,
    Weld,
    Draw,
    Square,
    QuarterTurn,
    CornerCrush,
    Trim,
    Grind,
    Cut,
    Restack,
    Fold,
    Frame,
    Groove,
    Dimple,
    Twist,
    Split,
    Inspect,
    Forge,
    Normalise,
    Anneal,
    RoughGrind,
    Harden,
    Temper,
    FinishGrind,
    Etch,
    EndDay,
}

impl Kind {
    /// Every kind, in order.
    pub const ALL: [Self; 27] = [
        Self::Prepare,
        Self::Stack,
        Self::Weld,
        Self::Draw,
        Self::Square,
        Self::QuarterTurn,
        Self::CornerCrush,
        Self::Trim,
        Self::Grind,
        Self::Cut,
        Self::Restack,
        Self::Fold,
        Self::Frame,
        Self::Groove,
        Self::Dimple,
        Self::Twist,
        Self::Split,
        Self::Inspect,
        Self::Forge,
        Self::Normalise,
        Self::Anneal,
        Self::RoughGrind,
        Self::Harden,
        Self::Temper,
        Self::FinishGrind,
        Self::Etch,
        Self::EndDay,
    ];

    /// The word for it in a plan file: `kind = "..."`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Prepare => "prepare",
            Self::Stack => "stack",
            Self::Weld => "weld",
            Self::Draw => "draw",
            Self::Square => "square",
            Self::QuarterTurn => "quarter-turn",
            Self::CornerCrush => "corner-crush",
            Self::Trim => "trim",
            Self::Grind => "grind",
            Self::Cut => "cut",
            Self::Restack => "restack",
            Self::Fold => "fold",
            Self::Frame => "frame",
            Self::Groove => "groove",
            Self::Dimple => "dimple",
            Self::Twist => "twist",
            Self::Split => "split",
            Self::Inspect => "inspect",
            Self::Forge => "forge",
            Self::Normalise => "normalise",
            Self::Anneal => "anneal",
            Self::RoughGrind => "rough-grind",
            Self::Harden => "harden",
            Self::Temper => "temper",
            Self::FinishGrind => "finish-grind",
            Self::Etch => "etch",
            Self::EndDay => "end-day",
        }
    }

    /// What the smith is told to do, in capitals on the screen: `DRAW OUT`.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Prepare => "Prepare pieces",
            Self::Stack => "Stack",
            Self::Weld => "Weld",
            Self::Draw => "Draw out",
            Self::Square => "Square up",
            Self::QuarterTurn => "Quarter-turn",
            Self::CornerCrush => "Corner crush",
            Self::Trim => "Trim ends",
            Self::Grind => "Flat grind",
            Self::Cut => "Cut to pieces",
            Self::Restack => "Restack",
            Self::Fold => "Fold",
            Self::Frame => "Frame",
            Self::Groove => "Groove (ladder)",
            Self::Dimple => "Dimple (raindrop)",
            Self::Twist => "Twist",
            Self::Split => "Wedge split",
            Self::Inspect => "Inspect an etched end",
            Self::Forge => "Forge to shape",
            Self::Normalise => "Normalise",
            Self::Anneal => "Anneal",
            Self::RoughGrind => "Rough grind",
            Self::Harden => "Harden",
            Self::Temper => "Temper",
            Self::FinishGrind => "Finish grind",
            Self::Etch => "Etch",
            Self::EndDay => "End of day",
        }
    }

    /// True when the work is done at forging heat, with trips to the fire.
    #[must_use]
    pub fn is_hot(self) -> bool {
        matches!(
            self,
            Self::Weld
                | Self::Draw
                | Self::Square
                | Self::CornerCrush
                | Self::Fold
                | Self::Twist
                | Self::Split
                | Self::Forge
                | Self::Normalise
                | Self::Anneal
                | Self::Harden
        )
    }

    /// True when the press or hammer strikes it: the machine's cautions are asked.
    #[must_use]
    pub fn is_struck(self) -> bool {
        matches!(
            self,
            Self::Weld
                | Self::Draw
                | Self::Square
                | Self::CornerCrush
                | Self::Fold
                | Self::Split
                | Self::Forge
        )
    }

    /// True when sizes can be read off the bar after it.
    #[must_use]
    pub fn is_measured(self) -> bool {
        !matches!(
            self,
            Self::Prepare
                | Self::Normalise
                | Self::Anneal
                | Self::Harden
                | Self::Temper
                | Self::Etch
                | Self::QuarterTurn
        )
    }
}
