//! Courses of heating and cooling, kept: the same section is asked for again and again.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use crate::physics::section::{Contact, Course, Section, Surroundings, cool, heat};
use crate::units::{Celsius, Mm};

/// What is asked for, in tenths of a millimetre and steps of [`STEP`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Key {
    section: (i64, i64),
    from: i64,
    to: i64,
    around: Place,
}

/// What is round the section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Place {
    /// A fire, in steps of [`STEP`].
    Fire(i64),
    /// Still air.
    Air,
    /// Still air, and dies that touch both broad faces part of the time.
    Dies,
}

/// Courses kept; each is a few kilobytes.
const KEPT: usize = 2000;
/// Temperatures are rounded to this, far inside what the surface figures are worth.
const STEP: f64 = 2.0;

/// The courses that were worked for one caller.
#[derive(Debug, Default)]
pub(super) struct Courses(RefCell<BTreeMap<Key, Option<Arc<Course>>>>);

impl Courses {
    /// Heating in a fire at `furnace`, or with none cooling in still air, from one temperature until
    /// every point is past the other. What is asked for is rounded first, so that the answer never
    /// depends on what was asked before.
    pub(super) fn course(
        &self,
        section: (Mm, Mm),
        from: Celsius,
        to: Celsius,
        furnace: Option<Celsius>,
    ) -> Option<Arc<Course>> {
        let around = furnace.map_or(Place::Air, |at| Place::Fire(steps(at)));
        self.find(section, from, to, around)
    }

    /// Cooling under the dies, in the same way.
    pub(super) fn under_dies(
        &self,
        section: (Mm, Mm),
        from: Celsius,
        to: Celsius,
    ) -> Option<Arc<Course>> {
        self.find(section, from, to, Place::Dies)
    }

    fn find(
        &self,
        section: (Mm, Mm),
        from: Celsius,
        to: Celsius,
        around: Place,
    ) -> Option<Arc<Course>> {
        let key = Key {
            section: (tenths(section.0), tenths(section.1)),
            from: steps(from),
            to: steps(to),
            around,
        };
        let mut kept = self.0.borrow_mut();
        if kept.len() >= KEPT {
            kept.clear();
        }
        let found = kept.entry(key).or_insert_with(|| work(key).map(Arc::new));
        found.clone()
    }
}

fn work(key: Key) -> Option<Course> {
    #[expect(clippy::cast_precision_loss, reason = "rounded from sizes of a bar")]
    let (mm, celsius) = (
        |tenths: i64| Mm(tenths as f64 / 10.0),
        |steps: i64| Celsius(steps as f64 * STEP),
    );
    let bar = Section {
        width: mm(key.section.0),
        thickness: mm(key.section.1),
    };
    let (from, to) = (celsius(key.from), celsius(key.to));
    match key.around {
        Place::Fire(at) => heat(bar, from, to, &Surroundings::furnace(celsius(at))).ok(),
        Place::Air => cool(bar, from, to, &Surroundings::air()).ok(),
        Place::Dies => {
            let dies = Surroundings::air().between(Contact::WORKING);
            cool(bar, from, to, &dies).ok()
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "bounded by the law's own range; saturates"
)]
fn tenths(mm: Mm) -> i64 {
    (mm.0 * 10.0).round() as i64
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "bounded by the law's own range; saturates"
)]
fn steps(at: Celsius) -> i64 {
    (at.0 / STEP).round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_answer_does_not_depend_on_what_was_asked_before() {
        let kept = Courses::default();
        let ask = |mm: f64| {
            let found = kept.course((Mm(mm), Mm(11.0)), Celsius(1101.0), Celsius(850.0), None);
            // Between two of its moments; its end lies on one.
            found.unwrap().mean_at(Celsius(900.0)).unwrap().0
        };
        let (first, second) = (ask(30.04), ask(29.96));
        assert!((first - second).abs() < 1e-9);
        assert!(ask(31.0) > first);
    }

    #[test]
    fn what_never_comes_is_none_every_time() {
        let bar = (Mm(20.0), Mm(20.0));
        let kept = Courses::default();
        for _ in 0..2 {
            let never = kept.course(bar, Celsius(20.0), Celsius(1200.0), Some(Celsius(1100.0)));
            assert!(never.is_none());
        }
    }
}
