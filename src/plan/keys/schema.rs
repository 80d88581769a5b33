//! The JSON schema, made from the table of keys.

use serde_json::{Map, Value, json};

use super::all::{common, of_kind, table};
use super::doc::{KeyDoc, Table};
use super::tables::TOP_HEADER;
use super::writes::Writes;
use crate::billet::Kind;

/// Digits with a point or a comma, fractions, and a unit.
const SIZE: &str = "^\\s*[0-9][0-9 ./,-]*\\s*(mm|cm|in|inch|inches|\")?\\s*$";
const TEMPERATURE: &str = "^\\s*[0-9]+([.,][0-9]+)?\\s*(C|F|\u{b0}C|\u{b0}F|c|f)?\\s*$";
const DURATION: &str =
    "^\\s*[0-9]+([.,][0-9]+)?\\s*(s|sec|min|m|h|d|hours?|minutes?|seconds?|days?)?\\s*$";
const SHARE: &str = "^\\s*[0-9]+([.,][0-9]+)?\\s*(%|percent)?\\s*$";
const FORCE: &str = "^\\s*[0-9]+([.,][0-9]+)?\\s*(t|tons?|kN|kn)?\\s*$";
const MASS: &str = "^\\s*[0-9]+([.,][0-9]+)?\\s*(g|kg|lbs?|oz)?\\s*$";
const PIECE: &str = "^\\s*[A-Za-z][A-Za-z0-9-]*(\\s+[0-9]|(\\s+(turned|flipped))*\\s*$)";
const NAME: &str = "^[a-z][a-z0-9-]{0,39}$";
const STEEL_NAME: &str = "^[A-Za-z][A-Za-z0-9-]{0,11}$";

/// The JSON schema (draft 2020-12) that editors complete from.
#[must_use]
pub fn schema() -> String {
    let top = table(TOP_HEADER);
    let mut root = object(&[top], None);
    root.insert(
        "$schema".into(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    root.insert("title".into(), json!("A pattern-welding plan"));
    root.insert("description".into(), json!(top.map(|top| &top.words)));
    root.insert("$defs".into(), definitions());
    let mut text = serde_json::to_string_pretty(&Value::Object(root)).unwrap_or_default();
    text.push('\n');
    text
}

/// The forms of values, and the keys of every step, each written once.
fn definitions() -> Value {
    let mut out = Map::new();
    for (name, writes) in FORMS {
        out.insert(name.to_owned(), value(writes));
    }
    for key in keys(&[common()]).filter(|key| key.name != "kind") {
        out.insert(format!("step-{}", key.name), property(key));
    }
    Value::Object(out)
}

/// The forms that have a name of their own in the schema.
const FORMS: [(&str, Writes); 21] = [
    ("text", Writes::Text),
    ("texts", Writes::Texts),
    ("colours", Writes::Colours),
    ("name", Writes::Name),
    ("size", Writes::Size),
    ("allowance", Writes::Allowance),
    ("ends", Writes::Ends),
    ("temperature", Writes::Temperature),
    ("window", Writes::Window),
    ("duration", Writes::Duration),
    ("share", Writes::Share),
    ("count", Writes::Count),
    ("counts", Writes::Counts),
    ("between", Writes::Between),
    ("number", Writes::Number),
    ("percent", Writes::Percent),
    ("flag", Writes::Flag),
    ("force", Writes::Force),
    ("mass", Writes::Mass),
    ("laid", Writes::Laid),
    ("with", Writes::With),
];

/// A table as an object that takes its own keys only.
fn object(tables: &[Option<&Table>], kind: Option<Kind>) -> Map<String, Value> {
    let keys: Vec<&KeyDoc> = keys(tables).collect();
    let mut properties = Map::new();
    for key in &keys {
        let is_common = kind.is_some() && self::keys(&[common()]).any(|one| one.name == key.name);
        let value = match kind {
            Some(kind) if key.name == "kind" => {
                json!({ "const": kind.word(), "description": of_kind(kind).map(|table| &table.words) })
            }
            _ if is_common => json!({ "$ref": format!("#/$defs/step-{}", key.name) }),
            _ => property(key),
        };
        properties.insert(key.name.to_owned(), value);
    }
    let required: Vec<&str> = keys
        .iter()
        .filter(|key| key.required)
        .map(|key| key.name)
        .collect();
    let mut out = Map::new();
    out.insert("type".into(), json!("object"));
    out.insert("properties".into(), Value::Object(properties));
    out.insert("required".into(), json!(required));
    out.insert("additionalProperties".into(), json!(false));
    out
}

/// The value of a key, with its words.
fn property(key: &KeyDoc) -> Value {
    let mut value = match (key.writes, key.name) {
        (Writes::Table, "steels") => json!({
            "type": "object",
            "minProperties": 1,
            "maxProperties": 26,
            "propertyNames": { "pattern": STEEL_NAME },
            "additionalProperties": { "anyOf": [
                { "type": "string", "description": "A grade that the program knows." },
                described("[steels.NAME]"),
            ] },
            "title": "[steels]",
        }),
        (Writes::Table, "goal" | "shop" | "stack" | "found") => {
            described(&format!("[{}]", key.name))
        }
        (Writes::Table, _) => described(&format!("[goal.{}]", key.name)),
        (Writes::Bars, _) => json!({
            "type": "array",
            "minItems": 1,
            "maxItems": crate::plan::MAX_BARS,
            "items": described("[[bar]]"),
        }),
        (Writes::Steps, _) => {
            let kinds: Vec<Value> = Kind::ALL.into_iter().map(step).collect();
            json!({
                "type": "array",
                "minItems": 1,
                "maxItems": crate::plan::MAX_STEPS,
                "items": { "oneOf": kinds },
            })
        }
        (writes, _) => match FORMS.iter().find(|(_, form)| *form == writes) {
            Some((name, _)) => json!({ "$ref": format!("#/$defs/{name}") }),
            None => value(writes),
        },
    };
    if let Value::Object(fields) = &mut value {
        fields.insert("description".into(), json!(key.words));
    }
    value
}

fn described(header: &str) -> Value {
    let mut out = object(&[table(header)], None);
    out.insert("title".into(), json!(header));
    Value::Object(out)
}

fn keys<'k>(tables: &[Option<&'k Table>]) -> impl Iterator<Item = &'k KeyDoc> {
    tables.iter().flatten().flat_map(|table| &table.keys)
}

