//! Bands by turns under the blur of a lens: what a row should show, and how well borders explain the rows.

use super::list::{change, get, whole};

/// Noise, in parts of the contrast and at all.
const NOISE: [f32; 2] = [0.03, 2.0];
/// How far a border may lie from where it is put, rows: between rows, and on whole rows.
const FINE: f32 = 0.15;
const COARSE: f32 = 0.4;
/// Independent looks at a band.
const LOOKS: f32 = 4.0;
/// How far a band's shade may be off its steel's, in parts of the contrast and at all.
const TONE: [f32; 2] = [0.08, 5.0];
/// What a face twice as soft as the borders must explain.
const SOFT: f32 = 6.0;
/// Softnesses of a face that are tried, in parts of the blur.
const SOFTNESSES: [f32; 5] = [1.0, 1.3, 1.6, 2.0, 2.4];
/// Height of a band, in parts of the mean, below which it must explain more, and by how much.
const THIN: [f32; 2] = [0.55, 0.12];
/// Rounds of fitting shades.
const ROUNDS: usize = 5;

/// The share of a soft edge at `far` deviations beyond it: the normal law's, by the logistic curve nearest to it
/// (Bowling and others 2009, within 0.0095).
pub(super) fn soft(far: f32) -> f32 {
    1.0 / (1.0 + (-1.702 * far).exp())
}

/// Rows from the bands further in to what lies behind the bar, outwards.
pub(super) struct Rows {
    /// Shades less what lies behind.
    pub(super) line: Vec<f32>,
    /// Where the fit begins: in the middle of the first band.
    pub(super) begin: usize,
    /// Deviation of the blur, rows.
    pub(super) blur: f32,
    /// What each band should show, outwards.
    pub(super) shades: Vec<f32>,
    /// How far a band may be off that.
    tone: f32,
    /// Shade beyond the face as it looks, what it should be, and how far it may be off that.
    pub(super) level: f32,
    usual_level: f32,
    level_off: f32,
    mean_rows: f32,
    /// Weight of a square, row by row, for borders on whole rows and between rows: less where it is steep.
    coarse: Vec<f32>,
    fine: Vec<f32>,
}

/// Borders that explain the rows.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    /// Outwards, the face last.
    pub(super) borders: Vec<f32>,
    /// How soft the face is, in parts of the blur.
    soft: f32,
    /// What is left over.
    pub(super) cost: f32,
    /// Step from the outermost band to what lies behind.
    pub(super) step: f32,
}

impl Rows {
    pub(super) fn new(
        line: Vec<f32>,
        begin: usize,
        blur: f32,
        shades: Vec<f32>,
        level: f32,
        off: Off,
    ) -> Self {
        let last = line.len().saturating_sub(1);
        let noise = (NOISE[0] * off.contrast).hypot(NOISE[1]);
        let weigh = |place: f32| -> Vec<f32> {
            (0..line.len())
                .map(|row| {
                    let before = row.saturating_sub(1);
                    let slope = 0.5 * (get(&line, (row + 1).min(last)) - get(&line, before));
                    let spread = noise.hypot(place * slope);
                    LOOKS / (2.0 * spread * spread * off.mean_rows)
                })
                .collect()
        };
        Self {
            coarse: weigh(COARSE),
            fine: weigh(FINE),
            begin,
            blur,
            shades,
            tone: (TONE[0] * off.contrast).hypot(TONE[1]),
            level,
            usual_level: off.usual_level,
            level_off: off.level_off,
            mean_rows: off.mean_rows,
            line,
        }
    }

    fn shade(&self, band: usize) -> f32 {
        get(&self.shades, band)
    }

    fn off(&self, row: usize, shown: f32) -> f32 {
        let off = get(&self.line, row) - shown;
        off * off * get(&self.coarse, row)
    }

    /// The cost of the first band up to a border.
    pub(super) fn first(&self, to: usize) -> f32 {
        let (own, after) = (self.shade(0), self.shade(1));
        (self.begin..to)
            .map(|row| {
                let part = soft((row as f32 + 0.5 - to as f32) / self.blur);
                self.off(row, own + (after - own) * part)
            })
            .sum()
    }

