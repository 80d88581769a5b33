//! One law per file: pure functions of units and metal.
