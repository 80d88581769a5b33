//! What the section gives its heat to, or takes it from.

use crate::units::{Celsius, Fraction};

/// Stefan-Boltzmann constant, W/m2/K4 (CODATA 2018, exact).
const SIGMA: f64 = 5.670_374_419e-8;

/// Emissivity of heavily scaled forging steel: handbooks give 0.8 to 0.9 for oxidised or rolled
/// steel near 1000 C (Incropera and DeWitt, table A.11, from memory); EN 1993-1-2 takes 0.7.
pub const SCALED_STEEL: f64 = 0.8;

/// The air of a shop, and what lies cold in it. Common practice, no source.
pub const SHOP_AIR: Celsius = Celsius(20.0);

/// Film of a draughty shop, W/m2/K: an open door or a blower's waste air of some 5 m/s (from memory, low
/// confidence: 30 to 60). Still air has some 20 over a hot bar.
pub const DRAUGHT: f64 = 50.0;

/// How air carries heat off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Convection {
    /// Still air: McAdams' simplified laminar form `1.32 (dT/D)^0.25` W/m2/K, with the smaller side
    /// for the diameter `D` in metres (Holman, Heat Transfer, table 7-2, from memory).
    Still,
    /// A fixed coefficient, W/m2/K. EN 1991-1-2 takes 25 in a fire.
    Fixed(f64),
}

/// A cold (or hot) body against a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Heat passed per area and kelvin while it touches, W/m2/K. Under a closing die 2000 to 10000
    /// (from memory, low confidence), lying loose a tenth of that: a setting, not a law.
    pub conductance: f64,
    /// Temperature of the anvil or die.
    pub body: Celsius,
    /// Part of the time that it touches; the rest of the time the face is open.
    pub share: Fraction,
}

impl Contact {
    /// Lying on the anvil or the lower die all the time, not pressed: 500 W/m2/K, body at 60 C.
    pub const RESTING: Self = Self {
        conductance: 500.0,
        body: Celsius(60.0),
        share: Fraction(1.0),
    };
    /// Under a press or hammer die for a fifth of the time: 5000 W/m2/K, body at 150 C.
    pub const WORKING: Self = Self {
        conductance: 5000.0,
        body: Celsius(150.0),
        share: Fraction(0.2),
    };
}

/// Which faces something touches. Top and bottom are the broad faces.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Faces {
    /// Upper broad face.
    pub top: Option<Contact>,
    /// Lower broad face.
    pub bottom: Option<Contact>,
    /// One narrow face.
    pub left: Option<Contact>,
    /// The other narrow face.
    pub right: Option<Contact>,
}

/// Air, walls and contacts around the section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Temperature of the air or the furnace gas.
    pub gas: Celsius,
    /// Temperature of the walls that it sees, taken as black.
    pub walls: Celsius,
    /// Emissivity of the steel's surface, 0 to 1.
    pub emissivity: f64,
    /// How the gas carries heat.
    pub convection: Convection,
    /// What touches which face.
    pub contact: Faces,
}

impl Surroundings {
    /// Out of the fire, in still air of the shop at 20 C.
    #[must_use]
    pub const fn air() -> Self {
        Self {
            gas: Celsius(20.0),
            walls: Celsius(20.0),
            emissivity: SCALED_STEEL,
            convection: Convection::Still,
            contact: Faces {
                top: None,
                bottom: None,
                left: None,
                right: None,
            },
        }
    }

    /// In a fire or furnace whose walls and gas stand at one temperature, with 25 W/m2/K.
    #[must_use]
    pub const fn furnace(at: Celsius) -> Self {
        Self {
            gas: at,
            walls: at,
            convection: Convection::Fixed(25.0),
            ..Self::air()
        }
    }

    /// The same with the lower broad face on a hearth that gives and takes nothing.
    #[must_use]
    pub const fn on_hearth(self) -> Self {
        self.lying_on(Contact {
            conductance: 0.0,
            body: Celsius(20.0),
            share: Fraction(1.0),
        })
    }

    /// The same with a film as strong as a draught makes it, W/m2/K.
    #[must_use]
    pub const fn in_draught(self) -> Self {
        Self {
            convection: Convection::Fixed(DRAUGHT),
            ..self
        }
    }

    /// The same with a body under the lower broad face.
    #[must_use]
    pub const fn lying_on(mut self, contact: Contact) -> Self {
        self.contact.bottom = Some(contact);
        self
    }

    /// The same with a body on both broad faces, as between dies.
    #[must_use]
    pub const fn between(mut self, contact: Contact) -> Self {
        self.contact.top = Some(contact);
        self.contact.bottom = Some(contact);
        self
    }

    /// Heat into the steel through an open face, W/m2, at surface temperature `t` C, for a section
    /// of smaller side `side_m`.
    pub(in crate::physics) fn open_flux(&self, t: f64, side_m: f64) -> f64 {
        let fourth = |celsius: f64| {
            let square = (celsius + 273.15) * (celsius + 273.15);
            square * square
        };
        let gap = self.gas.0 - t;
        let film = match self.convection {
            Convection::Still => 1.32 * (gap.abs() / side_m).sqrt().sqrt(),
            Convection::Fixed(film) => film,
        };
        self.emissivity * SIGMA * (fourth(self.walls.0) - fourth(t)) + film * gap
    }

    /// Heat into the steel through a face that `contact` may touch, W/m2.
    pub(super) fn flux(&self, contact: Option<Contact>, t: f64, side_m: f64) -> f64 {
        let open = self.open_flux(t, side_m);
        match contact {
            None => open,
            Some(touch) => {
                let share = touch.share.0.clamp(0.0, 1.0);
                open * (1.0 - share) + touch.conductance * (touch.body.0 - t) * share
            }
        }
    }

    /// The steepest that any face's flux can fall with temperature, W/m2/K, up to `hottest` C.
    pub(super) fn stiffness(&self, hottest: f64, side_m: f64) -> f64 {
        let kelvin = hottest.max(self.walls.0) + 273.15;
        let film = match self.convection {
            Convection::Still => 1.65 * (1500.0 / side_m).sqrt().sqrt(),
            Convection::Fixed(film) => film,
        };
        let touch = [
            self.contact.top,
            self.contact.bottom,
            self.contact.left,
            self.contact.right,
        ];
        let contact = touch
            .into_iter()
            .flatten()
            .map(|touch| touch.conductance.abs())
            .fold(0.0, f64::max);
        4.0 * self.emissivity.abs() * SIGMA * kelvin.powi(3) + film.abs() + contact
    }

    /// True when every figure is a sane number.
    pub(super) fn is_sane(&self) -> bool {
        let contacts = [
            self.contact.top,
            self.contact.bottom,
            self.contact.left,
            self.contact.right,
        ];
        let film = match self.convection {
            Convection::Still => true,
            Convection::Fixed(film) => (0.0..=1e5).contains(&film),
        };
        let held = |t: Celsius| (-273.15..=1400.0).contains(&t.0);
        film && held(self.gas)
            && held(self.walls)
            && (0.0..=1.0).contains(&self.emissivity)
            && contacts.into_iter().flatten().all(|touch| {
                (0.0..=1e6).contains(&touch.conductance) && held(touch.body) && touch.share.0 >= 0.0
            })
    }
}
