//! Carbon and nickel as they are now, read from the layers followed to the end of the log.

use super::carbon::{CarbonLog, CarbonMove, CarbonNow, CarbonOf, EdgeCarbon};
use super::follow::{Cache, State, follow};
use crate::physics::Spread;
use crate::physics::diffusion::{Profile, SteelCarbon, Surface};
use crate::units::Mm;

/// Depth over which the carbon of a skin or an edge is given.
const SKIN: Mm = Mm(0.2);

/// Carbon and nickel now; none before the first heat.
pub(super) fn now(log: &CarbonLog, mean_band: Mm, cache: &Cache) -> Option<CarbonNow> {
    let heated = |step: &CarbonMove| matches!(step, CarbonMove::Heat(..));
    if !log.moves.iter().any(heated) {
        return None;
    }
    let sealed = follow(log, Surface::Sealed, cache);
    let bare = follow(log, Surface::Bare, cache);
    let skin = |profile: &Profile| {
        let (a, b) = profile.at_faces(SKIN);
        f64::midpoint(a, b)
    };
    let blur = sealed.core.blur();
    Some(CarbonNow {
        by_steel: pairs(&bare.core.by_steel(), &sealed.core.by_steel()),
        skin: between(skin(&bare.core), skin(&sealed.core)),
        edge: edge(log, &bare, &sealed),
        blur: blur.width(),
        contrast: blur.contrast(mean_band),
        band: mean_band,
    })
}

/// Where the edge will be: the outside of the plain bar, or the middle of flat layers.
fn edge(log: &CarbonLog, bare: &State, sealed: &State) -> Option<EdgeCarbon> {
    let read = |bare: &Profile, sealed: &Profile, from: Mm, to: Mm| {
        let by_steel = pairs(
            &bare.by_steel_between(from, to),
            &sealed.by_steel_between(from, to),
        );
        (
            between(bare.mean_between(from, to), sealed.mean_between(from, to)),
            by_steel,
        )
    };
    if let Some(((bare, _), (sealed, bar))) = bare.edge.as_ref().zip(sealed.edge.as_ref()) {
        let (mean, by_steel) = read(bare, sealed, Mm::ZERO, SKIN.min(*bar));
        return Some(EdgeCarbon {
            mean,
            by_steel,
            bar: Some(read(bare, sealed, Mm::ZERO, *bar).0),
        });
    }
    if !log.flat {
        return None;
    }
    let whole = sealed.core.stack().thickness();
    let half = (SKIN / 2.0).min(whole / 2.0);
    let middle = whole / 2.0;
    let (mean, by_steel) = read(&bare.core, &sealed.core, middle - half, middle + half);
    Some(EdgeCarbon {
        mean,
        by_steel,
        bar: None,
    })
}

/// The same steels with bare and with sealed faces.
fn pairs(bare: &[SteelCarbon], sealed: &[SteelCarbon]) -> Vec<CarbonOf> {
    let low = |held: &SteelCarbon| {
        let open = bare.iter().find(|one| one.steel == held.steel);
        open.map_or(held.mean, |one| one.mean)
    };
    let each = sealed.iter().map(|held| CarbonOf {
        steel: held.steel,
        mean: between(low(held), held.mean),
    });
    each.collect()
}

fn between(low: f64, high: f64) -> Spread {
    Spread {
        low: low.min(high),
        best: f64::midpoint(low, high),
        high: high.max(low),
    }
}
