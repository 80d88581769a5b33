//! Nothing that was shown as recorded is lost.
