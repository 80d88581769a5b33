//! How a piece cools out of the fire.

use std::sync::Arc;

use super::course::Courses;
use crate::physics::Spread;
use crate::physics::section::{Course, SHOP_AIR};
use crate::units::{Celsius, Mm, Seconds};

/// Cooling is followed down to here.
pub(super) const FOLLOWED: Celsius = Celsius(200.0);

/// How a section cools out of the fire.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// Where it begins, which may lie under what is followed.
    from: Celsius,
    air: Arc<Course>,
    dies: Arc<Course>,
}

impl Cooling {
    /// From an even temperature; none where the law does not reach.
    pub(super) fn of(
        section: (Mm, Mm),
        from: Celsius,
        floor: Celsius,
        courses: &Courses,
    ) -> Option<Self> {
        let to = FOLLOWED.min(floor - Celsius(5.0));
        // What is colder than the end of what is followed lies under it from the start.
        let start = from.max(to + Celsius(5.0));
        Some(Self {
            from,
            air: courses.course(section, start, to, None)?,
            dies: courses.under_dies(section, start, to)?,
        })
    }

    /// Seconds until the mean of the section is down to `floor`.
    pub(super) fn until(&self, floor: Celsius) -> Option<Spread> {
        let at = |course: &Course| {
            let start = course.moments().first()?;
            if start.mean <= floor {
                return Some(0.0);
            }
            course.mean_at(floor).map(|at| at.0)
        };
        let (air, dies) = (at(&self.air)?, at(&self.dies)?);
        Some(Spread {
            low: dies,
            best: f64::midpoint(air, dies),
            high: air,
        })
    }

    /// The section's mean after so long, C: low under the dies all the time, high in still air, best where
    /// `until` gives that time. None once it is below what is followed: hot enough to burn a hand
    /// for a long time yet.
    #[must_use]
    pub fn after(&self, out: Seconds) -> Option<Spread> {
        if self.from <= FOLLOWED {
            return None;
        }
        let (air, dies) = (self.air.at(out).mean, self.dies.at(out).mean);
        let (mut low, mut high) = (dies.min(air), air);
        for _ in 0..20 {
            let middle = (low + high) / 2.0;
            match self.until(middle) {
                Some(time) if time.best > out.0 => low = middle,
                _ => high = middle,
            }
        }
        let reached = self.until(FOLLOWED).is_none_or(|time| time.best <= out.0);
        (!reached).then_some(Spread {
            low: dies.0.min(high.0),
            best: high.0,
            high: air.0,
        })
    }

    /// What a piece is taken at that has cooled to under what is followed: between there and the air of the shop.
    #[must_use]
    pub fn under(&self) -> Celsius {
        (FOLLOWED.min(self.from) + SHOP_AIR) / 2.0
    }

    /// Lowest temperature that is followed.
    #[must_use]
    pub fn end(&self) -> Celsius {
        FOLLOWED
    }
}
