//! The laws of carbon and nickel on the move and of the metal under the hammer, by the names that
//! rows use.

mod diffusion;
mod forming;
mod profile;

use crate::checks::row::Function;

/// Name and function; the part before the dot is the key of the law's card.
pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    [forming::laws(), diffusion::laws(), profile::laws()].concat()
}
