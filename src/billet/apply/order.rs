//! What may come after what.

use crate::billet::{Billet, Kind, Move, Refusal, Stage};

/// The stage after the move, or what must come first.
pub(super) fn admit(billet: &Billet, made: &Move) -> Result<Stage, Refusal> {
    let kind = made.kind();
    let piled = matches!(kind, Kind::Prepare | Kind::Stack | Kind::EndDay);
    let stage = if billet.is_one_piece() && !piled {
        Stage::Bar
    } else {
        billet.stage
    };
    if billet.pieces == 0 && kind != Kind::EndDay {
        let into = billet.within.as_deref().unwrap_or_default();
        return Err(Refusal {
            what: format!("{} is used up: it went into bar '{into}'", billet.called()),
            remedy: format!("work bar '{into}', or move this step further up"),
            key: Some("bar"),
        });
    }
    if !kind.row().at.contains(&stage) {
        return Err(Refusal {
            what: format!("'{}' cannot come here: {}", kind.word(), standing(stage)),
            remedy: remedy(kind, stage).to_owned(),
            key: Some("kind"),
        });
    }
    Ok(match made {
        Move::Weld { .. } if stage != Stage::Pile => stage,
        Move::Cut { pieces: 1, .. } => stage,
        _ => kind.row().to.unwrap_or(stage),
    })
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
    let at = kind.row().at;
    let first = at.first().copied().unwrap_or(Stage::Loose);
    if at == [Stage::Bar] && stage == Stage::Pieces {
        return "restack and weld first, or do it before the cut";
    }
    if stage > first {
        return "move this step further up, or leave it out";
    }
    match (kind, stage) {
        (Kind::Weld, Stage::Loose) => "stack the pieces first",
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
