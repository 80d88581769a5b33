//! Carbon followed through the log, move by move; what was followed before is not followed again.

use std::cell::RefCell;
use std::sync::Arc;

use super::carbon::{CarbonLog, CarbonMove, Laid};
use super::course::Courses;
use super::span::HeatSpan;
use crate::physics::diffusion::{Care, Faces, Heat, HeatPoint, Profile, Sequence, Surface};
use crate::units::{Celsius, Mm, Seconds};

/// Below this nothing moves.
const STILL: Celsius = Celsius(730.0);
/// Moves behind the newest whose outcome is kept: more than one step can change.
const KEPT: usize = 200;

/// The layers, and the plain edge bar with what lies beside it.
#[derive(Debug, Clone)]
pub(super) struct State {
    /// The layers.
    pub(super) core: Profile,
    /// Across the width from the edge: the bar, then the core; and how wide the bar is now.
    pub(super) edge: Option<(Profile, Mm)>,
}

/// What was worked before, kept by whoever asks for the numbers: asked again with a little more in the
/// log, they cost only that. One that begins empty gives the same numbers.
#[derive(Debug, Default)]
pub struct Cache {
    pub(super) courses: Courses,
    /// The last log followed with sealed and with bare faces.
    followed: RefCell<[Option<Followed>; 2]>,
}

/// A log followed to its end, and where it stood after each of its last moves.
#[derive(Debug)]
struct Followed {
    log: CarbonLog,
    /// Outcome of each move; none for those long past.
    after: Vec<Option<Arc<State>>>,
}

/// Follows the log with one rule at the faces. The log grows by a move at a time, so the way up to
/// the first move that differs from last time is taken as it was: the outcome is the same.
pub(super) fn follow(log: &CarbonLog, surface: Surface, cache: &Cache) -> State {
    let place = usize::from(matches!(surface, Surface::Bare));
    let last = cache
        .followed
        .borrow_mut()
        .get_mut(place)
        .and_then(Option::take);
    let mut after = last.map_or(Vec::new(), |last| last.shared(log));
    let newest = after.last().cloned().flatten();
    let mut state = newest.unwrap_or_else(|| {
        after.clear();
        Arc::new(log.start())
    });
    for step in log.moves.iter().skip(after.len()) {
        state = Arc::new(log.step(&state, step, Faces::both(surface), &cache.courses));
        after.push(Some(Arc::clone(&state)));
    }
    let old = after.len().saturating_sub(KEPT);
    after.iter_mut().take(old).for_each(|state| *state = None);
    if let Some(slot) = cache.followed.borrow_mut().get_mut(place) {
        *slot = Some(Followed {
            log: log.clone(),
            after,
        });
    }
    State::clone(&state)
}

impl Followed {
    /// Outcomes of the moves that this log begins with as well.
    fn shared(mut self, log: &CarbonLog) -> Vec<Option<Arc<State>>> {
        let same = if self.log.steels == log.steels && self.log.stack == log.stack {
            let pairs = self.log.moves.iter().zip(&log.moves);
            pairs.take_while(|(was, is)| was == is).count()
        } else {
            0
        };
        self.after.truncate(same);
        self.after
    }
}

impl CarbonLog {
    fn layer(&self, (steel, mm): (usize, Mm)) -> Sequence {
        Sequence::layer(steel, mm, self.bought(steel))
    }

    /// A bar as it is laid, with what its own heats have done to its carbon.
    fn laid(&self, bar: &Laid, faces: Faces, courses: &Courses) -> Sequence {
        match bar {
            Laid::Plain(steel, thickness) => self.layer((*steel, *thickness)),
            Laid::Bar(log, thickness, flipped, flat) => {
                let follow = |was: State, step: &CarbonMove| log.step(&was, step, faces, courses);
                let layers = log
                    .moves
                    .iter()
                    .fold(log.start(), follow)
                    .core
                    .stack()
                    .clone();
                let layers = if *flipped { layers.mirrored() } else { layers };
                if *flat && layers.thickness().is_positive() {
                    layers.scaled(*thickness / layers.thickness())
                } else {
                    layers.blended(*thickness)
                }
            }
        }
    }

    /// Carbon of a steel as bought.
    fn bought(&self, steel: usize) -> f64 {
        self.steels.get(steel).map_or(0.0, |metal| metal.c)
    }

    /// The first stack.
    fn start(&self) -> State {
        let stack = self.stack.iter().map(|piece| self.layer(*piece));
        State {
            core: Profile::new(self.steels.clone(), Sequence::join(stack)),
            edge: None,
        }
    }

    /// One move on.
    fn step(&self, was: &State, step: &CarbonMove, faces: Faces, courses: &Courses) -> State {
        let care = Care::default();
        let edge = was.edge.clone();
        let moved = |change: &dyn Fn(&Sequence) -> Sequence| State {
            core: was.core.moved(change),
            edge: edge.clone(),
        };
        match step {
            CarbonMove::Heat(span, thin, wide) => State {
                core: match heat(span, *thin, courses) {
                    Some(run) => was.core.heated(&run, faces, care),
                    None => was.core.scaled(*thin),
                },
                edge: edge.map(|(profile, bar)| match heat(span, *wide, courses) {
                    Some(run) => (profile.heated(&run, faces, care), bar * *wide),
                    None => (profile.scaled(*wide), bar * *wide),
                }),
            },
            CarbonMove::Thin(thin, wide) => State {
                core: was.core.scaled(*thin),
                edge: edge.map(|(profile, bar)| (profile.scaled(*wide), bar * *wide)),
            },
            CarbonMove::Off(bottom, top) => moved(&|all| all.trimmed(*bottom, *top)),
            CarbonMove::OffEdge(off) => State {
                core: was.core.clone(),
                edge: edge.map(|(profile, bar)| {
                    let left = profile.moved(|all| all.trimmed(*off, Mm::ZERO));
                    (left, (bar - *off).max(Mm::ZERO))
                }),
            },
            CarbonMove::Pile(pieces) => moved(&|all| all.repeated(*pieces)),
            CarbonMove::Fold(pieces) => moved(&|all| all.folded(*pieces)),
            CarbonMove::Jacket(bottom, top) => moved(&|all| {
                let laid = |bar: &Laid| self.laid(bar, faces, courses);
                let bottom = bottom.iter().rev().map(laid);
                Sequence::join(bottom.chain([all.clone()]).chain(top.iter().map(laid)))
            }),
            CarbonMove::Edge(bars, width) => {
                // From the edge in: the bars, then the core as one even blend.
                let beside = was.core.moved(|core| {
                    let bars = bars.iter().rev().map(|bar| self.laid(bar, faces, courses));
                    Sequence::join(bars.chain([core.blended(*width)]))
                });
                let bar = match bars.last() {
                    Some(Laid::Plain(_, thickness)) => *thickness,
                    _ => Mm::ZERO,
                };
                State {
                    core: was.core.clone(),
                    edge: Some((beside, bar)),
                }
            }
        }
    }
}

/// A logged heat as temperatures and thicknesses over time.
fn heat(span: &HeatSpan, thinning: f64, courses: &Courses) -> Option<Heat> {
    let (ramp, up) = span.way_up(courses)?;
    let reached = up.at(ramp).mean;
    if reached < STILL {
        return None;
    }
    let down = courses.course(span.section, reached, Celsius(600.0), None)?;
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
