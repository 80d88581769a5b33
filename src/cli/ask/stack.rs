//! A stack of layers as one flag: `1084 4mm + 15N20 2mm`, carried on to a number of layers.

use super::read::{self, Asked};
use super::refused::Refused;
use crate::metal::{Composition, Steel, density_of};
use crate::physics::diffusion::Sequence;
use crate::units::{Density, Mm, parse, show};

/// Most layers that a stack may have.
const MOST: u64 = 1_000_000_000_000;

/// Layers from bottom to top: one sequence, over and over.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stack {
    /// Each steel once, in order of first use.
    pub(super) steels: Vec<Steel>,
    /// Layers in all.
    pub(super) count: u64,
    /// The sequence: place of the steel in `steels`, and thickness.
    once: Vec<(usize, Mm)>,
}

impl Stack {
    /// Reads the flag; with `count` the sequence is carried on, or cut short, to that many layers.
    pub(super) fn read(
        flag: &str,
        text: &str,
        count: Option<&str>,
        asked: Asked,
    ) -> Result<Self, Refused> {
        let mut steels: Vec<Steel> = Vec::new();
        let mut once = Vec::new();
        for part in text.split('+') {
            let (steel, thickness) = layer(flag, part, asked)?;
            let known = steels.iter().position(|held| held.grade == steel.grade);
            let place = known.unwrap_or_else(|| {
                steels.push(steel);
                steels.len() - 1
            });
            once.push((place, thickness));
        }
        let count = match count {
            Some(text) => read::count("--layers", text)?,
            None => once.len() as u64,
        };
        if count > MOST {
            return Err(Refused::say("--layers: more than 1e12 layers are no stack"));
        }
        Ok(Self {
            steels,
            count,
            once,
        })
    }

    /// How often the whole sequence is there, and the layers left over.
    fn rounds(&self) -> (u64, usize) {
        let length = self.once.len().max(1) as u64;
        let rest = usize::try_from(self.count % length).unwrap_or(0);
        (self.count / length, rest)
    }

    /// The first so many layers.
    pub(super) fn first(&self, most: usize) -> Vec<(usize, Mm)> {
        let count = usize::try_from(self.count).unwrap_or(usize::MAX).min(most);
        self.once.iter().copied().cycle().take(count).collect()
    }

    /// Thickness of each steel, in the order of `steels`.
    fn by_steel(&self) -> Vec<Mm> {
        let (whole, rest) = self.rounds();
        #[expect(clippy::cast_precision_loss, reason = "at most 1e12")]
        let whole = whole as f64;
        let mut sums = vec![Mm::ZERO; self.steels.len()];
        for (at, (steel, thickness)) in self.once.iter().enumerate() {
            let times = if at < rest { whole + 1.0 } else { whole };
            if let Some(sum) = sums.get_mut(*steel) {
                *sum += *thickness * times;
            }
        }
        sums
    }

    /// All layers together.
    pub(super) fn height(&self) -> Mm {
        self.by_steel().into_iter().sum()
    }

    /// The same stack drawn or squeezed to another height.
    pub(super) fn at_height(mut self, height: Mm) -> Self {
        let factor = height / self.height();
        for (_, thickness) in &mut self.once {
            *thickness = *thickness * factor;
        }
        self
    }

    /// Share of the height that each steel takes, in the order of `steels`.
    pub(super) fn shares(&self) -> Vec<f64> {
        let whole = self.height();
        self.by_steel().into_iter().map(|own| own / whole).collect()
    }

    /// Mean density.
    pub(super) fn density(&self) -> Density {
        let parts: Vec<(f64, &Steel)> = self.shares().into_iter().zip(&self.steels).collect();
        mixed(&parts)
    }

    /// Mean analysis by volume share, which is close to that by mass.
    pub(super) fn mean(&self) -> Composition {
        let metals = self.steels.iter().map(|steel| steel.nominal);
        Composition::mix(metals.zip(self.shares()))
    }

    /// The layers as the diffusion of carbon knows them, with the carbon of the analyses.
    pub(super) fn sequence(&self) -> Sequence {
        let (whole, rest) = self.rounds();
        let layer = |(steel, thickness): &(usize, Mm)| {
            let carbon = self.steels.get(*steel).map_or(0.0, |own| own.nominal.c);
            Sequence::layer(*steel, *thickness, carbon)
        };
        let round = Sequence::join(self.once.iter().map(layer));
        let left = self.once.iter().take(rest).map(layer);
        if whole == 0 {
            return Sequence::join(left);
        }
        Sequence::join(std::iter::once(round.repeated(whole)).chain(left))
    }

