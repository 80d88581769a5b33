//! The hardening window of one steel, and of all steels in one billet.
//!
//! From the analysis: no colder than the highest formula's Ac1 + 60 K, or Ac3 + 40 K under the
//! eutectoid; no hotter than 30 K above that. The three offsets are common practice, chosen so that
//! the windows land within 22 K of the handbook ones of SAE 1045, 1075, 1084, 1095, C75S, 80CrV2, O1
//! and 52100. A
//! known window, from the maker's sheet or the table of steels, comes before the analysis.
//!
//! Carbon in solution at that heat: what the steel has, but after a blade's short soak not much over
//! 0.8 % (0.6 % to what austenite can hold, [`super::critical::carbon_held`]; handbooks and common
//! practice, from memory). It sets martensite start, retained austenite and hardness.
//!
//! Of several steels: the highest of the low ends to the lowest of the high ends; where they do not
//! overlap, the hotter low end is named and the colder steels will coarsen. The steels' makers'
//! sheets come first.

use super::{Law, OutOfRange, Spread, critical, hardness, low_alloy, martensite};
use crate::metal::{Composition, Mark, Window};
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "hardening",
    title: "common hardening window of the steels in a billet",
    source: "critical points by formula with offsets of common practice; known windows first",
    mark: Mark::CommonPractice,
    valid: "carbon and low-alloy steel of 0.3 % C and more; else an error",
};

/// Carbon from which a steel hardens, %.
pub const LEAST_CARBON: f64 = 0.3;
const CARBON: super::Range = super::Range {
    law: "hardening",
    name: "carbon",
    unit: "%",
    least: LEAST_CARBON,
    greatest: 2.0,
};

/// True for a steel that a quench can harden: neither under [`LEAST_CARBON`] nor nickel sheet.
#[must_use]
pub fn hardens(metal: &Composition) -> bool {
    metal.c >= LEAST_CARBON && !metal.is_nickel()
}

/// One steel as it is in the billet now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Member<'a> {
    /// What the plan calls it.
    pub name: &'a str,
    /// Analysis with the carbon that it holds now.
    pub metal: Composition,
    /// A known austenitising window and how well it is known, see [`crate::metal::Steel::hardening`].
    pub known: Option<(Window, Mark)>,
}

/// What hardening does to one steel.
#[derive(Debug, Clone, PartialEq)]
pub struct Hardening {
    /// The steel's name.
    pub name: String,
    /// Ac1, C.
    pub ac1: Spread,
    /// Where all ferrite is gone (Ac3), C.
    pub ac3: Spread,
    /// Austenitise here.
    pub window: Window,
    /// How well the window is known; one by this law is computed.
    pub known: Mark,
    /// Carbon in solution, %.
    pub dissolved: Spread,
    /// Martensite start, C.
    pub start: Spread,
    /// Part that is still austenite at 20 C.
    pub retained: Spread,
    /// Hardness as quenched, HRC, where the quench is fast enough for the section.
    pub hardness: Spread,
}

/// All steels of a billet at one heat.
#[derive(Debug, Clone, PartialEq)]
pub struct Common {
    /// From the highest low end to the lowest high end. Without overlap both ends are the highest
    /// low end. Nothing when no steel hardens.
    pub window: Option<Window>,
    /// True when one heat suits every steel.
    pub overlap: bool,
    /// Each steel that hardens.
    pub members: Vec<Hardening>,
    /// Names of steels that do not harden: under 0.3 % C, or nickel.
    pub soft: Vec<String>,
}

/// Narrowest window that formulas are trusted with; a maker's upper end still holds.
const LEAST: Celsius = Celsius(15.0);

/// One steel's hardening.
///
/// ```
/// # use anvilside::metal::Catalogue;
/// # use anvilside::physics::hardening::{Member, of};
/// let steel = Catalogue::builtin().find("1084").map(|s| s.nominal).unwrap_or_default();
/// let h = of(&Member { name: "1084", metal: steel, known: None })?;
/// assert!(h.window.low.0 > 775.0 && h.window.high.0 < 820.0);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// Carbon under 0.3 %, or an element outside the range of low-alloy steels.
pub fn of(member: &Member<'_>) -> Result<Hardening, OutOfRange> {
    let metal = member.metal;
    low_alloy::check(&metal, "hardening")?;
    CARBON.check(metal.c)?;
    let ac1 = critical::ac1(&metal)?;
    let ac3 = critical::ac3(&metal)?;
    let low = if metal.c < critical::EUTECTOID {
        (ac1.high + 60.0).max(ac3.high + 40.0)
    } else {
        ac1.high + 60.0
    };
    let worked = Window {
        low: Celsius(low),
        high: Celsius(low + 30.0),
    };
    let (window, known) = member.known.unwrap_or((worked, Mark::Computed));
    let middle = (window.low + window.high) / 2.0;
    let dissolved = dissolved(metal.c, middle);
    let solution = |carbon: f64| metal.with_carbon(carbon);
    let start = martensite::start(&solution(dissolved.best))?;
    let kept = [dissolved.low, dissolved.best, dissolved.high]
        .map(|carbon| martensite::retained(&solution(carbon), Celsius(20.0)));
    let [less, best, more] = kept;
    let best = best?;
    let retained = Spread::preferring(best.best, &[best.low, best.high, less?.best, more?.best]);
    let hard = hardness::as_quenched(dissolved.best)?;
    Ok(Hardening {
        name: member.name.to_owned(),
        ac1,
        ac3,
        window,
        known,
        dissolved,
        start,
        retained,
        hardness: hard,
    })
}

