//! A wish file: the items as TOML keys, `steel` as a text or a list of them.

use super::Form;
use crate::units::show;

/// Most bytes of a wish file.
pub const MOST_BYTES: usize = 64 * 1024;

impl Form {
    /// Reads a wish file. Bare numbers are in the units that it names.
    ///
    /// # Errors
    /// What is wrong with the text, with its line where that is known.
    pub fn from_toml(text: &str) -> Result<Self, String> {
        if text.len() > MOST_BYTES {
            return Err("too large for a wish file".to_owned());
        }
        let table: toml::Table = text.parse().map_err(|why: toml::de::Error| {
            let line = why.span().map(|span| {
                let before = text.get(..span.start).unwrap_or(text);
                format!("line {}: ", before.matches('\n').count() + 1)
            });
            let what = show::plain(why.message(), 120);
            format!("{}{what}", line.unwrap_or_default())
        })?;
        if ["goal", "stack", "step"]
            .iter()
            .any(|key| table.contains_key(*key))
        {
            return Err(
                "this is a plan, not a wish; a wish has lines such as length = 210, and \
                        `anvilside work` opens a plan"
                    .to_owned(),
            );
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

fn word(key: &str, value: &toml::Value) -> Result<String, String> {
    match value {
        toml::Value::String(text) => Ok(text.clone()),
        toml::Value::Integer(number) => Ok(number.to_string()),
        toml::Value::Float(number) => Ok(number.to_string()),
        toml::Value::Array(pair) if key == "bands" => {
            let each = pair.iter().map(|one| word("", one));
            Ok(each.collect::<Result<Vec<_>, _>>()?.join(" to "))
        }
        other => Err(format!(
            "{} is {}; write a number, or a text in quotes",
            show::plain(key, 24),
            other.type_str()
        )),
    }
}
