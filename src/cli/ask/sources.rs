//! `ask sources`: every law, where it comes from, and how many checks hold it up.

use clap::Args;
use serde_json::{Value, json};

use super::refused::Refused;
use crate::physics::evidence::{Evidence, Tally, evidence};
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

fn total(laws: &[Evidence]) -> Tally {
    laws.iter()
        .fold(Tally::default(), |sum, one| sum.and(one.tally))
}

/// The four marks, each apart.
fn apart(of: Tally) -> String {
    format!(
        "{} published and read, {} from memory, {} computed ({} of them by a general-purpose library), {} common practice",
        of.published, of.memory, of.computed, of.scripted, of.practice
    )
}

fn marks(of: Tally) -> Value {
    json!({
        "checks": of.rows(),
        "published": of.published,
        "from_memory": of.memory,
        "computed": of.computed,
        "common_practice": of.practice,
        "scripted": of.scripted,
    })
}

/// One line over all, then two lines a law.
pub(super) fn words(flags: &Flags) -> Result<String, Refused> {
    let laws = chosen(flags)?;
    let sum = total(&laws);
    let mut lines = vec![format!(
        "{} {} held up by {} checks: {}",
        laws.len(),
        if laws.len() == 1 { "law" } else { "laws" },
        sum.rows(),
        apart(sum),
    )];
    for found in &laws {
        let law = found.law;
        lines.push(format!(
            "{}: {}; {} checks: {}",
            law.key,
            law.title,
            found.tally.rows(),
            apart(found.tally)
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
    let with = |mut object: Value, tally: Tally| {
        if let (Value::Object(own), Value::Object(more)) = (&mut object, marks(tally)) {
            own.extend(more);
        }
        object
    };
    let row = |found: &Evidence| {
        let law = json!({
            "law": found.law.key,
            "title": found.law.title,
            "source": found.law.source,
            "mark": found.law.mark,
            "valid": found.law.valid,
        });
        with(law, found.tally)
    };
    let rows: Vec<Value> = laws.iter().map(row).collect();
    let all = json!({
        "format": crate::plan::report::FORMAT,
        "topic": "sources",
        "laws": rows,
    });
    Ok(with(all, total(&laws)))
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
