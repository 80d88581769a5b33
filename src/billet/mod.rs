//! The bar on the anvil: layers, section, what can be done to it, and what was lost.
