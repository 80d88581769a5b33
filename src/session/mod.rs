//! Where the job stands: `state = fold(plan, journal)`.