    /// The cost of a band between two borders; beyond the second lies this shade, that border as soft as this.
    pub(super) fn band(&self, band: usize, [from, to]: [usize; 2], after: Beyond) -> f32 {
        let (own, before) = (self.shade(band), self.shade(band.saturating_sub(1)));
        let (after, blur) = match after {
            Beyond::Band => (self.shade(band + 1), self.blur),
            Beyond::Face(soft) => (self.level, soft * self.blur),
            Beyond::Border => (own, self.blur),
        };
        (from..to)
            .map(|row| {
                let at = row as f32 + 0.5;
                let inner = 1.0 - soft((at - from as f32) / self.blur);
                let outer = soft((at - to as f32) / blur);
                self.off(row, own + (before - own) * inner + (after - own) * outer)
            })
            .sum()
    }

    /// The cost of what lies behind, from a face after a band.
    pub(super) fn behind(&self, band: usize, face: usize, softness: f32) -> f32 {
        let own = self.shade(band);
        let rows = face..self.line.len();
        let sum: f32 = rows
            .map(|row| {
                let part = soft((row as f32 + 0.5 - face as f32) / (softness * self.blur));
                self.off(row, own + (self.level - own) * part)
            })
            .sum();
        sum + SOFT * (softness - 1.0)
    }

    /// Each band's part of each row, row by row, that of what lies behind last.
    fn parts(&self, borders: &[f32], softness: f32) -> Vec<f32> {
        let bands = borders.len();
        let mut parts = Vec::with_capacity((self.line.len() - self.begin) * (bands + 1));
        for row in self.begin..self.line.len() {
            let at = row as f32 + 0.5;
            let mut before = 1.0;
            for (band, border) in borders.iter().enumerate() {
                let softness = if band + 1 == bands { softness } else { 1.0 };
                let after = soft((at - border) / (softness * self.blur));
                parts.push(before - after);
                before = after;
            }
            parts.push(before);
        }
        parts
    }

    /// Shades that fit these borders best, each drawn to what it should be, and what is left over.
    fn shaded(&self, borders: &[f32], softness: f32) -> (f32, f32) {
        let bands = borders.len();
        let parts = self.parts(borders, softness);
        let lines = || parts.chunks_exact(bands + 1);
        let mut usual: Vec<f32> = self.shades.iter().take(bands).copied().collect();
        usual.push(self.usual_level);
        let pull = |band: usize| {
            let off = if band == bands {
                self.level_off
            } else {
                self.tone
            };
            0.5 / (off * off)
        };
        let mut shades = usual.clone();
        let mut off: Vec<f32> = lines()
            .zip(self.line.iter().skip(self.begin))
            .map(|(parts, value)| {
                let shown: f32 = parts.iter().zip(&shades).map(|(a, b)| a * b).sum();
                value - shown
            })
            .collect();
        let weights = self.fine.get(self.begin..).unwrap_or(&[]);
        for _ in 0..ROUNDS {
            for band in 0..=bands {
                let mut top = pull(band) * (get(&usual, band) - get(&shades, band));
                let mut bottom = pull(band);
                for ((parts, off), weight) in lines().zip(&off).zip(weights) {
                    let part = get(parts, band);
                    if part > 0.01 {
                        top += weight * part * off;
                        bottom += weight * part * part;
                    }
                }
                let by = top / bottom;
                if let Some(shade) = shades.get_mut(band) {
                    *shade += by;
                }
                for (off, parts) in off.iter_mut().zip(lines()) {
                    *off -= by * get(parts, band);
                }
            }
        }
        let left: f32 = off
            .iter()
            .zip(weights)
            .map(|(off, weight)| off * off * weight)
            .sum();
        let drawn: f32 = (0..=bands)
            .map(|band| (get(&shades, band) - get(&usual, band)).powi(2) * pull(band))
            .sum();
        let step = get(&shades, bands - 1) - get(&shades, bands);
        (step, left + drawn + SOFT * (softness - 1.0))
    }

