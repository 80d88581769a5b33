//! The table of keys and the reader agree: every key that is documented is read, and read as said.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::plan::{self, KeyDoc, Level, Table, Writes};

/// A value that the form takes.
fn sample(writes: Writes) -> String {
    match writes {
        Writes::Text | Writes::Texts => "\"words\"".into(),
        Writes::Colours => "[\"cherry 840 C\"]".into(),
        Writes::Name => "\"a-name\"".into(),
        Writes::Size => "\"9 mm\"".into(),
        Writes::Allowance | Writes::Ends => "0.5".into(),
        Writes::Temperature => "\"900 C\"".into(),
        Writes::Window => "[\"900 C\", \"1000 C\"]".into(),
        Writes::Duration => "\"10 min\"".into(),
        Writes::Share => "\"4 %\"".into(),
        Writes::Count => "2".into(),
        Writes::Counts => "[1, 2]".into(),
        Writes::Between => "121".into(),
        Writes::Number | Writes::Percent => "2".into(),
        Writes::Flag => "true".into(),
        Writes::Force => "\"25 t\"".into(),
        Writes::Mass => "\"50 lb\"".into(),
        Writes::Choice(words) => format!("\"{}\"", words[0]),
        Writes::Laid => "\"A 6 mm\"".into(),
        Writes::With => "\"a-name\"".into(),
        Writes::Pieces => "[\"A 6 mm\"]".into(),
        Writes::Table => "{}".into(),
        Writes::Bars | Writes::Steps => "[]".into(),
    }
}

/// A line of a table, or nothing for the keys that are tables themselves.
fn line(key: &KeyDoc, value: &str) -> String {
    format!("{} = {value}\n", key.name)
}

/// A whole small plan, with `extra` in the table called `header` and the required keys beside it.
fn file(header: &str, without: &str, extra: &str) -> String {
    let mut parts: Vec<(String, String)> = vec![
        ("top of the file".into(), String::new()),
        ("[goal]".into(), "[goal]\n".into()),
        (
            "[goal.blade]".into(),
            "[goal.blade]\nlength = 90\nwidth = 30\nspine = 20\n".into(),
        ),
        ("[goal.tang]".into(), "[goal.tang]\n".into()),
        ("[goal.bolster]".into(), "[goal.bolster]\n".into()),
        ("[steels]".into(), "[steels]\nA = \"SAE 1084\"\n".into()),
        ("[steels.NAME]".into(), "[steels.B]\n".into()),
        ("[shop]".into(), "[shop]\n".into()),
        ("[stack]".into(), "[stack]\n".into()),
    ];
    if matches!(header, "[[bar]]" | "[found]") {
        parts.pop();
        parts.push((header.into(), format!("{header}\n")));
    }
    for table in plan::all_tables() {
        let Some((_, text)) = parts.iter_mut().find(|(name, _)| *name == table.header) else {
            continue;
        };
        for key in table.keys.iter().filter(|key| key.required) {
            let given = table.header == "[goal.blade]"
                || matches!(key.writes, Writes::Table | Writes::Bars | Writes::Steps);
            if !(given || table.header == header && key.name == without) {
                text.push_str(&line(key, &sample(key.writes)));
            }
        }
    }
    for (name, text) in &mut parts {
        if name == "[steels.NAME]" && !extra.starts_with("grade") && !extra.starts_with("c =") {
            text.push_str("c = 0.8\n");
        }
        if name == header {
            if name == "[goal.blade]" {
                let old: Vec<String> = text.lines().map(str::to_owned).collect();
                *text = old
                    .into_iter()
                    .filter(|row| !row.starts_with(&format!("{without} =")))
                    .map(|row| row + "\n")
                    .collect();
            }
            text.push_str(extra);
        }
    }
    parts.into_iter().map(|(_, text)| text).collect()
}

fn of_step(table: &Table, without: &str, extra: &str) -> String {
    let word = table.kind.map_or("etch", anvilside::billet::Kind::word);
    let mut text = file("[[bar]]", "", "");
    text.push_str("[[step]]\n");
    if without != "kind" {
        text.push_str(&format!("kind = \"{word}\"\n"));
    }
    for key in table
        .keys
        .iter()
        .filter(|key| key.required && key.name != "kind")
    {
        if key.name != without {
            text.push_str(&line(key, &sample(key.writes)));
        }
    }
    text + extra
}

/// A date is no value of any key: the reader must say so for each, which proves that it reads it.
#[test]
fn every_key_is_read() {
    let mut probed = 0;
    for table in plan::all_tables() {
        for key in &table.keys {
            let wrong = line(key, "2001-02-03");
            let tables = matches!(key.writes, Writes::Table | Writes::Bars | Writes::Steps);
            let text = if tables && table.header == "top of the file" {
                wrong
            } else if tables {
                file(&table.header, "", "").replace(&format!("[goal.{}]", key.name), "[goal.other]")
            } else if table.header == "[[step]]" || table.kind.is_some() {
                of_step(table, key.name, &wrong)
            } else {
                file(&table.header, key.name, &wrong)
            };
            let found = plan::read(&text).map(|_| ()).unwrap_err();
            let hit = found.iter().any(|one| {
                one.level == Level::Error
                    && (one.key.as_deref() == Some(key.name)
                        || (tables && one.what.contains("other")))
            });
            assert!(hit, "{} {}: {found:#?}\n{text}", table.header, key.name);
            probed += 1;
        }
    }
    assert!(probed > 100);
}

/// What the page says can be written is taken.
#[test]
fn every_form_is_taken() {
    for table in plan::all_tables() {
        for key in &table.keys {
            if matches!(key.writes, Writes::Table | Writes::Bars | Writes::Steps)
                || key.name == "kind"
            {
                continue;
            }
            let good = line(key, &sample(key.writes));
            let text = if table.header == "[[step]]" || table.kind.is_some() {
                of_step(table, key.name, &good)
            } else {
                file(&table.header, key.name, &good)
            };
            let found = plan::read(&text).map(|_| ()).err().unwrap_or_default();
            let line = text
                .lines()
                .position(|row| format!("{row}\n") == good)
                .unwrap()
                + 1;
            let on_it: Vec<_> = found
                .iter()
                .filter(|one| one.place.line == line && one.key.as_deref() == Some(key.name))
                // Keys that only go together with another.
                .filter(|one| !one.what.contains("belongs to a block"))
                .filter(|one| !one.what.contains("belongs to a grid"))
                .filter(|one| !(key.name == "letter" || one.what.contains("no steel is called")))
                .collect();
            assert!(on_it.is_empty(), "{} {}: {on_it:?}", table.header, key.name);
        }
    }
}

/// Every key that must be there is missed by name when it is not.
#[test]
fn every_missing_key_is_named() {
    for table in plan::all_tables() {
        for key in table.keys.iter().filter(|key| key.required) {
            let text = match (table.header.as_str(), key.writes) {
                ("top of the file", _) => "notes = \"nothing else\"\n".to_owned(),
                (_, Writes::Table | Writes::Bars) => continue,
                ("[[step]]", _) => of_step(table, "kind", ""),
                _ if table.kind.is_some() => of_step(table, key.name, ""),
                _ => file(&table.header, key.name, ""),
            };
            let found = plan::read(&text).map(|_| ()).unwrap_err();
            let hit = found
                .iter()
                .find(|one| one.key.as_deref() == Some(key.name));
            let hit = hit.unwrap_or_else(|| panic!("{} {}: {found:#?}", table.header, key.name));
            assert!(hit.what.contains(key.name), "{hit}");
        }
    }
}
