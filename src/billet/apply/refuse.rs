//! A refusal that names the key it is about.

use super::Refusal;

pub(super) fn refuse(
    key: &'static str,
    what: impl Into<String>,
    remedy: impl Into<String>,
) -> Refusal {
    Refusal {
        what: what.into(),
        remedy: remedy.into(),
        key: Some(key),
    }
}
