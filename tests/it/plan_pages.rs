//! The pages and the schema beside the sample plans are what the code says they are.
//!
//! To write them anew: `BLESS=1 cargo test --test it plan_pages`.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::plan;
use serde_json::Value;

/// Holds a committed file equal to what is made now.
fn held(name: &str, made: &str) {
    let path = format!("{}/plans/{name}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("BLESS").is_some() {
        #[allow(clippy::disallowed_methods, reason = "a test writes the page itself")]
        std::fs::write(&path, made).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == made,
        "plans/{name} is not what the code makes; write it with BLESS=1 cargo test --test it plan_pages"
    );
}

#[test]
fn format_page_is_current() {
    held("FORMAT.md", &plan::format_page());
}

#[test]
fn json_page_is_current() {
    held("JSON.md", &plan::report::json_page());
}

#[test]
fn schema_is_current() {
    held("plan.schema.json", &plan::schema());
}

/// Enough of JSON Schema to hold a document against the plan schema: all of its words but `pattern`
/// and the descriptions. (The patterns were tried once with another validator on every sample plan.)
fn fits(root: &Value, schema: &Value, value: &Value) -> Result<(), String> {
    let Some(rules) = schema.as_object() else {
        return Err(format!("not a schema: {schema}"));
    };
    let no = |why: &str| Err(format!("{why}: {value} against {schema}"));
    for (rule, want) in rules {
        match rule.as_str() {
            "$schema" | "$defs" | "title" | "description" | "pattern" | "required"
            | "propertyNames" => {}
            "$ref" => {
                let path = want.as_str().unwrap().strip_prefix('#').unwrap();
                fits(root, root.pointer(path).unwrap_or(&Value::Null), value)?;
            }
            "type" => {
                let good = match want.as_str().unwrap() {
                    "object" => value.is_object(),
                    "array" => value.is_array(),
                    "string" => value.is_string(),
                    "boolean" => value.is_boolean(),
                    "number" => value.is_number(),
                    "integer" => value.is_i64() || value.is_u64(),
                    other => return no(other),
                };
                if !good {
                    return no("type");
                }
            }
            "const" if value != want => return no("const"),
            "enum" if !want.as_array().unwrap().contains(value) => return no("enum"),
            "const" | "enum" => {}
            "minimum" if value.as_f64().is_some_and(|v| v < want.as_f64().unwrap()) => {
                return no("minimum");
            }
            "exclusiveMinimum" if value.as_f64().is_some_and(|v| v <= want.as_f64().unwrap()) => {
                return no("minimum");
            }
            "maximum" if value.as_f64().is_some_and(|v| v > want.as_f64().unwrap()) => {
                return no("maximum");
            }
            "minimum" | "maximum" | "exclusiveMinimum" => {}
            "minItems" | "maxItems" | "items" => {
                let items = value.as_array().map(Vec::as_slice).unwrap_or_default();
                match (rule.as_str(), want.as_u64()) {
                    ("minItems", Some(least)) if (items.len() as u64) < least => {
                        return no("minItems");
                    }
                    ("maxItems", Some(most)) if items.len() as u64 > most => return no("maxItems"),
                    ("items", _) => items.iter().try_for_each(|item| fits(root, want, item))?,
                    _ => {}
                }
            }
            "minProperties" | "maxProperties" => {
                let (len, limit) = (
                    value.as_object().map_or(0, |o| o.len() as u64),
                    want.as_u64().unwrap(),
                );
                if (rule == "minProperties" && len < limit)
                    || (rule == "maxProperties" && len > limit)
                {
                    return no(rule);
                }
            }
            "properties" | "additionalProperties" => {
                let known = rules.get("properties").and_then(Value::as_object);
                for (key, inner) in value.as_object().into_iter().flatten() {
                    match known.and_then(|known| known.get(key)) {
                        Some(own) if rule == "properties" => fits(root, own, inner)?,
                        None if rule == "additionalProperties" && want == &Value::Bool(false) => {
                            return no(&format!("unknown key {key}"));
                        }
                        None if rule == "additionalProperties" => fits(root, want, inner)?,
                        _ => {}
                    }
                }
            }
            "anyOf" | "oneOf" => {
                let tried = want
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|one| fits(root, one, value));
                let good = tried.filter(Result::is_ok).count();
                if good == 0 || (rule == "oneOf" && good != 1) {
                    return no(rule);
                }
            }
            other => return no(&format!("rule {other} is not known here")),
        }
    }
    for key in rules
        .get("required")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        if value.get(key.as_str().unwrap()).is_none() {
            return no(&format!("missing {key}"));
        }
    }
    Ok(())
}

#[test]
fn sample_plans_fit_the_schema_and_a_wrong_key_does_not() {
    let schema: Value = serde_json::from_str(&plan::schema()).unwrap();
    let mut seen = 0;
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/plans")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ext| ext != "toml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let table: toml::Table = text.parse().unwrap();
        let mut value = serde_json::to_value(table).unwrap();
        fits(&schema, &schema, &value).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        value["step"][0]["widht"] = Value::from(3);
        assert!(fits(&schema, &schema, &value).is_err());
        seen += 1;
    }
    assert!(seen > 0);
}