/// The window that suits every steel of a billet, and what each does in it.
///
/// # Errors
/// An element outside the range of low-alloy steels.
pub fn common(members: &[Member<'_>]) -> Result<Common, OutOfRange> {
    let mut hard = Vec::new();
    let mut soft = Vec::new();
    for member in members {
        if !hardens(&member.metal) {
            soft.push(member.name.to_owned());
        } else {
            hard.push(of(member)?);
        }
    }
    let low = hard.iter().map(|h| h.window.low).reduce(Celsius::max);
    let high = hard.iter().map(|h| h.window.high).reduce(Celsius::min);
    let capped = hard
        .iter()
        .filter(|h| h.known != Mark::Computed)
        .map(|h| h.window.high);
    let capped = capped.reduce(Celsius::min);
    // The upper end by formula is no limit of the steel: a sliver of a window says more than is known.
    let ends = low.zip(high).map(|(low, high)| {
        let wide = capped.map_or(low + LEAST, |cap| cap.min(low + LEAST));
        (low, if low <= high { high.max(wide) } else { high })
    });
    Ok(Common {
        window: ends.map(|(low, high)| Window {
            low,
            high: high.max(low),
        }),
        overlap: ends.is_some_and(|(low, high)| low <= high),
        members: hard,
        soft,
    })
}

impl Common {
    /// One figure over all members: lowest, middle and highest. Nothing when no steel hardens.
    #[must_use]
    pub fn over_all(&self, figure: impl Fn(&Hardening) -> Spread) -> Option<Spread> {
        let all: Vec<Spread> = self.members.iter().map(figure).collect();
        let best: Vec<f64> = all.iter().map(|s| s.best).collect();
        let low = all.iter().map(|s| s.low).reduce(f64::min)?;
        let high = all.iter().map(|s| s.high).reduce(f64::max)?;
        Some(Spread {
            low,
            best: Spread::of(&best).best,
            high,
        })
    }
}

/// Carbon that a blade's short soak takes into solution at this heat, mass %.
#[must_use]
pub fn dissolved(carbon: f64, at: Celsius) -> Spread {
    let most = carbon.min(critical::carbon_held(at));
    Spread {
        low: carbon.min(0.6),
        best: most.min(0.8),
        high: most,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::Catalogue;

    fn member(name: &str) -> Member<'_> {
        Member {
            name,
            metal: Catalogue::builtin().find(name).unwrap().nominal,
            known: None,
        }
    }

    #[test]
    fn worked_windows_land_near_the_handbooks() {
        for name in [
            "1045", "1075", "1084", "1095", "O1", "52100", "80CrV2", "C75S",
        ] {
            let worked = of(&member(name)).unwrap().window;
            let steel = Catalogue::builtin().find(name).unwrap();
            let book = steel.austenitise.unwrap();
            assert!(
                worked.low.near(book.low, 22.0),
                "{name}: {worked:?} {book:?}"
            );
            assert!(
                worked.high.near(book.high, 22.0),
                "{name}: {worked:?} {book:?}"
            );
        }
    }

    #[test]
    fn a_billet_takes_the_narrowest_window() {
        let both = common(&[member("1084"), member("15N20")]).unwrap();
        assert!(both.overlap && both.members.len() == 2 && both.soft.is_empty());
        let own = of(&member("1084")).unwrap();
        let window = both.window.unwrap();
        assert!(window.low.near(own.window.low, 1e-9) && window.high < own.window.high);
        let start = both.over_all(|h| h.start).unwrap();
        assert!(start.low <= own.start.low && start.high >= own.start.high);
    }

    #[test]
    fn no_window_is_a_sliver_and_none_goes_over_the_makers() {
        let even = |name: &'static str| {
            let found = member(name);
            Member {
                metal: found.metal.with_carbon(0.85),
                known: None,
                ..found
            }
        };
        let both = common(&[even("1095"), even("15N20")]).unwrap();
        let window = both.window.unwrap();
        assert!(both.overlap && (window.high - window.low).0 >= LEAST.0 - 1e-9);
        let capped = Member {
            known: Some((
                Window {
                    low: window.low - Celsius(30.0),
                    high: window.low + Celsius(4.0),
                },
                Mark::Sheet,
            )),
            ..even("15N20")
        };
        let both = common(&[even("1095"), capped]).unwrap();
        assert!(
            both.window
                .unwrap()
                .high
                .near(window.low + Celsius(4.0), 1e-9)
        );
    }

    #[test]
    fn steels_that_do_not_agree_are_said_not_to() {
        let far = common(&[member("52100"), member("15N20")]).unwrap();
        assert!(!far.overlap);
        let window = far.window.unwrap();
        assert!(window.low.near(window.high, 1e-9));
        assert!(window.low.near(far.members[0].window.low, 1e-9));
    }

    #[test]
    fn nickel_and_mild_steel_do_not_harden() {
        let mix = common(&[member("1084"), member("Nickel 200"), member("1018")]).unwrap();
        assert_eq!(mix.soft, ["Nickel 200", "1018"]);
        let none = common(&[member("wrought iron")]).unwrap();
        assert!(none.members.is_empty() && none.window.is_none());
        assert!(none.over_all(|h| h.start).is_none());
        assert!(of(&member("1018")).is_err());
    }

    #[test]
    fn the_makers_window_comes_first() {
        let maker = Window {
            low: Celsius(805.0),
            high: Celsius(815.0),
        };
        let told = Member {
            known: Some((maker, Mark::Sheet)),
            ..member("1095")
        };
        let h = of(&told).unwrap();
        assert!(h.known == Mark::Sheet && h.window == maker);
        assert!(h.dissolved.best < 0.85 && h.dissolved.high > 0.9);
        assert!(h.retained.low < h.retained.best && h.retained.best < h.retained.high);
    }
}
