//! Trips to the fire where the plan names none: from size, machine and cooling.
//!
//! Drawing takes so much of the section a heat; forging to shape strikes so much of the faces a second in
//! the seconds that a heat leaves. Both, and how hand, hammer and press differ, are common practice, no
//! source, for a billet of 1 to 1.5 kg; the shop's own journals correct them.

use super::{HeatWindow, Machine, Plan, Step, dry_run};
use crate::billet::{Billet, Move, Part, Sizes};
use crate::physics::heats::{AT_WORK, radiation_time};
use crate::units::{Celsius, Grams, Mm, Seconds};

/// Where a step is worked when neither plan nor steels say. Common practice, no source.
const WINDOW: HeatWindow = HeatWindow {
    low: Celsius(850.0),
    high: Celsius(1050.0),
};
/// Longest that a heat is worked, however thick the piece.
const LONGEST: Seconds = Seconds(60.0);
/// Most heats that are ever expected of a step.
const MOST: f64 = 500.0;

/// Log of area that a heat by hand takes off, and the hammer that does it. Common practice, no source.
const HAND: f64 = 0.065;
const HAND_HAMMER: Grams = Grams(2000.0);
/// The ram that the figures of a hammer are for.
const RAM: Grams = Grams(25_000.0);

impl Machine {
    /// Log of area taken off in one heat of a bar of 1 to 2 kg: 0.12 to 0.20 under a machine, more under
    /// a press, and 0.05 to 0.08 by hand. A ram of 25 kg has 0.14; one as light as a hand hammer does what a hand
    /// does, and more with the logarithm of its mass.
    #[must_use]
    pub fn gain(self) -> f64 {
        match self {
            Self::Hand => HAND,
            Self::Hammer { ram } => {
                let over = (ram / HAND_HAMMER).max(1.0).ln() / (RAM / HAND_HAMMER).ln();
                (HAND + (0.14 - HAND) * over).min(0.20)
            }
            Self::Press { .. } => 0.16,
        }
    }

    /// Minutes of one heat of forging over those under a press. A hammer's quick blows leave the piece
    /// hotter, so that it comes back sooner; by hand more of each heat goes on straightening. The heats
    /// themselves differ more: [`Self::gain`].
    #[must_use]
    pub fn pace(self) -> f64 {
        match self {
            Self::Hand => 1.1,
            Self::Hammer { .. } => 0.9,
            Self::Press { .. } => 1.0,
        }
    }

    /// Face struck in a second when forging to shape, cm2: a blow a second by hand, several under a
    /// hammer of which most are light, slow but wide bites under a press.
    fn strikes(self) -> f64 {
        match self {
            Self::Hand => 2.0,
            Self::Hammer { .. } => 3.0,
            Self::Press { .. } => 2.5,
        }
    }
}

/// Heats to draw a section of one area to another, at least one.
#[must_use]
pub fn draw_heats(machine: Machine, from: f64, to: f64) -> u32 {
    let ratio = (from / to).max(1.0);
    whole(ratio.ln() / machine.gain())
}

/// Heats to forge one part of one knife to its sizes; `bar` has width, thickness and length where the part
/// names none.
#[must_use]
pub fn forge_heats(
    machine: Machine,
    part: Part,
    to: &Sizes,
    bar: [Mm; 3],
    window: HeatWindow,
) -> u32 {
    let [width, thickness, length] = bar;
    let width = to.width.unwrap_or(width);
    let thickness = to.thickness.unwrap_or(thickness);
    let length = to.length.unwrap_or(length);
    // How often the faces are gone over, and the least heats that a part takes.
    let (passes, least) = match part {
        Part::Tang => (2.0, 2),
        Part::Bolster => (3.0, 3),
        Part::Blade => (2.0, 3),
        // Bevels are forged from the edge up: two passes over two thirds of the height.
        Part::Bevels => (1.3, 3),
    };
    let seconds = radiation_time(thickness, width, window.high, window.low)
        .map_or(LONGEST.0, |time| (time.0 * AT_WORK).clamp(3.0, LONGEST.0));
    let faces = (width * length).0 / 100.0;
    whole(passes * faces / (machine.strikes() * seconds)).max(least)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a few dozen heats"
)]
fn whole(heats: f64) -> u32 {
    (heats - 1e-9).ceil().clamp(1.0, MOST) as u32
}

/// Gives the steps that name no heats those that they take.
pub(super) fn estimate(plan: &mut Plan) {
    let open = |step: &Step| step.kind().is_hot() && step.places.get("heats").is_none();
    if !plan.steps.iter().any(open) {
        return;
    }
    let first = plan.first_billet();
    let walk = dry_run(plan, 0, &first);
    let mut before = &first;
    let mut found = Vec::with_capacity(plan.steps.len());
    for (at, step) in plan.steps.iter().enumerate() {
        let after = walk.rows.get(at).map_or(before, |row| &row.billet);
        let own = before.in_hand(&step.bar);
        found.push(open(step).then(|| heats(plan, step, &own, after)));
        before = after;
    }
    for (step, heats) in plan.steps.iter_mut().zip(found) {
        step.heats = heats.unwrap_or(step.heats);
    }
}

