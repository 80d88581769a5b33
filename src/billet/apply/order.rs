//! What may come after what.

use crate::billet::{Billet, Kind, Move, Refusal, Stage};

/// The stage after the move, or what must come first.
pub(super) fn admit(billet: &Billet, made: &Move) -> Result<Stage, Refusal> {
    let (kind, stage) = (made.kind(), billet.stage);
    if !allowed(kind).contains(&stage) {
        return Err(Refusal {
            what: format!("'{}' cannot come here: {}", kind.word(), standing(stage)),
            remedy: remedy(kind, stage).to_owned(),
            key: Some("kind"),
        });
    }
    Ok(match made {
        Move::Stack | Move::Restack { .. } | Move::Fold { .. } | Move::Frame { .. } => Stage::Pile,
        Move::Weld { .. } if stage == Stage::Pile => Stage::Bar,
        Move::Cut { pieces, .. } if *pieces > 1 => Stage::Pieces,
        Move::Forge { .. } => Stage::Forged,
        Move::RoughGrind { .. } => Stage::Ground,
        Move::Harden => Stage::Hard,
        Move::Temper { .. } => Stage::Tempered,
        Move::FinishGrind { .. } => Stage::Finished,
        Move::Etch => Stage::Etched,
        _ => stage,
    })
}

fn allowed(kind: Kind) -> &'static [Stage] {
    use Stage::{Bar, Etched, Finished, Forged, Ground, Hard, Loose, Pieces, Pile, Tempered};
    match kind {
        Kind::Prepare | Kind::Stack => &[Loose],
        Kind::Weld => &[Pile, Bar],
        // Like pieces are each worked alike: several bars are twisted before they are joined.
        Kind::Draw
        | Kind::Square
        | Kind::QuarterTurn
        | Kind::CornerCrush
        | Kind::Trim
        | Kind::Grind
        | Kind::Groove
        | Kind::Dimple
        | Kind::Twist
        | Kind::Split
        | Kind::Cut => &[Bar, Pieces],
        Kind::Restack => &[Pieces],
        Kind::Fold | Kind::Frame => &[Bar],
        Kind::Inspect => &[
            Bar, Pieces, Forged, Ground, Hard, Tempered, Finished, Etched,
        ],
        Kind::Forge => &[Bar, Pieces, Forged],
        Kind::Normalise | Kind::Anneal => &[Bar, Pieces, Forged, Ground],
        Kind::RoughGrind => &[Bar, Pieces, Forged, Ground],
        Kind::Harden => &[Ground],
        Kind::Temper => &[Hard, Tempered],
        Kind::FinishGrind => &[Tempered, Finished],
        Kind::Etch => &[Finished, Etched],
        Kind::EndDay => &[
            Loose, Pile, Bar, Pieces, Forged, Ground, Hard, Tempered, Finished, Etched,
        ],
    }
}

fn standing(stage: Stage) -> &'static str {
    match stage {
        Stage::Loose => "the pieces lie loose",
        Stage::Pile => "the pile is not welded yet",
        Stage::Bar => "this is a whole bar",
        Stage::Pieces => "the bar is cut to pieces",
        Stage::Forged => "the blank is forged to shape",
        Stage::Ground => "the blade is ground to profile",
        Stage::Hard => "the blade is hard and brittle",
        Stage::Tempered => "the blade is tempered",
        Stage::Finished => "the blade is finished",
        Stage::Etched => "the blade is etched and done",
    }
}

fn remedy(kind: Kind, stage: Stage) -> &'static str {
    let first = allowed(kind).first().copied().unwrap_or(Stage::Loose);
    if stage > first && !matches!(kind, Kind::Frame | Kind::Fold) {
        return "move this step further up, or leave it out";
    }
    match (kind, stage) {
        (Kind::Weld, Stage::Loose) => "stack the pieces first",
        (Kind::Frame | Kind::Fold, Stage::Pieces) => {
            "restack and weld first, or do it before the cut"
        }
        (Kind::Frame | Kind::Fold, stage) if stage > Stage::Pieces => {
            "move this step further up, or leave it out"
        }
        (Kind::Restack, Stage::Bar) => "cut the bar to pieces first",
        (Kind::Harden, stage) if stage >= Stage::Bar => "rough grind it first",
        (Kind::Temper, stage) if stage >= Stage::Bar => "harden it first",
        (Kind::FinishGrind, stage) if stage >= Stage::Bar => "harden and temper it first",
        (Kind::Etch, stage) if stage >= Stage::Bar => "finish grind it first",
        (_, Stage::Loose) => "stack and weld the pieces first",
        (_, Stage::Pile) => "weld it first",
        _ => "put the steps before it in order",
    }
}
