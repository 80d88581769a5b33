//! The numbers that go with a picture.

use super::end;
use super::shading::legend;
use crate::pattern::{LinesRange, straight};
use crate::physics::Spread;
use crate::session::{Aspect, When};
use crate::ui::model::Model;
use crate::ui::model::growth::{self, Deed};
use crate::ui::model::picture::Glance;
use crate::ui::theme::Meaning;
use crate::units::show;

/// Size, counts, how the lines run, and what becomes of them.
pub(super) fn of(model: &Model, glance: Glance, dot: &str) -> Vec<(Meaning, String)> {
    let place = glance.place;
    let Some(subject) = model.subject(place) else {
        return Vec::new();
    };
    let units = model.units();
    let billet = &subject.billet;
    let about = match subject.when {
        When::Ahead => "~ ",
        When::Past | When::Now => "",
    };
    let size = match glance.aspect {
        Aspect::Blade => {
            let blade = &model.plan().goal.blade;
            let size = units.size(blade.length, blade.width, blade.spine);
            format!("goal: blade {size}")
        }
        _ => format!("{about}{}", billet.outside(units)),
    };
    let (up, how) = end::lie(billet);
    let lies = match glance.aspect {
        Aspect::Blade => how.to_owned(),
        _ => format!("{up}, {how}"),
    };
    let bands = match glance.aspect {
        Aspect::End => billet.counts().text(),
        _ => show::counted(show::count(billet.bands()), "band"),
    };
    let mut out = vec![(
        Meaning::Measured,
        format!("{size} {dot} {lies} {dot} {bands}"),
    )];
    let guess = model.plan().guess(&billet.name);
    out.extend(guess.map(|guess| (Meaning::Caution, guess)));
    match model.lines(place, glance.aspect) {
        Some(lines) => out.extend(run(&lines, glance.aspect).map(|line| (Meaning::Text, line))),
        None => out.push((
            Meaning::Text,
            "no bands cross here: the layers lie flat under it".to_owned(),
        )),
    }
    out.extend(to_come(model, place, dot).map(|line| (Meaning::Text, line)));
    out.push((Meaning::Text, legend(model, place, true)));
    out
}

/// How the bands run, each figure with its range over a few hands.
fn run(lines: &LinesRange, aspect: Aspect) -> [String; 2] {
    let (one, other) = match aspect {
        Aspect::End => ("across", "through"),
        Aspect::Side => ("along", "through"),
        Aspect::Face | Aspect::Blade => ("along", "across"),
    };
    // Both lines fit 80 columns.
    let words = |of: Spread, decimals| of.words(decimals).replace(" to ", "-");
    [
        format!(
            "~ bands per cm: {} {one}, {} {other}",
            words(lines.along, 1),
            words(lines.across, 1)
        ),
        format!(
            "~ mean slope of the layers {} deg, {}",
            words(lines.slope, 1),
            lines.word.word()
        ),
    ]
}

/// What has become of the lines since now, what comes next, and what is left at the end.
pub(super) fn to_come(model: &Model, place: usize, dot: &str) -> impl Iterator<Item = String> {
    let session = &model.session;
    let since = growth::drawn(session, session.at.min(place), place);
    let since = (!(0.95..1.05).contains(&since))
        .then(|| format!("~ at this length the lines of now are {}", straight(since)));
    let growth = model.growth();
    let ahead = growth.iter().filter(|row| row.place > place);
    let next = ahead
        .clone()
        .next()
        .filter(|row| matches!(row.deed, Deed::Brought { .. }))
        .map(|row| format!("~ next change, step {}, {}", row.place, row.deed.text()));
    let draw = ahead.clone().find(|row| row.deed.straightens());
    let draw_text = draw.map(|row| {
        let times = match row.deed {
            Deed::Drawn(times) => times,
            Deed::Brought { .. } => 1.0,
        };
        format!(
            "~ next draw, step {}: lines {} along the bar",
            row.place,
            straight(times)
        )
    });
    let all = match draw {
        None => "no draw to come: the lines keep their slope".to_owned(),
        Some(_) => {
            let times = growth::drawn(session, place, session.last_place());
            format!(
                "~ at finished length {dot} the lines here are {}",
                straight(times)
            )
        }
    };
    let lines: Vec<String> = [since, next, draw_text, Some(all)]
        .into_iter()
        .flatten()
        .collect();
    lines.into_iter()
}
