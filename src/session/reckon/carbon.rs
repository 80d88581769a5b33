//! Carbon and nickel through the real layers over the logged heats.

use super::heat::{HeatSpan, course};
use crate::billet::{Arrange, Billet, Figure, Kind, Move, Side, Stand};
use crate::metal::Composition;
use crate::physics::Spread;
use crate::physics::diffusion::{Care, Faces, Heat, HeatPoint, Profile, Sequence, Surface};
use crate::session::Session;
use crate::units::{Celsius, Mm, Seconds, Stamp};

/// Depth over which the skin's carbon is given.
const SKIN: Mm = Mm(0.2);
/// Below this nothing moves.
const STILL: Celsius = Celsius(730.0);

/// One thing that happened to the layers.
#[derive(Debug, Clone, PartialEq)]
pub enum CarbonMove {
    /// A trip to the fire, drawn to this part of the layers' height and of the bar's width.
    Heat(HeatSpan, f64, f64),
    /// Drawn without a logged heat.
    Thin(f64, f64),
    /// Ground off the bottom and the top.
    Grind(Mm, Mm),
    /// Piled this many high.
    Pile(u64),
    /// Folded, or piled with every second piece turned over.
    Fold(u64),
    /// Plain bars under and over the layers: steel and thickness.
    Jacket(Option<(usize, Mm)>, Option<(usize, Mm)>),
    /// A plain bar on the edge side: its steel and thickness, and the core's width beside it.
    Edge(usize, Mm, Mm),
}

/// Everything that carbon's way depends on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CarbonLog {
    /// Analysis of each steel of the job.
    pub steels: Vec<Composition>,
    /// The first stack: steel and thickness, bottom to top.
    pub stack: Vec<(usize, Mm)>,
    /// What happened to it.
    pub moves: Vec<CarbonMove>,
}

/// Carbon of one steel now, mass %: low with bare faces, high with sealed ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarbonOf {
    /// Place in the job's list of steels.
    pub steel: usize,
    /// Its mean.
    pub mean: Spread,
}

/// Carbon and nickel now.
#[derive(Debug, Clone, PartialEq)]
pub struct CarbonNow {
    /// By steel, for the layered core.
    pub by_steel: Vec<CarbonOf>,
    /// Mean of the outer 0.2 mm, mass %.
    pub skin: Spread,
    /// Mean of the plain edge bar, and of its outer 0.2 mm where the edge will be.
    pub edge: Option<(Spread, Spread)>,
    /// Width over which nickel has spread at the oldest joints, mm.
    pub blur: Spread,
    /// Part of the nickel contrast left in a mean band.
    pub contrast: Spread,
}

/// Height of the layers in the bar.
fn height(billet: &Billet) -> Mm {
    match billet.bar.core.stand {
        Stand::Flat => billet.bar.core_thickness(),
        Stand::OnEdge => billet.bar.core_width(),
    }
}

impl Session {
    /// The log that carbon is followed through.
    #[must_use]
    pub fn carbon_log(&self, now: Stamp) -> CarbonLog {
        let plan = &self.plan;
        let mut log = CarbonLog {
            steels: plan
                .steels
                .iter()
                .map(|steel| steel.steel.nominal)
                .collect(),
            stack: plan
                .stack
                .iter()
                .map(|p| (p.steel.index(), p.thickness))
                .collect(),
            moves: Vec::new(),
        };
        let mut before = plan.first_billet();
        for done in &self.done {
            let after = &done.made.billet;
            let heats: Vec<HeatSpan> = self
                .heats
                .iter()
                .filter(|heat| heat.step == done.step.id)
                .map(|heat| HeatSpan::of(heat, now))
                .collect();
            happened(&done.step.made, &before, after, &heats, &mut log.moves);
            before = after.clone();
        }
        if let Some(step) = self.current() {
            let running = self.heats.iter().filter(|heat| heat.step == step.id);
            log.moves
                .extend(running.map(|heat| CarbonMove::Heat(HeatSpan::of(heat, now), 1.0, 1.0)));
        }
        log
    }
}

/// What one step did to the layers.
fn happened(
    made: &Move,
    before: &Billet,
    after: &Billet,
    heats: &[HeatSpan],
    out: &mut Vec<CarbonMove>,
) {
    let ratio = |a: Mm, b: Mm| {
        if a.is_positive() && b.is_positive() {
            b / a
        } else {
            1.0
        }
    };
    match made {
        Move::Grind { .. } if after.bar.core.figure == Figure::Flat => {
            let off = (height(before) - height(after)) / 2.0;
            out.push(CarbonMove::Grind(off, off));
        }
        Move::Restack {
            arrange: Arrange::Pile,
        } => {
            out.push(CarbonMove::Pile(u64::from(before.pieces)));
        }
        Move::Restack {
            arrange: Arrange::Flipped,
        } => {
            out.push(CarbonMove::Fold(u64::from(before.pieces)));
        }
        Move::Fold { plies, .. } => out.push(CarbonMove::Fold(u64::from(*plies))),
        Move::Frame { bars } => {
            let on = |side: Side| {
                bars.iter()
                    .find(|bar| bar.side == side)
                    .map(|bar| (bar.steel.index(), bar.thickness))
            };
            if on(Side::Top).is_some() || on(Side::Bottom).is_some() {
                out.push(CarbonMove::Jacket(on(Side::Bottom), on(Side::Top)));
            }
            if let Some((steel, thickness)) = on(Side::Edge) {
                out.push(CarbonMove::Edge(steel, thickness, before.bar.core_width()));
            }
        }
        _ => {
            let kind = made.kind();
            let draws = matches!(
                kind,
                Kind::Weld | Kind::Draw | Kind::Square | Kind::CornerCrush | Kind::Forge
            );
            let (thin, wide) = if draws && before.bar.core.stand == after.bar.core.stand {
                (
                    ratio(height(before), height(after)),
                    ratio(before.bar.width, after.bar.width),
                )
            } else {
                (1.0, 1.0)
            };
            if heats.is_empty() {
                if draws {
                    out.push(CarbonMove::Thin(thin, wide));
                }
                return;
            }
            #[expect(clippy::cast_precision_loss, reason = "a handful of heats")]
            let part = 1.0 / heats.len() as f64;
            let each = heats
                .iter()
                .map(|span| CarbonMove::Heat(*span, thin.powf(part), wide.powf(part)));
            out.extend(each);
        }
    }
}

