//! Tones that the smith sets: how bright a steel comes out of the etch.

use crate::pattern::{Look, Tone};
use crate::plan::PlanSteel;
use crate::units::show;

/// A steel as the smith calls it, and the light that it sends back, 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SetTone {
    steel: String,
    light: f64,
}

/// `STEEL=LIGHT`, light from 0 to 100.
pub(super) fn read(text: &str) -> Result<SetTone, String> {
    let wrong = || "write a steel and its light, 0 (black) to 100 (white), as B=70".to_owned();
    let (steel, light) = text.split_once('=').ok_or_else(wrong)?;
    let light: f64 = light
        .trim()
        .trim_end_matches('%')
        .trim_end()
        .parse()
        .map_err(|_| wrong())?;
    if steel.trim().is_empty() || !(0.0..=100.0).contains(&light) {
        return Err(wrong());
    }
    Ok(SetTone {
        steel: steel.trim().to_owned(),
        light: light / 100.0,
    })
}

impl SetTone {
    /// True for the steel meant: its letter, the plan's name for it, its grade or a trade name.
    fn means(&self, one: &PlanSteel) -> bool {
        let alike = |name: &str| name.eq_ignore_ascii_case(&self.steel);
        alike(&one.letter.to_string())
            || alike(&one.key)
            || alike(&one.steel.grade)
            || one.steel.aliases.iter().any(|alias| alike(alias))
    }

    /// Refuses a steel that the plan does not have.
    pub(super) fn check(&self, steels: &[PlanSteel]) -> Result<(), String> {
        if steels.iter().any(|one| self.means(one)) {
            return Ok(());
        }
        let names: Vec<String> = steels
            .iter()
            .map(|one| format!("{} ({})", one.letter, one.steel.grade))
            .collect();
        Err(format!(
            "--tone: `{}` is not a steel of this plan; it has {}",
            show::plain(&self.steel, 40),
            names.join(", ")
        ))
    }

    /// Puts the tone in place of the one from the analysis.
    pub(super) fn put(&self, steels: &[PlanSteel], look: &mut Look) {
        for (one, tone) in steels.iter().zip(&mut look.tones) {
            if self.means(one) {
                *tone = Tone {
                    kept: self.light,
                    carbon: 0.0,
                };
            }
        }
    }
}
