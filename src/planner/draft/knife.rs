//! The steps from the bar to the finished knife: blanks, forging to shape, heat treatment, grind, etch.

use super::bench::{Bench, Say};
use super::shape::Shape;
use super::strokes::trim;
use crate::billet::{Move, Part, Refusal, Sizes};
use crate::plan::forge_heats;
use crate::plan::{Pattern, SKIN};
use crate::units::{Fraction, Mm, Mm3};

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
    let skin = SKIN * 2.0;
    let mark = bench.allow.mark;
    let fine = super::sizes::worked(bench.wish.units, mark);
    let up = |size: Mm| super::sizes::up(size, fine);
    let mut parts: Vec<(Part, &str, Sizes, &str)> = Vec::new();
    if let Some(bolster) = goal.bolster {
        parts.push((
            Part::Bolster,
            "Forge the bolster",
            Sizes {
                width: Some(up(bolster.width + skin)),
                thickness: Some(up(bolster.thickness + skin)),
                length: Some(up(bolster.length + skin)),
            },
            "set off on both sides, shoulders round: sharp ones open the seams",
        ));
    }
    if let Some(tang) = goal.tang {
        parts.push((
            Part::Tang,
            "Forge the tang",
            Sizes {
                width: Some(up(tang.width + skin)),
                thickness: Some(up(tang.thickness + skin)),
                length: Some(up(tang.length + Mm(2.0))),
            },
            "straight, shoulder round, no fold",
        ));
    }
    let shape = goal.shape();
    let scale = Fraction::from_percent(1.0);
    let (wide, spine) = (up(goal.blade.width + Mm(2.0)), up(goal.blade.spine + skin));
    let long = up(goal.blade.length + Mm(3.0));
    // As narrow before its bevels as makes it the width when they spread it.
    let metal = shape.volume(Part::Bevels, wide, spine, long);
    let bare = Sizes {
        width: None,
        thickness: Some(spine),
        length: Some(long),
    };
    let needed = shape.filled(Part::Blade, &bare, metal).width.map(up);
    // No wider than the metal makes it: sizes rounded up to the mark may ask for more than there is.
    let others: Mm3 = parts
        .iter()
        .filter_map(|(part, _, to, _)| shape.held(*part, to))
        .sum();
    let heats = i32::try_from(parts.len()).unwrap_or(i32::MAX) + 1;
    let kept = bench.billet.bar.volume() * (1.0 - scale.0).powi(heats);
    let made = shape.filled(Part::Blade, &bare, kept - others).width;
    let narrow = match (needed, made.map(|width| width.floor_to(fine))) {
        (Some(needed), Some(made)) if made.is_positive() => Some(needed.min(made)),
        (needed, _) => needed,
    };
    parts.push((
        Part::Blade,
        "Forge the blade",
        Sizes {
            width: narrow,
            ..bare
        },
        "straight along edge and spine, point forged",
    ));
    parts.push((
        Part::Bevels,
        "Forge the bevels",
        Sizes {
            width: Some(wide),
            thickness: Some(spine),
            length: None,
        },
        "edge left thick, even both sides, profile on the template",
    ));
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
    let mut say = hot(
        bench.billet.pieces.max(1),
        windows.harden,
        5.0,
        &format!("a file skates; straight within {}", bench.wish.even()),
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