fn step(kind: Kind) -> Value {
    let mut out = object(&[common(), of_kind(kind)], Some(kind));
    out.insert("title".into(), json!(format!("kind = \"{}\"", kind.word())));
    Value::Object(out)
}

/// A number, or text of that shape.
fn number_or(pattern: &str, least: f64) -> Value {
    json!({ "anyOf": [
        { "type": "number", "minimum": least },
        { "type": "string", "pattern": pattern },
    ] })
}

/// A list of so many of one form.
fn list(of: &Value, least: usize, most: Option<usize>) -> Value {
    match most {
        Some(most) => json!({ "type": "array", "items": of, "minItems": least, "maxItems": most }),
        None => json!({ "type": "array", "items": of, "minItems": least }),
    }
}

fn value(writes: Writes) -> Value {
    let text = json!({ "type": "string" });
    match writes {
        Writes::Text => text,
        Writes::Texts | Writes::Colours => json!({ "anyOf": [text.clone(), list(&text, 0, None)] }),
        Writes::Name => json!({ "type": "string", "pattern": NAME }),
        Writes::Size | Writes::Allowance => number_or(SIZE, 0.0),
        Writes::Ends => {
            let one = number_or(SIZE, 0.0);
            json!({ "anyOf": [one.clone(), list(&one, 2, Some(2))] })
        }
        Writes::Temperature => number_or(TEMPERATURE, -60.0),
        Writes::Window => list(&number_or(TEMPERATURE, -60.0), 2, Some(2)),
        Writes::Duration => number_or(DURATION, 0.0),
        Writes::Share => json!({ "anyOf": [
            { "type": "number", "minimum": 0, "maximum": 1 },
            { "type": "string", "pattern": SHARE },
        ] }),
        Writes::Count => json!({ "type": "integer", "minimum": 0 }),
        Writes::Counts => list(&json!({ "type": "integer", "minimum": 1 }), 2, Some(2)),
        Writes::Between => {
            let one = json!({ "type": "integer", "minimum": 1 });
            json!({ "anyOf": [one.clone(), list(&one, 2, Some(2))] })
        }
        Writes::Number => json!({ "type": "number", "exclusiveMinimum": 0 }),
        Writes::Percent => json!({ "type": "number", "minimum": 0, "maximum": 100 }),
        Writes::Flag => json!({ "type": "boolean" }),
        Writes::Force => number_or(FORCE, 0.0),
        Writes::Mass => number_or(MASS, 0.0),
        Writes::Choice(words) => json!({ "enum": words }),
        Writes::Laid | Writes::With => {
            let one = json!({ "type": "string", "pattern": PIECE });
            json!({ "anyOf": [one.clone(), list(&one, 1, None)] })
        }
        Writes::Pieces => json!({ "anyOf": [text.clone(), list(&text, 1, None)] }),
        // Given by `property`, which knows which table is meant.
        Writes::Table | Writes::Bars | Writes::Steps => json!({}),
    }
}
