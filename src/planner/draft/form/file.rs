//! A wish file: the items as TOML keys, `steel` as a text or a list of them.

use super::{Form, UnknownItem};
use crate::units::show;

/// Most bytes of a wish file.
pub const MOST_BYTES: usize = 64 * 1024;

/// Why a text is not a wish file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WishFileError {
    #[error("too large for a wish file")]
    TooLarge,
    #[error("line {line}: {}", show::plain(.what, 120))]
    Syntax { line: usize, what: String },
    #[error(
        "this is a plan, not a wish; a wish has lines such as length = 210, and `anvilside work` opens a plan"
    )]
    Plan,
    #[error(transparent)]
    Unknown(#[from] UnknownItem),
    #[error("{} is {is}; write a number, or a text in quotes", show::plain(.key, 24))]
    NotText { key: String, is: &'static str },
}

impl Form {
    /// Reads a wish file. Bare numbers are in the units that it names.
    ///
    /// # Errors
    /// [`WishFileError`].
    pub fn from_toml(text: &str) -> Result<Self, WishFileError> {
        if text.len() > MOST_BYTES {
            return Err(WishFileError::TooLarge);
        }
        let table: toml::Table = text.parse().map_err(|why: toml::de::Error| {
            let before = why.span().and_then(|span| text.get(..span.start));
            WishFileError::Syntax {
                line: before.unwrap_or_default().matches('\n').count() + 1,
                what: why.message().to_owned(),
            }
        })?;
        let of_plan = |key: &&str| table.contains_key(*key);
        if ["goal", "stack", "step"].iter().any(of_plan) {
            return Err(WishFileError::Plan);
        }
        let mut form = Self::default();
        for (key, value) in &table {
            match value {
                toml::Value::Array(all) if key == "steel" => {
                    for one in all {
                        form.add_steel(&word(key, one)?);
                    }
                }
                one => form.put(key, &word(key, one)?)?,
            }
        }
        Ok(form)
    }

    /// Puts what another form has typed over what stands here.
    pub fn over(&mut self, other: &Self) {
        for (key, text) in &other.typed {
            self.typed.insert(key, text.clone());
        }
    }
}

fn word(key: &str, value: &toml::Value) -> Result<String, WishFileError> {
    match value {
        toml::Value::String(text) => Ok(text.clone()),
        toml::Value::Integer(number) => Ok(number.to_string()),
        toml::Value::Float(number) => Ok(number.to_string()),
        toml::Value::Array(pair) if key == "bands" => {
            let each = pair.iter().map(|one| word("", one));
            Ok(each.collect::<Result<Vec<_>, _>>()?.join(" to "))
        }
        other => Err(WishFileError::NotText {
            key: key.to_owned(),
            is: other.type_str(),
        }),
    }
}
