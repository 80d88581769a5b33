//! Windows and soaks of the steps against the steels' own: the table's, or the maker's sheet in the plan.

use super::{at_step, before, heat::inside};
use crate::billet::{Billet, Fire, Kind};
use crate::metal::{Composition, Steel, Window};
use crate::physics::scale::{self, Growth};
use crate::physics::section::{SHOP_AIR, Section, soak};
use crate::plan::{Diagnostic, HeatWindow, Level, Plan, Step, Walk};
use crate::units::{Celsius, Mm, Seconds, show};

/// Below this a weld does not take, flux and press or not. Common practice, no source: 1050 C and more.
const WELDS: Celsius = Celsius(1000.0);
/// How far past a window of the steels is said; colours are worth 50 C. Common practice, no source.
const PAST: Celsius = Celsius(25.0);
/// The same over the top of forging: welding heat and hot twists go there, burning is looked after apart.
const PAST_FORGING: Celsius = Celsius(50.0);
/// Steel with less carbon may be worked colder without harm.
const HARD: f64 = 0.3;
/// Least of one cycle of a temper. Common practice, no source: an hour or two.
const TEMPER: Seconds = Seconds(1800.0);
/// Least of an anneal. Common practice, no source: an hour and more.
const ANNEAL: Seconds = Seconds(900.0);
/// Longest soak that is passed over at a heat where steel scales. Common practice, no source.
const OVERLONG: Seconds = Seconds(3600.0);
/// How near the oven's heat the middle of a blade shall come in its cycle.
const NEAR: Celsius = Celsius(15.0);
/// Diffusivity of heat in hot steel, m2/s: EN 1993-1-2, 27 W/m/K over 7850 kg/m3 and 650 J/kg/K.
const DIFFUSIVITY: f64 = 27.0 / (7850.0 * 650.0);

pub(super) fn review(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let first = plan.first_billet();
    for (at, step) in plan.steps.iter().enumerate() {
        let billet = before(plan, walk, &first, at);
        let billet = billet.as_deref();
        let steels = inside(plan, billet);
        if let Some(window) = step.window {
            contradicted(plan, step, window, &steels, found);
        }
        if let Some(billet) = billet {
            soaked(plan, step, billet, found);
            overlong(plan, step, &steels, found);
        }
    }
}

/// The lowest of the low ends and the highest of the high ends, each with its steel.
type Ends<'s> = ((&'s Steel, Celsius), (&'s Steel, Celsius));

/// Of the steels that have such a window: the end that binds first on either side, by `strict` the
/// narrowest of all, else the widest.
fn ends<'s>(
    steels: &[&'s Steel],
    of: fn(&Steel) -> Option<Window>,
    strict: bool,
) -> Option<Ends<'s>> {
    let all = steels.iter().filter_map(|steel| Some((*steel, of(steel)?)));
    let lows = all.clone().map(|(steel, window)| (steel, window.low));
    let highs = all.map(|(steel, window)| (steel, window.high));
    let by = |a: &(&Steel, Celsius), b: &(&Steel, Celsius)| a.1.0.total_cmp(&b.1.0);
    if strict {
        lows.max_by(by).zip(highs.min_by(by))
    } else {
        lows.min_by(by).zip(highs.max_by(by))
    }
}

