//! A scale bar in mm and one in inches, of round lengths that fit.

use crate::units::Mm;

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bar {
    /// Length on the sheet, px.
    pub(crate) px: f64,
    /// Length and unit, as `20 mm` or `3/4 in`.
    pub(crate) words: String,
}

/// The longest round bar of each kind that fits into `most` px.
pub(crate) fn bars(mm_per_px: Mm, most: f64) -> [Bar; 2] {
    let room = mm_per_px.0 * most;
    [metric(room, mm_per_px.0), imperial(room, mm_per_px.0)]
}

fn metric(room: f64, mm_per_px: f64) -> Bar {
    let mut best = (0.01, "0.01 mm".to_owned());
    for power in -2..=3_i32 {
        for step in [1.0, 2.0, 5.0] {
            let mm = step * 10.0_f64.powi(power);
            if mm <= room {
                let places = usize::try_from(-power.min(0)).unwrap_or(0);
                best = (mm, format!("{mm:.places$} mm"));
            }
        }
    }
    Bar {
        px: best.0 / mm_per_px,
        words: best.1,
    }
}

fn imperial(room: f64, mm_per_px: f64) -> Bar {
    let parts = [64, 32, 16, 8, 4, 2].map(|n| (1.0 / f64::from(n), format!("1/{n} in")));
    let wholes = [1, 2, 3, 6, 12, 24, 36].map(|n| (f64::from(n), format!("{n} in")));
    let (inch, words) = parts
        .into_iter()
        .chain([(0.75, "3/4 in".to_owned())])
        .chain(wholes)
        .filter(|(inch, _)| Mm::from_inch(*inch).0 <= room)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((0.001, "1/1000 in".to_owned()));
    Bar {
        px: Mm::from_inch(inch).0 / mm_per_px,
        words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn round_lengths_that_fit() {
        let [mm, inch] = bars(Mm(0.1), 300.0);
        assert_eq!((mm.words.as_str(), inch.words.as_str()), ("20 mm", "1 in"));
        assert!((mm.px - 200.0).abs() < 1e-9 && (inch.px - 254.0).abs() < 1e-9);
        let [mm, inch] = bars(Mm(0.002), 200.0);
        assert_eq!(
            (mm.words.as_str(), inch.words.as_str()),
            ("0.2 mm", "1/64 in")
        );
    }
}
