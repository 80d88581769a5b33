//! Carbon and nickel on the move through the layers of a billet.

pub mod activity;
pub mod carbon;
pub mod heat;
pub mod nickel_metal;
pub mod series;
pub mod tracer;

mod blur;
mod cells;
mod clock;
mod grid;
mod profile;
mod ratio;
mod sequence;
mod solver;
mod surface;
mod symmetry;
mod tridiagonal;

pub use blur::Blur;
pub use carbon::{CarbonLaw, carbon_diffusivity};
pub use heat::{Heat, HeatError, HeatPoint};
pub use profile::{Care, HOT, Profile, SteelCarbon};
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
