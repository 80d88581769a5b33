//! The only place that touches the world: terminal, disk, clock, threads.
