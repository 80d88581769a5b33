//! Facts about steels, no behaviour. The tables live in `shared/steels.toml`, embedded at build.

mod catalogue;
mod composition;
mod steel;

pub use catalogue::{Catalogue, UnknownSteel};
pub use composition::Composition;
pub use steel::{Mark, Source, Steel, Window, density_of};