fn contradicted(
    plan: &Plan,
    step: &Step,
    window: HeatWindow,
    steels: &[&Steel],
    found: &mut Vec<Diagnostic>,
) {
    let text = |at: Celsius| plan.units.temperature(at);
    let mut say = |what: String, remedy: &str| {
        found.push(at_step(Level::Warning, step, "window", what, remedy));
    };
    let own = format!("'{} to {}'", text(window.low), text(window.high));
    let hard: Vec<&Steel> = steels
        .iter()
        .copied()
        .filter(|steel| steel.nominal.c >= HARD)
        .collect();
    match step.kind().row().fire {
        Fire::Welding if window.low < WELDS => say(
            format!(
                "{own} lets a weld be set under {}, where it hardly takes",
                text(WELDS)
            ),
            "raise the window: steel welds from about 1050 C [1920 F], in a press or by hand",
        ),
        Fire::Forging => {
            let Some(((cold, low), _)) = ends(&hard, |steel| steel.forging, true) else {
                return;
            };
            if window.low < low {
                say(
                    format!(
                        "{own} goes under {}, where {} is no longer forged",
                        text(low),
                        cold.grade
                    ),
                    "raise the low end: steel that is worked colder cracks",
                );
            }
            let top = ends(steels, |steel| steel.forging, true).map(|(_, high)| high);
            if let Some((hot, high)) = top.filter(|(_, high)| window.high > *high + PAST_FORGING) {
                say(
                    format!(
                        "{own} goes over {}, the top of forging of {}",
                        text(high),
                        hot.grade
                    ),
                    "lower the top: grain grows, and carbon and metal go to scale",
                );
            }
        }
        Fire::Normalising => {
            let Some(((cold, low), (hot, high))) = ends(&hard, |steel| steel.normalise, false)
            else {
                return;
            };
            if window.high > high + PAST {
                say(
                    format!(
                        "{own} goes over the normalising of {}, to {}",
                        hot.grade,
                        text(high)
                    ),
                    "lower the top: it coarsens the grain that it should make fine",
                );
            } else if window.high < low - PAST {
                say(
                    format!(
                        "{own} stays under the normalising of {}, from {}",
                        cold.grade,
                        text(low)
                    ),
                    "raise the top, or call the step anneal",
                );
            }
        }
        Fire::Tempering => {
            let Some(((cold, low), (hot, high))) = ends(&hard, |steel| steel.temper, false) else {
                return;
            };
            if window.high < low - PAST {
                say(
                    format!(
                        "{own} stays under the tempering of {}, from {}",
                        cold.grade,
                        text(low)
                    ),
                    "raise the window: the blade stays brittle",
                );
            } else if window.high > high + PAST {
                say(
                    format!(
                        "{own} goes over the tempering of {}, to {}",
                        hot.grade,
                        text(high)
                    ),
                    "lower the window, or take the hardness there from the maker's sheet",
                );
            }
        }
        Fire::None | Fire::Welding | Fire::Annealing | Fire::Hardening => {}
    }
}

/// A soak that is over before the heat is through.
fn soaked(plan: &Plan, step: &Step, billet: &Billet, found: &mut Vec<Diagnostic>) {
    let Some(given) = step.soak.filter(|_| step.kind() != Kind::Etch) else {
        return;
    };
    let (width, thickness) = (billet.bar.width, billet.bar.thickness);
    let through = "give the soak longer: the middle is not at heat yet";
    let half = width.min(thickness).metres() / 2.0;
    let middle = Seconds(half * half / DIFFUSIVITY);
    let (needs, what, remedy) = if step.kind() == Kind::Temper {
        let oven = plan.window(step).map(|window| window.high);
        let bar = Section { width, thickness };
        let hot = oven.and_then(|oven| soak(bar, SHOP_AIR, oven, NEAR).ok());
        let needs = hot.unwrap_or(TEMPER).max(TEMPER);
        (needs, "one cycle of a temper", through)
    } else if step.kind() == Kind::Anneal {
        let remedy = "give the soak longer: the steel is not soft yet";
        (middle.max(ANNEAL), "an anneal", remedy)
    } else if step.kind().is_hot() {
        (middle, "heat to come to the middle", through)
    } else {
        return;
    };
    if given >= needs {
        return;
    }
    let size = |mm: Mm| plan.units.length(mm);
    found.push(at_step(
        Level::Warning,
        step,
        "soak",
        format!(
            "a soak of {}, and {what} takes about {} in {} x {} (estimate)",
            show::span(given),
            show::span(needs),
            size(width),
            size(thickness)
        ),
        remedy,
    ));
}

/// A soak at forging heat or more that eats the metal: an hour is more than any section here takes.
fn overlong(plan: &Plan, step: &Step, steels: &[&Steel], found: &mut Vec<Diagnostic>) {
    let scales = matches!(
        step.kind().row().fire,
        Fire::Welding | Fire::Forging | Fire::Hardening
    );
    let (Some(given), Some(window)) = (step.soak, plan.window(step)) else {
        return;
    };
    if !scales || given <= OVERLONG {
        return;
    }
    let parts = steels
        .iter()
        .map(|steel| (steel.nominal, 1.0 / steels.len() as f64));
    let mut face = Growth::clean(&Composition::mix(parts));
    face.hold(window.high, given, scale::Fire::Neutral);
    let lost = Mm(face.metal().best);
    found.push(at_step(
        Level::Warning,
        step,
        "soak",
        format!(
            "a soak of {} at up to {} takes ~{} off each face as scale (estimate), and carbon with it",
            show::span(given),
            plan.units.temperature(window.high),
            plan.units.fine(lost)
        ),
        "soak until the piece is hot through, mostly 5 to 30 min, or close it off from the air by the maker's sheet",
    ));
}