/// What one step takes, for every piece on the bench.
fn heats(plan: &Plan, step: &Step, before: &Billet, after: &Billet) -> u32 {
    let machine = plan.shop.machine;
    let area = |billet: &Billet| (billet.bar.width * billet.bar.thickness).0;
    let drawn = || draw_heats(machine, area(before), area(after));
    // The figures of the kinds are those of a machine; by hand half as many again.
    let usual = match machine {
        Machine::Hand => step.kind().row().heats.saturating_mul(3).div_ceil(2),
        Machine::Press { .. } | Machine::Hammer { .. } => step.kind().row().heats,
    };
    let one = match &step.made {
        // One fire holds every piece.
        Move::Normalise { cycles, .. } => return *cycles,
        Move::Anneal { .. } => return 1,
        Move::Harden => 1,
        Move::Forge { part, to, .. } => {
            let window = plan.window(step).unwrap_or(WINDOW);
            let length = match part {
                Part::Tang => plan.goal.tang.map(|tang| tang.length),
                Part::Bolster => plan.goal.bolster.map(|bolster| bolster.length),
                Part::Blade | Part::Bevels => None,
            };
            let length = length.unwrap_or(plan.goal.blade.length);
            let bar = [before.bar.width, before.bar.thickness, length];
            forge_heats(machine, *part, to, bar, window)
        }
        Move::Draw { .. } => drawn().max(2),
        Move::Square { .. } | Move::CornerCrush { .. } => drawn().max(usual),
        _ => usual,
    };
    one.saturating_mul(before.pieces.max(1)).min(500)
}

#[cfg(test)]
mod tests {
    use super::{draw_heats, forge_heats};
    use crate::billet::{Part, Sizes};
    use crate::plan::{HeatWindow, Machine, Step, read};
    use crate::units::{Celsius, Grams, Kilonewtons, Mm};

    const PRESS: Machine = Machine::Press {
        force: Kilonewtons(222.0),
    };
    const HAMMER: Machine = Machine::Hammer {
        ram: Grams(25_000.0),
    };
    const WINDOW: HeatWindow = HeatWindow {
        low: Celsius(850.0),
        high: Celsius(1050.0),
    };

    /// A chef's blade of 210 mm out of a 5 mm bar.
    fn blade(machine: Machine) -> u32 {
        let to = Sizes {
            width: Some(Mm(44.0)),
            thickness: Some(Mm(4.0)),
            length: Some(Mm(213.0)),
        };
        forge_heats(
            machine,
            Part::Blade,
            &to,
            [Mm(45.0), Mm(5.0), Mm(260.0)],
            WINDOW,
        )
    }

    // Common practice, no source: 6 to 14 heats by hand for the outline of a kitchen blade, half to three
    // quarters of that under a hammer; four in all, as it was, no smith believes.
    #[test]
    fn forging_a_blade_takes_the_heats_it_takes() {
        let (hand, hammer, press) = (blade(Machine::Hand), blade(HAMMER), blade(PRESS));
        assert!((6..=14).contains(&hand), "{hand}");
        assert!(hammer < press && press < hand, "{hammer} {press} {hand}");
        assert!(hammer * 2 >= hand, "{hammer} {hand}");
    }

    // ln(1680/560) is 1.0986: seven gains of 0.16 and 17 of 0.065, by hand.
    #[test]
    fn hand_hammer_and_press_draw_in_different_heats() {
        assert_eq!(draw_heats(PRESS, 1680.0, 560.0), 7);
        assert_eq!(draw_heats(HAMMER, 1680.0, 560.0), 8);
        assert_eq!(draw_heats(Machine::Hand, 1680.0, 560.0), 17);
        assert_eq!(draw_heats(PRESS, 100.0, 100.0), 1);
    }

    fn heats(shop: &str) -> Vec<(String, u32)> {
        let text = std::fs::read_to_string("plans/kitchen-pair.toml").unwrap();
        let text = text.replace("press = \"25 t\"\ndie = \"25 mm\"\n", shop);
        // What its smith reckons for the blades is left to the estimate.
        let text = text.replace("heats = 10\n", "");
        let (plan, _) = read(&text).unwrap();
        let hot = |step: &&Step| step.kind().is_hot();
        let all = plan.steps.iter().filter(hot);
        all.map(|step| (step.id.0.clone(), step.heats)).collect()
    }

    #[test]
    fn what_the_plan_names_stands_and_two_blanks_take_twice_as_many() {
        let pressed = heats("press = \"25 t\"\n");
        let by_hand = heats("hand = true\n");
        let of =
            |all: &[(String, u32)], id: &str| all.iter().find(|(step, _)| step == id).unwrap().1;
        assert_eq!(of(&by_hand, "draw-1"), 6);
        assert_eq!(of(&pressed, "draw-1"), 6);
        for id in ["forge-1", "forge-2", "forge-3"] {
            let (hand, press) = (of(&by_hand, id), of(&pressed, id));
            assert!(
                hand >= press && press % 2 == 0 && press >= 4,
                "{id}: {hand} {press}"
            );
        }
        assert!(of(&by_hand, "forge-2") > of(&pressed, "forge-2"));
        assert_eq!(of(&pressed, "harden-1"), 2);
        assert_eq!(of(&pressed, "normalise-1"), 3);
    }
}
