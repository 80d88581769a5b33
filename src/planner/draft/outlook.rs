//! What a drafted plan is likely to take, with bands: the same forecast that a job at the anvil has.

use super::offer::Offer;
use crate::physics::Spread;
use crate::planner::costs::{Prices, hot_share};
use crate::planner::forecast::{Edge, Enough, Planned, SAMPLES, SEED, Start, forecast};
use crate::planner::learn::Lessons;

/// The outlook of one offer; nine in ten lie in a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// Trips to the fire.
    pub heats: Spread,
    /// Minutes of work.
    pub minutes: Spread,
    /// Whether the metal is enough for the knives.
    pub enough: Enough,
    /// Whether every step can be made as the plan has it.
    pub planned: Planned,
    /// Plain metal above the edge, where the bar has any to lose.
    pub edge: Option<Edge>,
    /// The part of the time that is with the fire on.
    pub hot: f64,
    /// What it costs and in what; none where there are no prices.
    pub cost: Option<(String, Spread)>,
}

/// Forecasts an offer in a shop that is known so far.
#[must_use]
pub fn outlook(offer: &Offer, lessons: &Lessons) -> Outlook {
    let seen = forecast(&Start::of_plan(&offer.plan), lessons, SEED, SAMPLES);
    Outlook {
        heats: seen.heats,
        minutes: seen.minutes,
        hot: hot_share(&seen),
        planned: Planned::of(&offer.plan, &seen),
        edge: seen.edge,
        cost: None,
        enough: seen.enough,
    }
}

impl Outlook {
    /// With what the offer costs at these prices.
    #[must_use]
    pub fn priced(self, offer: &Offer, prices: &Prices) -> Self {
        let cost = prices.of_plan(&offer.plan, &offer.cuts, self.minutes, self.hot);
        Self {
            cost: cost.map(|cost| (prices.currency.clone(), cost)),
            ..self
        }
    }
}
