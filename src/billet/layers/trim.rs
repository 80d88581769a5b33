//! Taking layers off the bottom and the top.

use super::{Layers, Shape};
use crate::billet::Refusal;
use crate::units::Mm;

/// What a double cannot tell from the whole height, with room for a dozen roundings.
const BLUR: f64 = 1e-14;
/// A slice thinner than this share of the thinnest layer near it is dropped.
const SLIVER: f64 = 1e-9;

/// One step down the path of a cut, with what is needed to come back up.
enum Step<'a> {
    /// The parts on the kept side of the one that is cut.
    Beside(&'a [Layers]),
    /// Whole copies on the kept side of the one that is cut.
    Copies(&'a Layers, u64),
    /// Upside down.
    Mirror,
    Scale(f64),
}

/// The end of the sequence that is cut.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Face {
    Bottom,
    Top,
}

impl Face {
    fn other(self) -> Self {
        match self {
            Self::Bottom => Self::Top,
            Self::Top => Self::Bottom,
        }
    }
}

impl Layers {
    /// With `bottom` taken off below and `top` taken off above.
    ///
    /// # Errors
    /// [`Refusal`] on `per-face` when nothing would be left, or an amount is below zero.
    pub fn trimmed(&self, bottom: Mm, top: Mm) -> Result<Self, Refusal> {
        let refuse = |what: String| Refusal {
            what,
            remedy: "take less off".to_owned(),
            key: Some("per-face"),
        };
        if !(bottom.0.is_finite() && top.0.is_finite() && bottom.0 >= 0.0 && top.0 >= 0.0) {
            return Err(refuse(
                "what is taken off a face must be a number from 0 up".to_owned(),
            ));
        }
        let left = self.cut(bottom.0, top.0);
        if bottom + top >= self.height() || left.bands() == 0 {
            return Err(refuse(format!(
                "{:.3} mm off the layers leaves nothing of {:.3} mm",
                bottom.0 + top.0,
                self.height().0
            )));
        }
        Ok(left)
    }

    /// As [`Layers::trimmed`], empty when nothing is left; lengths in mm.
    pub(super) fn cut(&self, bottom: f64, top: f64) -> Self {
        let blur = self.0.sum.height * BLUR;
        self.off(Face::Bottom, bottom, blur)
            .off(Face::Top, top, blur)
    }

    /// Takes `amount` off one face. `blur` is the smallest length that means anything.
    fn off(&self, face: Face, amount: f64, blur: f64) -> Self {
        let mut path = Vec::new();
        let (mut here, mut face, mut amount, mut blur) = (self, face, amount, blur);
        let cut = loop {
            let sum = &here.0.sum;
            let sliver = blur + SLIVER * sum.thin();
            if sum.bands == 0 || amount.is_nan() || amount <= sliver {
                break here.clone();
            }
            if sum.height - amount <= sliver {
                break Self::pile(Vec::new());
            }
            match &here.0.shape {
                Shape::Leaf => break Self::leaf(sum.first.0, Mm(sum.height - amount)),
                Shape::Cat(cat) => {
                    let Some((at, rest)) = cut_part(&cat.parts, face, amount, blur) else {
                        break Self::pile(Vec::new());
                    };
                    let Some(part) = cat.parts.get(at) else {
                        break Self::pile(Vec::new());
                    };
                    let kept = match face {
                        Face::Bottom => cat.parts.get(at + 1..),
                        Face::Top => cat.parts.get(..at),
                    };
                    path.push(Step::Beside(kept.unwrap_or_default()));
                    here = part;
                    amount = rest;
                }
                Shape::Rep(of, times) => {
                    let height = of.0.sum.height;
                    let gone = super::query::whole_below(amount, height, *times);
                    #[expect(
                        clippy::cast_possible_truncation,
                        clippy::cast_sign_loss,
                        reason = "a whole number from 0 to times - 1"
                    )]
                    let kept = times.saturating_sub(1).saturating_sub(gone as u64);
                    path.push(Step::Copies(of, kept));
                    here = of;
                    amount -= gone * height;
                }
                Shape::Mir(of) => {
                    path.push(Step::Mirror);
                    here = of;
                    face = face.other();
                }
                Shape::Scale(of, factor) => {
                    path.push(Step::Scale(*factor));
                    here = of;
                    amount /= factor;
                    blur /= factor;
                }
            }
        };
        back_up(path, face, cut)
    }
}

/// The part in which a cut from one face ends, and how much of it goes. None when all goes.
fn cut_part(parts: &[Layers], face: Face, amount: f64, blur: f64) -> Option<(usize, f64)> {
    let mut left = amount;
    for step in 0..parts.len() {
        let at = match face {
            Face::Bottom => step,
            Face::Top => parts.len() - 1 - step,
        };
        let sum = &parts.get(at)?.0.sum;
        if left < sum.height - blur - SLIVER * sum.thin() {
            return Some((at, left));
        }
        left -= sum.height;
    }
    None
}

/// Puts the kept neighbours back around what the path led to.
fn back_up(path: Vec<Step<'_>>, face: Face, cut: Layers) -> Layers {
    let (mut face, mut cut) = (face, cut);
    for step in path.into_iter().rev() {
        cut = match (step, face) {
            (Step::Beside(above), Face::Bottom) => {
                Layers::pile(std::iter::once(cut).chain(above.iter().cloned()).collect())
            }
            (Step::Beside(under), Face::Top) => {
                Layers::pile(under.iter().cloned().chain(std::iter::once(cut)).collect())
            }
            (Step::Copies(of, times), Face::Bottom) => Layers::pile(vec![cut, of.repeat(times)]),
            (Step::Copies(of, times), Face::Top) => Layers::pile(vec![of.repeat(times), cut]),
            (Step::Mirror, _) => {
                face = face.other();
                cut.mirrored()
            }
            (Step::Scale(factor), _) => cut.scaled(factor),
        };
    }
    cut
}
