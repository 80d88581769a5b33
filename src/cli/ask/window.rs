//! `ask window`: where one steel, or all steels of a billet, turn, harden, temper and burn.

use clap::Args;
use serde_json::{Value, json};

use super::answer::Answer;
use super::read::{self, Asked};
use super::refused::Refused;
use super::say::{self, Kind, Say};
use crate::metal::{Steel, Window};
use crate::physics::hardening::{self, Common, Hardening, Member, common};
use crate::physics::{Spread, critical, martensite, melting};
use crate::units::Celsius;

/// Transformation, hardening and tempering of one or several steels
#[derive(Debug, Args)]
pub(super) struct Flags {
    /// The steels, each with its own --steel: grades, or analyses as "c=0.8 mn=0.4"
    #[arg(long = "steel", value_name = "STEEL", required = true)]
    steels: Vec<String>,
    /// Carbon that all of them hold now, where the billet has evened it out
    #[arg(long, value_name = "PERCENT")]
    carbon: Option<String>,
}

/// Windows that share less than this only touch.
const TOUCH: Celsius = Celsius(3.0);

/// What the windows of several steels have in common.
fn shared(windows: impl Iterator<Item = Option<Window>>) -> Option<Window> {
    let all: Option<Vec<Window>> = windows.collect();
    let common = all?.into_iter().reduce(|a, b| Window {
        low: a.low.max(b.low),
        high: a.high.min(b.high),
    })?;
    (common.low <= common.high).then_some(common)
}

/// The lowest temperature at which any of them is spoiled, welding heat included.
fn limit(steels: &[Steel], carbon: Option<f64>) -> Option<Celsius> {
    let own = |steel: &Steel| {
        let metal = carbon.map_or(steel.nominal, |c| steel.nominal.with_carbon(c));
        melting::limit(&metal)
    };
    steels.iter().map(own).reduce(Celsius::min)
}

/// The hardening of all of them with the carbon that they hold.
fn hardened(steels: &[Steel], carbon: Option<f64>) -> Result<Common, Refused> {
    let members: Vec<Member<'_>> = steels
        .iter()
        .map(|steel| Member {
            name: &steel.grade,
            metal: carbon.map_or(steel.nominal, |c| {
                if steel.nominal.ni >= 50.0 {
                    steel.nominal
                } else {
                    steel.nominal.with_carbon(c)
                }
            }),
            known: steel.hardening(carbon.unwrap_or(steel.nominal.c)),
        })
        .collect();
    Ok(common(&members)?)
}

fn window(say: Say, window: Window) -> String {
    say.span(Kind::Temperature, window.low.0, window.high.0, 3)
}

fn degrees(say: Say, spread: Spread) -> String {
    say.ranged(Kind::Temperature, spread, 3)
}

pub(super) fn ask(flags: &Flags, asked: Asked) -> Result<Answer, Refused> {
    let steels = read::steels("--steel", &flags.steels)?;
    let carbon = flags
        .carbon
        .as_ref()
        .map(|text| read::carbon("--carbon", text))
        .transpose()?;
    let found = hardened(&steels, carbon)?;
    let temper = shared(
        steels
            .iter()
            .filter(|s| !found.soft.contains(&s.grade))
            .map(|s| s.tempering(carbon.unwrap_or(s.nominal.c))),
    );
    let limit = limit(&steels, carbon);
    let say = asked.say();
    let names: Vec<&str> = steels.iter().map(|steel| steel.grade.as_str()).collect();
    let answer = Answer::new("window", "several formulas that disagree")
        .say(words(&names.join(" + "), &found, temper, limit, say))
        .input("steels", json!(names))
        .input("carbon_percent", carbon)
        .figure("harden_low_c", found.window.map(|w| w.low.0))
        .figure("harden_high_c", found.window.map(|w| w.high.0))
        .figure("one_heat_suits_all", found.overlap)
        .figure("temper_low_c", temper.map(|w| w.low.0))
        .figure("temper_high_c", temper.map(|w| w.high.0))
        .figure("never_above_c", limit.map(Celsius::get))
        .range("ac1", "c", found.over_all(|h| h.ac1))
        .range("ac3", "c", found.over_all(|h| h.ac3))
        .range("martensite_start", "c", found.over_all(|h| h.start))
        .range(
            "retained_austenite",
            "percent",
            found.over_all(|h| h.retained.scaled(100.0)),
        )
        .range("as_quenched", "hrc", found.over_all(|h| h.hardness))
        .figure("soft", json!(found.soft))
        .figure(
            "steels",
            Value::Array(found.members.iter().map(member).collect()),
        )
        .by(hardening::LAW)
        .by(critical::LAW)
        .by(martensite::LAW)
        .by(melting::LAW);
    Ok(answer)
}