    /// Moves borders between rows and softens the face until nothing explains the rows better; no band gets
    /// lower than `least`.
    pub(super) fn settled(&self, borders: &[usize], softness: f32, least: f32) -> Fit {
        let borders: Vec<f32> = borders.iter().map(|at| *at as f32).collect();
        let tried = |borders: Vec<f32>, soft: f32| {
            let (step, cost) = self.shaded(&borders, soft);
            Fit {
                borders,
                soft,
                cost,
                step,
            }
        };
        let mut best = tried(borders, softness);
        for by in [0.5, -0.5, 0.25, -0.25] {
            for border in (0..best.borders.len()).rev() {
                loop {
                    let mut moved = best.borders.clone();
                    if let Some(place) = moved.get_mut(border) {
                        *place += by;
                    }
                    let low =
                        |at: usize| at > 0 && at < moved.len() && change(&moved, at - 1) < least;
                    if low(border) || low(border + 1) {
                        break;
                    }
                    let new = tried(moved, best.soft);
                    if new.cost > best.cost - 0.01 {
                        break;
                    }
                    best = new;
                }
            }
            for other in SOFTNESSES {
                let new = tried(best.borders.clone(), other);
                if new.cost < best.cost {
                    best = new;
                }
            }
        }
        let pairs = best.borders.iter().zip(best.borders.iter().skip(1));
        let thin: f32 = pairs
            .map(|(a, b)| (THIN[0] - (b - a) / self.mean_rows).max(0.0) / THIN[1])
            .map(|off| 0.5 * off * off)
            .sum();
        best.cost += thin;
        best
    }
}

/// How far shades may be off.
#[derive(Debug, Clone, Copy)]
pub(super) struct Off {
    pub(super) contrast: f32,
    pub(super) mean_rows: f32,
    /// What lies behind less what is seen of it beside the end.
    pub(super) usual_level: f32,
    pub(super) level_off: f32,
}

/// What follows a band.
#[derive(Debug, Clone, Copy)]
pub(super) enum Beyond {
    /// The next band.
    Band,
    /// What lies behind the bar; the face so many times as soft as the borders.
    Face(f32),
    /// The border of the picture.
    Border,
}

impl Fit {
    /// Borders that explain nothing.
    pub(super) fn none() -> Self {
        Self {
            borders: Vec::new(),
            soft: 1.0,
            cost: f32::INFINITY,
            step: 0.0,
        }
    }

    /// The rows nearest to the borders.
    pub(super) fn rows(&self) -> Vec<usize> {
        self.borders.iter().map(|at| whole(*at)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A stair made by hand: bands of 50 and 110 by turns, borders between rows, the face at row 40.5.
    fn made(borders: &[f32]) -> Rows {
        let shades: Vec<f32> = (0..6)
            .map(|band| if band % 2 == 0 { 50.0 } else { 110.0 })
            .collect();
        let line = (0..60)
            .map(|row| {
                let at = row as f32 + 0.5;
                let mut value = 50.0;
                for (band, border) in borders.iter().enumerate() {
                    let last = band + 1 == borders.len();
                    let step = if last { 0.0 } else { get(&shades, band + 1) } - get(&shades, band);
                    value += step * soft((at - border) / 1.5);
                }
                value
            })
            .collect();
        let off = Off {
            contrast: 60.0,
            mean_rows: 12.0,
            usual_level: 0.0,
            level_off: 6.0,
        };
        Rows::new(line, 2, 1.5, shades, 0.0, off)
    }

    #[test]
    fn borders_are_found_between_rows_where_they_were_made() {
        let places = [8.25, 20.0, 31.75, 40.5];
        let fit = made(&places).settled(&[8, 20, 32, 41], 1.0, 3.0);
        assert!(fit.cost < 0.1, "{fit:?}");
        for (found, made) in fit.borders.iter().zip(places) {
            assert!((found - made).abs() < 0.3, "{fit:?}");
        }
        assert!((fit.step - 110.0).abs() < 2.0, "{fit:?}");
    }

    #[test]
    fn a_band_that_is_left_out_costs_and_a_softer_face_does_not_pay_for_it() {
        let rows = made(&[8.25, 20.0, 31.75, 40.5]);
        let fewer = rows.settled(&[8, 20, 40], 1.0, 3.0);
        assert!(fewer.cost > 30.0, "{fewer:?}");
    }

    // The normal law at one deviation: 0.8413 (any table).
    #[test]
    fn the_soft_edge_is_the_normal_law_within_a_hundredth() {
        assert!((soft(1.0) - 0.8413).abs() < 0.01 && (soft(-1.0) - 0.1587).abs() < 0.01);
    }
}
