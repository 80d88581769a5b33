//! Carbon and nickel on the move through the layers of a billet.
//!
//! Carbon runs down its activity, some 20,000 times faster than nickel: layers of a fraction of a
//! millimetre share their carbon within minutes of welding heat, while the nickel that draws the
//! pattern stays where it is.
//!
//! A billet is a [`Profile`]: a table of analyses and a [`Sequence`], the tree of its layers. To follow
//! one, build the first stack from [`Sequence::layer`] and [`Sequence::join`], then put the profile
//! through what the bar goes through, in order:
//!
//! | on the anvil | here |
//! |---|---|
//! | a heat as logged, drawing included | [`Profile::heated`] with a [`Heat`], the rules at its [`Faces`], a [`Care`] |
//! | drawn without a log of the drawing | [`Profile::scaled`] |
//! | cut and stacked, folded, ground, framed | [`Profile::moved`] with [`Sequence::repeated`], [`folded`](Sequence::folded), [`trimmed`](Sequence::trimmed), [`join`](Sequence::join) |
//! | plain bars on the sides across the width | [`Profile::moved`] with [`Sequence::join`] and [`blended`](Sequence::blended), followed on its own |
//!
//! and read it with [`Profile::by_steel`], [`held_between`](Profile::held_between),
//! [`at_faces`](Profile::at_faces) and [`blur`](Profile::blur).
//! Every move gives a new profile and leaves the old one as it was.
//!
//! The cost of a heat does not grow with the layers: what repeats between sealed faces is worked out
//! once, what is symmetric by its half, and layers thinner than the reach of the heat share cells.
//! One frame of the screen is enough for any billet (`benches/diffusion.rs`).
//!
//! Limits: flat layers of austenite; no cementite, no melt, no slag at the welds; metal lost to scale is
//! a trim of its own.

pub mod activity;
pub mod carbon;
pub mod heat;
pub mod nickel_metal;
pub mod series;
pub mod tracer;

mod blur;
mod care;
mod cells;
mod clock;
mod cut;
mod fineness;
mod flatten;
mod job;
mod part;
mod profile;
mod ratio;
mod refine;
mod sequence;
mod solver;
mod surface;
mod symmetry;
mod tridiagonal;

pub use blur::Blur;
pub use carbon::{CarbonLaw, carbon_diffusivity};
pub use care::Care;
pub use heat::{Heat, HeatError, HeatPoint};
pub use profile::{Profile, SteelCarbon};
pub use sequence::Sequence;
pub use surface::{Faces, Surface};
pub use tracer::Tracer;

use crate::metal::Mark;
use crate::physics::Law;

/// The card of carbon's diffusivity.
pub const LAW_CARBON: Law = Law {
    key: "carbon-diffusivity",
    title: "diffusivity of carbon in austenite",
    source: "J. Ågren, Scripta Metall. 20 (1986) 1507; Callister, Materials Science and \
             Engineering; G. G. Tibbetts, J. Appl. Phys. 51 (1980) 4813",
    mark: Mark::Seen,
    valid: "727 to 1400 C, carbon to 1.5 %; nil below",
};
/// The card of the metals' diffusivity.
pub const LAW_TRACER: Law = Law {
    key: "tracer-diffusivity",
    title: "diffusivity of nickel and other metals in austenite",
    source: "MacEwan, MacEwan, Yaffe, Can. J. Chem. 37 (1959) 1629; assessed mobility databases \
             2009 to 2022",
    mark: Mark::FromMemory,
    valid: "727 to 1400 C, dilute; nickel is given as a range of 4.4 in D",
};
/// The card of carbon in nickel metal.
pub const LAW_NICKEL: Law = Law {
    key: "carbon-in-nickel",
    title: "carbon in nickel metal",
    source: "Lander, Kern, Beach, J. Appl. Phys. 23 (1952) 1305",
    mark: Mark::FromMemory,
    valid: "700 to 1400 C",
};
/// The card of carbon's activity.
pub const LAW_ACTIVITY: Law = Law {
    key: "carbon-activity",
    title: "activity of carbon in alloyed austenite",
    source: "P. Gustafson, Scand. J. Metall. 14 (1985) 259; Lacaze, Sundman, Metall. Trans. A 22 \
             (1991) 2211; Gabriel, Gustafson, Ansara, Calphad 11 (1987) 203",
    mark: Mark::Seen,
    valid: "727 to 1400 C, one phase; nickel, silicon, manganese, chromium",
};
/// The card of the closed forms.
pub const LAW_SERIES: Law = Law {
    key: "diffusion-series",
    title: "closed forms of diffusion",
    source: "J. Crank, The Mathematics of Diffusion, 2nd ed. 1975; Callister, Materials Science \
             and Engineering",
    mark: Mark::Seen,
    valid: "one diffusivity that does not follow carbon",
};
/// The card of the billet's carbon.
pub const LAW_PROFILE: Law = Law {
    key: "carbon-profile",
    title: "carbon through the layers of a billet",
    source: "diffusion down the activity in one dimension (Fick; Darken, Trans. AIME 180 (1949) \
             430); TR-BDF2 in time (Bank et al., IEEE Trans. Electron Devices 32 (1985) 1992)",
    mark: Mark::FromMemory,
    valid: "flat layers of austenite without cementite or melt; sealed, bare or given fire",
};
