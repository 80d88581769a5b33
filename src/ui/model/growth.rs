//! What the steps of the plan do to the lines on the bar's face: how much the draws take of them, and
//! what turned, twisted or cut bars bring.

use crate::billet::Kind;
use crate::pattern::{Lines, View, figure, foresee, squeezes, straight, straighter};
use crate::session::Session;

/// Every picture in the screen is of the same hand.
pub(in crate::ui) const SEED: u64 = 1;

/// A draw that leaves slopes within so much of what they were is not worth a word.
const DRAWN: f64 = 1.05;
/// The same for what other steps do: it is measured at places of the face, so less sure.
const BROUGHT: f64 = 1.5;

/// What one step does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::ui) enum Deed {
    /// An even draw: slopes before over after, by the sizes alone.
    Drawn(f64),
    /// Anything else: after over before, as measured on the model.
    Brought {
        /// Bands in a centimetre.
        bands: f64,
        /// Tangent of the mean slope.
        slope: f64,
    },
}

/// A step that the lines notice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::ui) struct Growth {
    /// Steps made with it: the place of its pictures.
    pub(in crate::ui) place: usize,
    /// What it does.
    pub(in crate::ui) deed: Deed,
    /// The lines on the face after it.
    pub(in crate::ui) lines: Lines,
    /// Slope in degrees that came with it, under 0 where it went, the hammer's new waves included; none for
    /// the first lines.
    pub(in crate::ui) steeper: Option<f64>,
}

impl Deed {
    /// True for a draw that leaves the lines straighter.
    pub(in crate::ui) fn straightens(self) -> bool {
        matches!(self, Self::Drawn(times) if times >= DRAWN)
    }

    fn is_felt(self) -> bool {
        let beyond = |times: f64, limit: f64| times >= limit || times * limit <= 1.0;
        match self {
            Self::Drawn(times) => beyond(times, DRAWN),
            Self::Brought { bands, slope } => beyond(bands, BROUGHT) || beyond(slope, BROUGHT),
        }
    }

    /// In a few words.
    pub(in crate::ui) fn text(self) -> String {
        let head = match self.adds() {
            true => "adds",
            false if matches!(self, Self::Drawn(_)) => "takes",
            false => "leaves",
        };
        format!("{head}: {}", self.words())
    }

    /// The same behind a sign, for a table.
    pub(in crate::ui) fn signed(self) -> String {
        format!("{} {}", if self.adds() { '+' } else { '-' }, self.words())
    }

    fn adds(self) -> bool {
        match self {
            Self::Drawn(times) => times < 1.0,
            Self::Brought { bands, slope } => bands >= BROUGHT || slope >= BROUGHT,
        }
    }

    fn words(self) -> String {
        let (bands, slope) = match self {
            Self::Drawn(times) => return straight(times),
            Self::Brought { bands, slope } => (bands, slope),
        };
        let part = |what: &str, times: f64| match times {
            t if t >= BROUGHT => Some(format!("{what} x{}", figure(t))),
            t if t * BROUGHT <= 1.0 => Some(format!("{what} /{}", figure(1.0 / t.max(1e-6)))),
            _ => None,
        };
        let parts = [part("bands", bands), part("slope", slope)];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        parts.join(", ")
    }
}

/// Bands met in a centimetre straight across the lines.
pub(in crate::ui) fn closeness(lines: &Lines) -> f64 {
    lines.along.hypot(lines.across)
}

/// The steps that the lines notice, in order, done and to come.
pub(in crate::ui) fn of(session: &Session) -> Vec<Growth> {
    let last = session.last_place();
    let Some(end) = session.metal_at(last) else {
        return Vec::new();
    };
    let hand = session.hand(SEED);
    let moves = foresee(&end.first, &end.history, 0, hand, View::Face);
    let mut out = Vec::new();
    let mut before: Option<Lines> = None;
    // grooves and dimples do their work when they are pressed flat
    let mut open = false;
    for place in 1..=last {
        let (Some(from), Some(to), Some(step)) = (
            session.metal_at(place - 1),
            session.metal_at(place),
            session.plan.steps.get(place - 1),
        ) else {
            break;
        };
        if matches!(step.kind(), Kind::Groove | Kind::Dimple) {
            open = true;
            continue;
        }
        let moved = from.history.len()..to.history.len();
        let coming = moves.iter().rfind(|coming| moved.contains(&coming.at));
        let after = coming.map_or(before, |coming| coming.lines);
        let closes = open && squeezes(step.kind());
        open &= !closes;
        let deed = if squeezes(step.kind()) && !closes {
            Some(Deed::Drawn(straighter(&from, &to)))
        } else {
            before
                .zip(after)
                .map(|(before, after)| brought(&before, &after))
        };
        if let (Some(deed), Some(lines)) = (deed.filter(|deed| deed.is_felt()), after) {
            out.push(Growth {
                place,
                deed,
                lines,
                steeper: before.map(|before| lines.slope - before.slope),
            });
        }
        before = after;
    }
    out
}

/// How many times straighter the draws between two places leave what lines there are at the first.
pub(in crate::ui) fn drawn(session: &Session, from: usize, to: usize) -> f64 {
    let steps = session.plan.steps.iter().enumerate();
    steps
        .take(to)
        .skip(from)
        .filter(|(_, step)| squeezes(step.kind()))
        .filter_map(|(at, _)| {
            let (before, after) = (session.metal_at(at)?, session.metal_at(at + 1)?);
            Some(straighter(&before, &after))
        })
        .product()
}

fn brought(before: &Lines, after: &Lines) -> Deed {
    let times = |a: f64, b: f64| if a > 1e-9 && b > 1e-9 { b / a } else { 1.0 };
    let slope = |lines: &Lines| lines.slope.to_radians().tan();
    Deed::Brought {
        bands: times(closeness(before), closeness(after)),
        slope: times(slope(before), slope(after)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_deed_in_words() {
        assert_eq!(Deed::Drawn(4.63).text(), "takes: 4.6 x straighter");
        assert_eq!(Deed::Drawn(0.5).text(), "adds: 2.0 x steeper");
        assert_eq!(Deed::Drawn(4.63).signed(), "- 4.6 x straighter");
        let of = |bands, slope| Deed::Brought { bands, slope };
        assert_eq!(of(17.1, 31.4).text(), "adds: bands x17, slope x31");
        assert_eq!(of(0.5, 1.0).text(), "leaves: bands /2.0");
        assert!(!of(1.2, 0.8).is_felt() && of(1.0, 1.5).is_felt());
        assert!(!Deed::Drawn(1.0).is_felt() && Deed::Drawn(1.1).straightens());
        assert_eq!(figure(12_345.0), "over 1000");
    }
}
