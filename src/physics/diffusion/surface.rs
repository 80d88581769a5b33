//! What happens to carbon at a face of the billet.

/// The rule at one face during a heat.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Surface {
    /// Nothing leaves: welded can, good flux, or a mirror plane.
    #[default]
    Sealed,
    /// Carbon is burnt away as fast as it arrives: the worst case, a bound. A fire that scales also
    /// eats into the metal; take that off as a trim.
    Bare,
    /// Flux `beta (w - w_gas)`: a fire of known carbon potential. Of the order of 1e-7 m/s in a
    /// carburising gas (from memory); learn it from an etched skin.
    Exchange {
        /// Transfer coefficient beta, m/s.
        metres_per_second: f64,
        /// Carbon at which the fire neither gives nor takes, mass %.
        potential_pct: f64,
    },
}

impl Surface {
    /// True when carbon passes.
    #[must_use]
    pub fn is_open(self) -> bool {
        match self {
            Self::Sealed => false,
            Self::Bare => true,
            Self::Exchange {
                metres_per_second, ..
            } => metres_per_second > 0.0,
        }
    }

    /// Carbon that the fire would bring a face to, mass %.
    pub(crate) fn potential(self) -> f64 {
        match self {
            Self::Exchange { potential_pct, .. } => potential_pct.max(0.0),
            _ => 0.0,
        }
    }

    /// The same rule at both faces.
    pub(crate) fn same(self, other: Self) -> bool {
        match (self, other) {
            (
                Self::Exchange {
                    metres_per_second: a,
                    potential_pct: p,
                },
                Self::Exchange {
                    metres_per_second: b,
                    potential_pct: q,
                },
            ) => (a - b).abs() <= 1e-12 * a.abs() && (p - q).abs() < 1e-12,
            (a, b) => std::mem::discriminant(&a) == std::mem::discriminant(&b),
        }
    }
}

/// The rules at both faces.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Faces {
    /// At the first face of the stack.
    pub first: Surface,
    /// At the last.
    pub last: Surface,
}

impl Faces {
    /// The same rule at both.
    #[must_use]
    pub const fn both(rule: Surface) -> Self {
        Self {
            first: rule,
            last: rule,
        }
    }

    /// Both let nothing pass.
    #[must_use]
    pub fn sealed(self) -> bool {
        !self.first.is_open() && !self.last.is_open()
    }

    pub(crate) fn swapped(self) -> Self {
        Self {
            first: self.last,
            last: self.first,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Faces, Surface};

    #[test]
    fn what_passes_and_what_is_the_same() {
        let fire = |beta: f64| Surface::Exchange {
            metres_per_second: beta,
            potential_pct: 0.3,
        };
        assert!(Surface::Bare.is_open() && fire(1e-7).is_open() && !fire(0.0).is_open());
        assert!(fire(1e-7).same(fire(1e-7)) && !fire(1e-7).same(fire(2e-7)));
        assert!(!Surface::Bare.same(Surface::Sealed));
        assert!(Faces::default().sealed() && !Faces::both(Surface::Bare).sealed());
        let one = Faces {
            first: Surface::Bare,
            last: Surface::Sealed,
        };
        assert_eq!(one.swapped().last, Surface::Bare);
    }
}
