//! A stack of layers as one flag: `1084 4mm + 15N20 2mm`, carried on to a number of layers.

use super::mass;
use super::read::{self, Asked};
use super::refused::Refused;
use crate::metal::{Composition, Steel};
use crate::units::{Density, Mm, parse, show};

/// Most layers that are worked out one by one.
const MOST: u64 = 100_000;

/// Layers from bottom to top.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stack {
    /// Each steel once, in order of first use.
    pub(super) steels: Vec<Steel>,
    /// Place of the steel in `steels`, and thickness.
    pub(super) layers: Vec<(usize, Mm)>,
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
            return Err(Refused::say(format!(
                "--layers: {count} is more than the {MOST} that are worked out; ask for one repeat of the stack"
            )));
        }
        let wanted = usize::try_from(count).unwrap_or(usize::MAX);
        let layers = once.iter().copied().cycle().take(wanted).collect();
        Ok(Self { steels, layers })
    }

    /// All layers together.
    pub(super) fn height(&self) -> Mm {
        self.layers.iter().map(|(_, thickness)| *thickness).sum()
    }

    /// Share of the height that each steel takes, in the order of `steels`.
    pub(super) fn shares(&self) -> Vec<f64> {
        let whole = self.height();
        let of = |place: usize| -> Mm {
            let own = self.layers.iter().filter(|(steel, _)| *steel == place);
            own.map(|(_, thickness)| *thickness).sum()
        };
        (0..self.steels.len())
            .map(|place| of(place) / whole)
            .collect()
    }

    /// Mean density.
    pub(super) fn density(&self) -> Density {
        let parts: Vec<(f64, &Steel)> = self.shares().into_iter().zip(&self.steels).collect();
        mass::mixed(&parts)
    }

    /// Mean analysis by volume share, which is close to that by mass.
    pub(super) fn mean(&self) -> Composition {
        let mut mean = Composition::default();
        for (share, steel) in self.shares().into_iter().zip(&self.steels) {
            let own = &steel.nominal;
            for (sum, part) in [
                (&mut mean.c, own.c),
                (&mut mean.mn, own.mn),
                (&mut mean.si, own.si),
                (&mut mean.cr, own.cr),
                (&mut mean.ni, own.ni),
                (&mut mean.mo, own.mo),
                (&mut mean.v, own.v),
                (&mut mean.w, own.w),
                (&mut mean.cu, own.cu),
                (&mut mean.p, own.p),
                (&mut mean.s, own.s),
            ] {
                *sum += share * part;
            }
        }
        mean
    }

    /// As it reads in a sentence: `9 layers of SAE 1084 and 75Ni8`.
    pub(super) fn words(&self) -> String {
        let names: Vec<&str> = self
            .steels
            .iter()
            .map(|steel| steel.grade.as_str())
            .collect();
        let layers = match self.layers.len() {
            1 => "1 layer".to_owned(),
            many => format!("{many} layers"),
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
            let thickness = parse::length(rest, asked.units.default_length()).ok()?;
            Some((name, thickness))
        })
        .next();
    let Some((name, thickness)) = split else {
        return Err(Refused::say(format!(
            "{flag}: '{}' is no layer; write steel and thickness, as 1084 4mm + 15N20 2mm",
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Units;

    const MM: Asked = Asked { units: Units::Mm };

    #[test]
    fn a_stack_is_read_and_carried_on() {
        let stack = Stack::read("--stack", "SAE 1084 4 mm + 15N20 1/16 in", Some("9"), MM).unwrap();
        assert_eq!(stack.layers.len(), 9);
        assert_eq!(stack.steels.len(), 2);
        assert!(stack.height().near(Mm(5.0 * 4.0 + 4.0 * 25.4 / 16.0), 1e-9));
        assert!((stack.shares().iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_stack_is_refused() {
        for (bad, why) in [
            ("1084", "is no layer"),
            ("1084 4mm +", "is no layer"),
            ("1084 0mm", "no thickness"),
            ("1085 4mm", "nearest"),
            ("", "is no layer"),
        ] {
            let said = Stack::read("--stack", bad, None, MM)
                .unwrap_err()
                .text(Units::Mm);
            assert!(said.contains(why), "{bad}: {said}");
        }
        assert!(Stack::read("--stack", "1084 4mm", Some("1000000"), MM).is_err());
    }
}
