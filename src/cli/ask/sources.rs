//! `ask sources`: every law, where it comes from, and how many checks hold it up.

use clap::Args;
use serde_json::{Value, json};

use super::refused::Refused;
use crate::physics::evidence::{Evidence, evidence};
use crate::units::near::nearest;

/// Every law with its source, and how many checks hold it up
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// Only the law of that name, as "section"
    #[arg(long, value_name = "NAME")]
    law: Option<String>,
}

/// The laws asked for.
fn chosen(flags: &Flags) -> Result<Vec<Evidence>, Refused> {
    let all =
        evidence().map_err(|why| Refused::say(format!("the checks cannot be read: {why}")))?;
    let Some(name) = &flags.law else {
        return Ok(all);
    };
    let hit: Vec<Evidence> = all.iter().copied().filter(|e| e.law.key == name).collect();
    if hit.is_empty() {
        let near = nearest(name, all.iter().map(|e| e.law.key));
        let hint = near.map_or("`anvilside ask sources` lists them".to_owned(), |near| {
            format!("did you mean '{near}'?")
        });
        let name = crate::units::show::plain(name, 30);
        return Err(Refused::say(format!(
            "--law: no law is called '{name}'; {hint}"
        )));
    }
    Ok(hit)
}

fn total(laws: &[Evidence], of: fn(&Evidence) -> usize) -> usize {
    laws.iter().map(of).sum()
}

/// One line over all, then two lines a law.
pub(super) fn words(flags: &Flags) -> Result<String, Refused> {
    let laws = chosen(flags)?;
    let mut lines = vec![format!(
        "{} {} held up by {} checks: {} against published figures, {} against general-purpose libraries",
        laws.len(),
        if laws.len() == 1 { "law" } else { "laws" },
        total(&laws, |e| e.rows),
        total(&laws, |e| e.published),
        total(&laws, |e| e.scripted),
    )];
    for found in &laws {
        let law = found.law;
        lines.push(format!(
            "{}: {}; {} checks, {} published, {} scripted",
            law.key, law.title, found.rows, found.published, found.scripted
        ));
        lines.push(format!(
            "  {} ({}). Holds: {}",
            law.source,
            law.mark.words(),
            law.valid
        ));
    }
    Ok(lines.join("\n"))
}

/// The same as JSON.
pub(super) fn json(flags: &Flags) -> Result<Value, Refused> {
    let laws = chosen(flags)?;
    let rows: Vec<Value> = laws
        .iter()
        .map(|found| {
            json!({
                "law": found.law.key,
                "title": found.law.title,
                "source": found.law.source,
                "mark": found.law.mark,
                "valid": found.law.valid,
                "checks": found.rows,
                "published": found.published,
                "scripted": found.scripted,
            })
        })
        .collect();
    Ok(json!({
        "format": crate::plan::report::FORMAT,
        "topic": "sources",
        "checks": total(&laws, |e| e.rows),
        "published": total(&laws, |e| e.published),
        "scripted": total(&laws, |e| e.scripted),
        "laws": rows,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_law_is_listed_with_its_count() {
        let text = words(&Flags { law: None }).unwrap();
        for law in crate::physics::laws() {
            assert!(text.contains(&format!("\n{}: ", law.key)), "{}", law.key);
        }
        assert!(
            json(&Flags { law: None }).unwrap()["checks"]
                .as_u64()
                .unwrap()
                >= 150
        );
    }

    #[test]
    fn an_unknown_law_offers_the_nearest() {
        let law = Some("expantion".to_owned());
        let why = words(&Flags { law }).unwrap_err();
        assert!(why.text(crate::units::Units::Mm).contains("'expansion'"));
    }
}
