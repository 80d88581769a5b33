//! Sharp pictures for terminals that take them: bytes to write, nothing written here.

mod iterm;
mod kitty;
mod sixel;

pub use iterm::iterm;
pub use kitty::{kitty, kitty_clear};
pub use sixel::sixel;