    /// As it reads in a sentence: `9 layers of SAE 1084 and 75Ni8`.
    pub(super) fn words(&self) -> String {
        let names: Vec<&str> = self
            .steels
            .iter()
            .map(|steel| steel.grade.as_str())
            .collect();
        let layers = match self.count {
            1 => "1 layer".to_owned(),
            many => format!("{} layers", show::count(u128::from(many))),
        };
        format!("{layers} of {}", names.join(" and "))
    }
}

/// One layer: a steel, a space, a thickness.
fn layer(flag: &str, text: &str, asked: Asked) -> Result<(Steel, Mm), Refused> {
    let text = text.trim();
    let spaces = text.match_indices(char::is_whitespace).map(|(at, _)| at);
    let split = spaces
        .filter_map(|at| {
            let (name, rest) = text.split_at_checked(at)?;
            let thickness = parse::quantity::<Mm>(rest, asked.units).ok()?;
            Some((name, thickness))
        })
        .next();
    let Some((name, thickness)) = split else {
        return Err(Refused::say(format!(
            "{flag}: '{}' is not a layer; write steel and thickness, as 1084 4mm + 15N20 2mm",
            show::plain(text, 30)
        )));
    };
    if !thickness.is_positive() {
        return Err(Refused::say(format!(
            "{flag}: a layer of {name} has no thickness"
        )));
    }
    Ok((read::steel(flag, name)?, thickness))
}

/// Density of a mixture by volume share of each steel.
pub(super) fn mixed(parts: &[(f64, &Steel)]) -> Density {
    let whole: f64 = parts.iter().map(|(share, _)| share).sum();
    let mass: f64 = parts
        .iter()
        .map(|(share, steel)| share * steel.density.0)
        .sum();
    if whole > 0.0 {
        Density(mass / whole)
    } else {
        density_of(&Composition::default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Units;

    const MM: Asked = Asked { units: Units::Mm };

    #[test]
    fn a_stack_is_read_and_carried_on() {
        let stack = Stack::read("--stack", "SAE 1084 4 mm + 15N20 1/16 in", Some("9"), MM).unwrap();
        assert_eq!(stack.first(100).len(), 9);
        assert_eq!(stack.steels.len(), 2);
        assert!(stack.height().near(Mm(5.0 * 4.0 + 4.0 * 25.4 / 16.0), 1e-9));
        assert!((stack.shares().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(stack.sequence().thickness().near(stack.height(), 1e-9));
        let thin = stack.at_height(Mm(10.0));
        assert!(thin.height().near(Mm(10.0), 1e-9));
    }

    #[test]
    fn a_short_stack_and_a_tall_one() {
        let short = Stack::read("--stack", "1084 4mm + 15N20 2mm", Some("1"), MM).unwrap();
        assert!(short.height().near(Mm(4.0), 1e-12));
        assert!(short.sequence().thickness().near(Mm(4.0), 1e-12));
        let tall = Stack::read("--stack", "1084 4mm + 15N20 2mm", Some("1000001"), MM).unwrap();
        let tall = tall.at_height(Mm(40.0));
        assert!(tall.sequence().thickness().near(Mm(40.0), 1e-6));
    }

    #[test]
    fn an_analysis_may_stand_in_a_layer() {
        let own = Stack::read("--stack", "c=1.2 mn=0.4 4mm + 1018 2mm", None, MM).unwrap();
        assert!((own.steels[0].nominal.c - 1.2).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_stack_is_refused() {
        for (bad, why) in [
            ("1084", "is not a layer"),
            ("1084 4mm +", "is not a layer"),
            ("1084 0mm", "no thickness"),
            ("1085 4mm", "nearest"),
            ("", "is not a layer"),
        ] {
            let said = Stack::read("--stack", bad, None, MM)
                .unwrap_err()
                .text(Units::Mm);
            assert!(said.contains(why), "{bad}: {said}");
        }
        assert!(Stack::read("--stack", "1084 4mm", Some("1000000000000000"), MM).is_err());
    }
}
