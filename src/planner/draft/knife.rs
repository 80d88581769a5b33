//! The steps from the bar to the finished knife: blanks, forging to shape, heat treatment, grind, etch.

use super::bench::{Bench, Say};
use super::forged::Forged;
use super::shape::Shape;
use super::strokes::trim;
use crate::billet::{Move, Part, Refusal};
use crate::physics::hardening::hardens;
use crate::plan::{Pattern, PlanSteel, forge_heats};
use crate::units::{Fraction, Mm};

pub(super) fn blanks(bench: &mut Bench<'_>, shape: &Shape) -> Result<(), Refusal> {
    let bands = u64::try_from(bench.billet.bands()).ok();
    // On tiles the end grain lies on the face.
    let place = match bench.wish.goal.pattern {
        Pattern::Tiles => "face",
        _ => "end",
    };
    let say = Say {
        title: Some(format!("Count the bands on an etched {place}")),
        ..Say::default()
    };
    bench.put(Move::Inspect { bands }, say)?;
    trim(bench)?;
    let pieces = bench.wish.goal.knives;
    let title = match pieces {
        1 => "Cut the blank".to_owned(),
        many => format!("Cut {many} blanks"),
    };
    let say = Say {
        title: Some(title),
        done: Some(format!("{pieces} of {}", bench.say(shape.blank))),
        notes: vec!["Harden a piece of the offcut, break it and look at the grain.".to_owned()],
        ..Say::default()
    };
    let made = Move::Cut {
        pieces,
        length: Some(shape.blank),
        kerf: bench.allow.kerf,
        keep_rest: true,
    };
    bench.put(made, say)
}

/// Bolster first, then tang, blade and bevels.
pub(super) fn forge(bench: &mut Bench<'_>) -> Result<(), Refusal> {
    let goal = bench.wish.goal.clone();
    let forged = Forged::of(bench.wish);
    let fine = super::sizes::worked(bench.wish.units, bench.allow.mark);
    let blade = forged.blade_of(bench.billet.bar.volume(), fine);
    let bolster = forged.bolster.map(|to| {
        (
            Part::Bolster,
            "Forge the bolster",
            to,
            "set off on both sides, shoulders round: sharp ones open the seams",
        )
    });
    let tang = forged.tang.map(|to| {
        (
            Part::Tang,
            "Forge the tang",
            to,
            "straight, shoulder round, no fold",
        )
    });
    let blade = [
        (
            Part::Blade,
            "Forge the blade",
            blade,
            "straight along edge and spine, point forged",
        ),
        (
            Part::Bevels,
            "Forge the bevels",
            forged.bevels,
            "edge left thick, even both sides, profile on the template",
        ),
    ];
    let parts = bolster.into_iter().chain(tang).chain(blade);
    let scale = Forged::scale();
    for (part, title, to, done) in parts {
        let cautions = match part {
            Part::Bevels => vec![
                "Same number of blows on each side, or the layers run off the edge.".to_owned(),
            ],
            _ => Vec::new(),
        };
        let bar = &bench.billet.bar;
        let each = forge_heats(
            bench.wish.shop.machine,
            part,
            &to,
            [bar.width, bar.thickness, goal.blade.length],
            bench.windows.forge,
        );
        let say = Say {
            title: Some(title.to_owned()),
            heats: each * bench.billet.pieces.max(1),
            window: Some(bench.windows.forge),
            done: Some(done.to_owned()),
            cautions,
            ..Say::default()
        };
        bench.put(Move::Forge { part, to, scale }, say)?;
    }
    Ok(())
}

/// How an anneal is told.
pub(super) fn annealing(bench: &Bench<'_>) -> Say {
    Say {
        heats: 1,
        window: Some(bench.windows.anneal),
        soak: Some(crate::units::Seconds::from_minutes(60.0)),
        done: Some("a file bites easily".to_owned()),
        ..Say::default()
    }
}

pub(super) fn finish(bench: &mut Bench<'_>) -> Result<(), Refusal> {
    let windows = bench.windows;
    let treat = Fraction::from_percent(0.5);
    let hot = |heats, window, minutes: f64, done: &str| Say {
        heats,
        window: Some(window),
        soak: (minutes > 0.0).then(|| crate::units::Seconds::from_minutes(minutes)),
        done: Some(done.to_owned()),
        ..Say::default()
    };
    let mut say = hot(3, windows.normalise, 0.0, "straight, no scale pits");
    say.notes = vec![
        "Each heat a little lower than the one before; black in still air between.".to_owned(),
    ];
    bench.put(
        Move::Normalise {
            cycles: 3,
            scale: treat,
        },
        say,
    )?;
    let say = annealing(bench);
    bench.put(Move::Anneal { scale: treat }, say)?;
    bench.end_day("")?;
    let say = Say {
        done: Some("no scale left, scratches lengthwise".to_owned()),
        ..Say::default()
    };
    let edge = bench.wish.goal.blade.edge.max(Mm(1.0));
    bench.put(Move::RoughGrind { edge, share: None }, say)?;
    let steels = bench.wish.steels();
    let soft = |one: &PlanSteel| !hardens(&one.steel.nominal);
    let skates = match steels.iter().any(soft) {
        true => "a file skates on the steel that hardens",
        false => "a file skates",
    };
    let mut say = hot(
        bench.billet.pieces.max(1),
        windows.harden,
        5.0,
        &format!("{skates}; straight within {}", bench.wish.even()),
    );
    say.notes =
        vec!["The maker's sheet of the steel and of the oil come before these figures.".to_owned()];
    bench.put(Move::Harden, say)?;
    let say = hot(
        0,
        windows.temper,
        120.0,
        "twice, to the hardness of the maker's sheet",
    );
    bench.put(Move::Temper { cycles: 2 }, say)?;
    bench.end_day("")?;
    let edge = bench.wish.goal.blade.edge;
    let say = Say {
        done: Some("no scratch across the pattern".to_owned()),
        ..Say::default()
    };
    bench.put(Move::FinishGrind { edge, share: None }, say)?;
    let say = Say {
        title: Some("Etch, neutralise and oil".to_owned()),
        soak: Some(crate::units::Seconds::from_minutes(6.0)),
        done: Some("the fingernail feels the lines".to_owned()),
        notes: vec!["Four to six dips, oxide wiped off between; baking soda in water after the last; dry and oil.".to_owned()],
        ..Say::default()
    };
    bench.put(Move::Etch, say)?;
    bench.end_day("Weigh, take a picture, close the record.")
}