#[cfg(test)]
mod tests {
    use crate::plan::check;

    fn found(step: &str) -> Vec<String> {
        let text = format!(
            "title = \"T\"\n[goal]\npattern = \"random\"\nbands = [2, 900]\n[goal.blade]\nlength = 100\n\
             width = 20\nspine = 3\n[steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\n[shop]\nhand = true\n\
             [stack]\nwidth = 40\nlength = 200\npieces = [\"A 5 mm\", \"B 5 mm\", \"A 5 mm\"]\n\
             [[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\nwindow = [\"1150 C\", \"1200 C\"]\n{step}"
        );
        check(&text).found.iter().map(ToString::to_string).collect()
    }

    fn says(step: &str, words: &str) {
        let found = found(step);
        assert!(
            found.iter().any(|one| one.contains(words)),
            "{step}: {found:#?}"
        );
    }

    // The windows of SAE 1084 and 75Ni8 in shared/steels.toml, each with its source there.
    #[test]
    fn windows_that_the_steels_contradict_are_said() {
        says(
            "[[step]]\nkind = \"draw\"\nthickness = 12\nwindow = [\"600 C\", \"1100 C\"]\n",
            "goes under 815 C, where",
        );
        says(
            "[[step]]\nkind = \"draw\"\nthickness = 12\nwindow = [\"900 C\", \"1205 C\"]\n",
            "goes over 1150 C, the top of forging of 75Ni8",
        );
        says(
            "[[step]]\nkind = \"normalise\"\nwindow = [\"1100 C\", \"1180 C\"]\n",
            "goes over the normalising of SAE 1084, to 870 C",
        );
        let tail = |window: &str, soak: &str| {
            format!(
                "[[step]]\nkind = \"rough-grind\"\n[[step]]\nkind = \"harden\"\n[[step]]\nkind = \"temper\"\n\
                 window = {window}\nsoak = \"{soak}\"\n"
            )
        };
        let cold = found(&tail("[\"50 C\", \"55 C\"]", "2 h"));
        assert!(
            cold.iter()
                .any(|one| one.contains("stays under the tempering of")),
            "{cold:#?}"
        );
        says(
            &tail("[\"500 C\", \"520 C\"]", "2 h"),
            "goes over the tempering of",
        );
        says(
            &tail("[\"195 C\", \"205 C\"]", "1 s"),
            "one cycle of a temper takes about",
        );
    }

    #[test]
    fn a_soak_of_hours_is_said_with_what_it_takes() {
        let weld = |soak: &str| {
            format!(
                "[[step]]\nkind = \"weld\"\nwindow = [\"1150 C\", \"1160 C\"]\nsoak = \"{soak}\"\n"
            )
        };
        // In air 0.25 mm in 10 min at 1200 C, so 0.21 at 1160; twelve times that in 144 times the time, and 0.45 of it
        // in a fire near neutral.
        says(
            &weld("24 h"),
            "a soak of 24 h at up to 1160 C takes ~1.1 mm",
        );
        says(&weld("5 h"), "off each face as scale");
        let fine = found(&weld("20 min"));
        assert!(
            !fine
                .iter()
                .any(|one| one.contains("off each face as scale")),
            "{fine:?}"
        );
    }

    #[test]
    fn a_cold_weld_and_a_short_soak_are_said() {
        says(
            "[[step]]\nkind = \"weld\"\nwindow = [\"850 C\", \"950 C\"]\n",
            "hardly takes",
        );
        // Half of 15 mm squared over 5.3 mm2/s is 10.6 s, worked by hand.
        says(
            "[[step]]\nkind = \"weld\"\nwindow = [\"1150 C\", \"1200 C\"]\nsoak = \"2 s\"\n",
            "takes about",
        );
        says(
            "[[step]]\nkind = \"rough-grind\"\n[[step]]\nkind = \"anneal\"\nsoak = \"10 s\"\n",
            "an anneal takes about",
        );
    }

    #[test]
    fn the_samples_say_nothing_of_the_kind() {
        for name in [
            "kitchen-pair",
            "ladder-hunter",
            "three-layer",
            "turned-w-petty",
        ] {
            let text = std::fs::read_to_string(format!("plans/{name}.toml")).unwrap();
            let found = check(&text).found;
            let of = |key: &str| {
                found
                    .iter()
                    .filter(|one| one.key.as_deref() == Some(key))
                    .count()
            };
            assert_eq!(of("window") + of("soak"), 0, "{name}: {found:#?}");
        }
    }
}