fn words(
    names: &str,
    found: &Common,
    temper: Option<Window>,
    limit: Option<Celsius>,
    say: Say,
) -> String {
    let mut parts = Vec::new();
    match found.window {
        Some(all) if found.overlap && all.high - all.low < TOUCH => parts.push(format!(
            "harden at {} and no hotter: the windows only touch there",
            say.both(Kind::Temperature, all.low.0, 3)
        )),
        Some(all) if found.overlap => parts.push(format!("harden from {}", window(say, all))),
        Some(all) => parts.push(format!(
            "no one heat suits all; the hottest asks for {} and the others coarsen there",
            say.both(Kind::Temperature, all.low.0, 3)
        )),
        None => parts.push("does not harden".to_owned()),
    }
    if !found.soft.is_empty() && found.window.is_some() {
        let stay = if found.soft.len() == 1 {
            "stays"
        } else {
            "stay"
        };
        parts.push(format!("{} {stay} soft", found.soft.join(" and ")));
    }
    for (name, figure) in [
        ("turns from Ac1", found.over_all(|h| h.ac1)),
        ("to Ac3", found.over_all(|h| h.ac3)),
        ("martensite starts at", found.over_all(|h| h.start)),
    ] {
        if let Some(figure) = figure {
            parts.push(format!("{name} {}", degrees(say, figure)));
        }
    }
    if let Some(kept) = found.over_all(|h| h.retained.scaled(100.0)) {
        parts.push(format!("retained austenite {}", say::shared(kept, "%", 2)));
    }
    if let Some(hard) = found.over_all(|h| h.hardness) {
        parts.push(format!("as quenched {}", say::shared(hard, "HRC", 3)));
    }
    if let Some(temper) = temper {
        parts.push(format!("temper from {}", window(say, temper)));
    }
    if let Some(limit) = limit {
        parts.push(format!(
            "never above {}",
            say.both(Kind::Temperature, limit.0, 3)
        ));
    }
    parts.push("the makers' sheets come first".to_owned());
    format!("{names}: {}", parts.join("; "))
}

/// One steel's part of the JSON.
fn member(found: &Hardening) -> Value {
    let mut own = serde_json::Map::new();
    own.insert("steel".to_owned(), json!(found.name));
    own.insert(
        "harden_low_c".to_owned(),
        json!(say::rounded(found.window.low.0, 9)),
    );
    own.insert(
        "harden_high_c".to_owned(),
        json!(say::rounded(found.window.high.0, 9)),
    );
    own.insert("harden_mark".to_owned(), json!(found.known));
    for (name, unit, figure) in [
        ("ac1", "c", found.ac1),
        ("ac3", "c", found.ac3),
        ("martensite_start", "c", found.start),
        (
            "retained_austenite",
            "percent",
            found.retained.scaled(100.0),
        ),
        ("as_quenched", "hrc", found.hardness),
        ("dissolved_carbon", "percent", found.dissolved),
    ] {
        for (part, value) in [
            ("", figure.best),
            ("_low", figure.low),
            ("_high", figure.high),
        ] {
            own.insert(
                format!("{name}{part}_{unit}"),
                json!(say::rounded(value, 9)),
            );
        }
    }
    Value::Object(own)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::{Catalogue, Mark};

    fn steels(names: &[&str]) -> Vec<Steel> {
        names
            .iter()
            .map(|name| Catalogue::builtin().find(name).unwrap().clone())
            .collect()
    }

    #[test]
    fn the_usual_pair_hardens_in_one_heat() {
        let found = hardened(&steels(&["1084", "15N20"]), None).unwrap();
        assert!(found.overlap);
        // A recalled window is no maker's: it carries the mark of the table of steels.
        for one in &found.members {
            let table = Catalogue::builtin().find(&one.name).unwrap();
            let mark = table.source("austenitise").unwrap().mark;
            assert_eq!(member(one)["harden_mark"], json!(mark));
            assert_ne!(mark, Mark::Sheet);
        }
        let even = hardened(&steels(&["1084", "15N20"]), Some(0.70)).unwrap();
        let by_formula = |m: &Hardening| m.known == Mark::Computed;
        assert!(even.members.iter().any(by_formula));
    }

    #[test]
    fn windows_meet_or_are_nothing() {
        let span = |low: f64, high: f64| {
            Some(Window {
                low: Celsius(low),
                high: Celsius(high),
            })
        };
        let both = shared([span(150.0, 250.0), span(200.0, 300.0)].into_iter()).unwrap();
        assert!(both.low.near(Celsius(200.0), 1e-9) && both.high.near(Celsius(250.0), 1e-9));
        assert!(shared([span(150.0, 180.0), span(200.0, 300.0)].into_iter()).is_none());
        assert!(shared([span(150.0, 180.0), None].into_iter()).is_none());
    }

    #[test]
    fn the_lowest_limit_holds_for_the_stack() {
        let both = limit(&steels(&["1018", "1095"]), None).unwrap();
        let one = limit(&steels(&["1095"]), None).unwrap();
        assert!(both.near(one, 1e-9));
    }
}
