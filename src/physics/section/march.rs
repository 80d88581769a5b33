//! Marching in time: a stabilised explicit Runge-Kutta-Chebyshev scheme of second order with error
//! control (Sommeijer, Shampine, Verwer, J. Comput. Appl. Math. 88 (1998) 315).
//!
//! Explicit stages keep the heat balance exact through the peak of the specific heat; the number of
//! stages grows with the square root of the stiffness, so fine grids stay cheap.

use super::grid::Grid;

/// Error allowed per step, K.
const TOLERANCE: f64 = 0.02;
/// Damping of the stability polynomial.
const DAMPING: f64 = 2.0 / 13.0;
/// No more stages than this in one step.
const MOST_STAGES: u32 = 120;

/// The state of a march.
#[derive(Debug, Clone)]
pub(super) struct March {
    pub(super) heat: Vec<f64>,
    pub(super) seconds: f64,
    rate: Vec<f64>,
    step: f64,
    next: Vec<f64>,
    before: Vec<f64>,
    last: Vec<f64>,
    slope: Vec<f64>,
}

impl March {
    pub(super) fn new(grid: &mut Grid<'_>, heat: Vec<f64>) -> Self {
        let mut rate = vec![0.0; heat.len()];
        grid.rate(&heat, &mut rate);
        let step = 0.25 / grid.stiffness(&heat).max(1e-12);
        Self {
            seconds: 0.0,
            step,
            next: heat.clone(),
            before: heat.clone(),
            last: heat.clone(),
            slope: rate.clone(),
            rate,
            heat,
        }
    }

    /// One accepted step, no longer than `longest` seconds and no more than `most_kelvin` of change
    /// anywhere; false when the step has shrunk to nothing.
    pub(super) fn step(&mut self, grid: &mut Grid<'_>, longest: f64, most_kelvin: f64) -> bool {
        let stiffness = grid.stiffness(&self.heat).max(1e-12);
        let fastest = self
            .heat
            .iter()
            .zip(&self.rate)
            .map(|(h, rate)| (rate * grid.kelvin_per_joule(*h)).abs())
            .fold(1e-9, f64::max);
        let widest = f64::from(MOST_STAGES * MOST_STAGES - 1) / (1.54 * stiffness);
        for _ in 0..60 {
            let step = self
                .step
                .min(longest)
                .min(most_kelvin / fastest)
                .min(widest);
            if step.is_nan() || step <= 1e-12 {
                return false;
            }
            self.attempt(grid, step, stiffness);
            let error = self.error(grid, step);
            let factor = (0.8 / error.max(1e-9).cbrt()).clamp(0.2, 4.0);
            self.step = step * factor;
            if error <= 1.0 {
                std::mem::swap(&mut self.heat, &mut self.next);
                std::mem::swap(&mut self.rate, &mut self.slope);
                self.seconds += step;
                return true;
            }
        }
        false
    }

    /// Fills `next` with the state after `step`.
    fn attempt(&mut self, grid: &mut Grid<'_>, step: f64, stiffness: f64) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "bounded by MOST_STAGES"
        )]
        let stages = ((1.54 * step * stiffness + 1.0).sqrt().ceil() as u32).clamp(2, MOST_STAGES);
        let w0 = 1.0 + DAMPING / f64::from(stages * stages);
        let ends = Chebyshev::new(w0).nth(stages as usize).unwrap_or_default();
        let w1 = ends.first / ends.second;
        let mut family = Chebyshev::new(w0).skip(2);
        let second = Chebyshev::new(w0).nth(2).unwrap_or_default();
        let mut b = [second.weight(), second.weight()];
        let mut a_last = 1.0 - b[1] * w0;
        let first = b[1] * w1 * step;
        self.before.clone_from(&self.heat);
        for ((last, heat), rate) in self.last.iter_mut().zip(&self.heat).zip(&self.rate) {
            *last = heat + first * rate;
        }
        for _ in 2..=stages {
            let term = family.next().unwrap_or_default();
            let weight = term.weight();
            let mu = 2.0 * weight * w0 / b[1];
            let nu = -weight / b[0];
            let mu_rate = 2.0 * weight * w1 / b[1] * step;
            let gamma_rate = -a_last * mu_rate;
            let rest = 1.0 - mu - nu;
            grid.rate(&self.last, &mut self.slope);
            let old = self.heat.iter().zip(&self.rate);
            let recent = self.last.iter().zip(&self.before).zip(&self.slope);
            for ((next, (heat, rate)), ((last, before), slope)) in
                self.next.iter_mut().zip(old).zip(recent)
            {
                *next = rest * heat + mu * last + nu * before + mu_rate * slope + gamma_rate * rate;
            }
            std::mem::swap(&mut self.before, &mut self.last);
            std::mem::swap(&mut self.last, &mut self.next);
            b = [b[1], weight];
            a_last = 1.0 - weight * term.value;
        }
        std::mem::swap(&mut self.next, &mut self.last);
        grid.rate(&self.next, &mut self.slope);
    }

    /// Root mean square of the estimated error over the tolerance.
    fn error(&self, grid: &Grid<'_>, step: f64) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0_f64);
        let old = self.heat.iter().zip(&self.rate);
        for ((heat, rate), (next, slope)) in old.zip(self.next.iter().zip(&self.slope)) {
            let joules = 0.8 * (heat - next) + 0.4 * step * (rate + slope);
            let kelvin = joules * grid.kelvin_per_joule(*next);
            sum += kelvin * kelvin;
            count += 1.0;
        }
        let error = (sum / count.max(1.0)).sqrt() / TOLERANCE;
        if error.is_nan() { f64::INFINITY } else { error }
    }
}

/// A Chebyshev polynomial at one point with its first and second derivative.
#[derive(Debug, Clone, Copy, Default)]
struct Term {
    value: f64,
    first: f64,
    second: f64,
}

impl Term {
    /// `T''/(T')^2`.
    fn weight(&self) -> f64 {
        self.second / (self.first * self.first)
    }
}

/// The polynomials of rising degree at one point.
#[derive(Debug)]
struct Chebyshev {
    at: f64,
    now: Term,
    next: Term,
}

impl Chebyshev {
    fn new(at: f64) -> Self {
        Self {
            at,
            now: Term {
                value: 1.0,
                first: 0.0,
                second: 0.0,
            },
            next: Term {
                value: at,
                first: 1.0,
                second: 0.0,
            },
        }
    }
}

impl Iterator for Chebyshev {
    type Item = Term;

    fn next(&mut self) -> Option<Term> {
        let term = self.now;
        let (now, next) = (self.now, self.next);
        self.now = next;
        self.next = Term {
            value: 2.0 * self.at * next.value - now.value,
            first: 2.0 * next.value + 2.0 * self.at * next.first - now.first,
            second: 4.0 * next.first + 2.0 * self.at * next.second - now.second,
        };
        Some(term)
    }
}