/// A logged heat as temperatures and thicknesses over time.
fn heat(span: &HeatSpan, thinning: f64) -> Option<Heat> {
    let from = if span.from_cold {
        Celsius(20.0)
    } else {
        span.floor
    };
    let up = course(span.section, from, span.top, true)?;
    let ramp = up.length().min(span.inside);
    let reached = up.at(ramp).mean;
    if reached < STILL {
        return None;
    }
    let down = course(span.section, reached, Celsius(600.0), false)?;
    let cooled = down.length().min(span.outside.unwrap_or(Seconds::ZERO));
    let point = |at: Seconds, temperature: Celsius, thickness: f64| HeatPoint {
        at,
        temperature,
        thickness,
    };
    let mut points: Vec<HeatPoint> = up
        .moments()
        .iter()
        .take_while(|moment| moment.seconds < ramp)
        .map(|moment| point(moment.seconds, moment.mean, 1.0))
        .collect();
    points.push(point(ramp, reached, 1.0));
    points.push(point(span.inside.max(ramp), reached, 1.0));
    if cooled.is_positive() {
        let end = span.inside.max(ramp) + cooled;
        points.push(point(end, down.at(cooled).mean, thinning.clamp(0.02, 50.0)));
    }
    Heat::new(points).ok()
}

/// Follows the log with one rule at the faces; the second is the plain edge bar beside the core.
fn follow(log: &CarbonLog, faces: Faces) -> (Profile, Option<(Profile, Mm)>) {
    let carbon = |steel: usize| log.steels.get(steel).map_or(0.0, |metal| metal.c);
    let layer = |(steel, mm): (usize, Mm)| Sequence::layer(steel, mm, carbon(steel));
    let stack = Sequence::join(log.stack.iter().copied().map(layer));
    let mut core = Profile::new(log.steels.clone(), stack);
    let mut edge: Option<(Profile, Mm)> = None;
    let care = Care::default();
    for step in &log.moves {
        match step {
            CarbonMove::Heat(span, thin, wide) => {
                if let Some(run) = heat(span, *thin) {
                    core = core.heated(&run, faces, care);
                } else {
                    core = core.scaled(*thin);
                }
                edge = edge.map(|(profile, bar)| match heat(span, *wide) {
                    Some(run) => (profile.heated(&run, faces, care), bar * *wide),
                    None => (profile.scaled(*wide), bar * *wide),
                });
            }
            CarbonMove::Thin(thin, wide) => {
                core = core.scaled(*thin);
                edge = edge.map(|(profile, bar)| (profile.scaled(*wide), bar * *wide));
            }
            CarbonMove::Grind(bottom, top) => core = core.moved(|all| all.trimmed(*bottom, *top)),
            CarbonMove::Pile(pieces) => core = core.moved(|all| all.repeated(*pieces)),
            CarbonMove::Fold(pieces) => core = core.moved(|all| all.folded(*pieces)),
            CarbonMove::Jacket(bottom, top) => {
                core = core.moved(|all| {
                    let parts = bottom.map(layer).into_iter();
                    Sequence::join(parts.chain([all.clone()]).chain(top.map(layer)))
                });
            }
            CarbonMove::Edge(steel, bar, width) => {
                edge = Some((core.beside_bar(*steel, *bar, carbon(*steel), *width), *bar));
            }
        }
    }
    (core, edge)
}

/// Carbon and nickel now; none before the first heat.
pub(super) fn now(log: &CarbonLog, mean_band: Mm) -> Option<CarbonNow> {
    if !log
        .moves
        .iter()
        .any(|step| matches!(step, CarbonMove::Heat(..)))
    {
        return None;
    }
    let (sealed, sealed_edge) = follow(log, Faces::both(Surface::Sealed));
    let (bare, bare_edge) = follow(log, Faces::both(Surface::Bare));
    let between = |low: f64, high: f64| Spread {
        low: low.min(high),
        best: f64::midpoint(low, high),
        high: high.max(low),
    };
    let open = bare.by_steel();
    let by_steel = sealed
        .by_steel()
        .into_iter()
        .map(|held| {
            let low = open
                .iter()
                .find(|one| one.steel == held.steel)
                .map_or(held.mean, |o| o.mean);
            CarbonOf {
                steel: held.steel,
                mean: between(low, held.mean),
            }
        })
        .collect();
    let skin = |profile: &Profile| {
        let (a, b) = profile.at_faces(SKIN);
        f64::midpoint(a, b)
    };
    let edge = sealed_edge.zip(bare_edge).map(|((held, bar), (open, _))| {
        (
            between(
                open.mean_between(Mm::ZERO, bar),
                held.mean_between(Mm::ZERO, bar),
            ),
            between(
                open.mean_between(Mm::ZERO, SKIN),
                held.mean_between(Mm::ZERO, SKIN),
            ),
        )
    });
    let blur = sealed.blur();
    Some(CarbonNow {
        by_steel,
        skin: between(skin(&bare), skin(&sealed)),
        edge,
        blur: blur.width(),
        contrast: blur.contrast(mean_band),
    })
}
