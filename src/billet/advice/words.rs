//! What restacks come to, in a word or two.

use super::{Advice, Ends};

impl Advice {
    /// How high the restacks are: `4 high`, `7x5x3` one after the other, or `as is`.
    #[must_use]
    pub fn named(&self) -> String {
        if !self.order.is_empty() {
            let counts: Vec<String> = self.order.iter().map(u32::to_string).collect();
            return counts.join("x");
        }
        match self.pieces {
            1 => "as is".to_owned(),
            pieces => format!("{pieces} high"),
        }
    }

    /// Why none is made, where none is.
    #[must_use]
    pub fn none(&self, has_bands: bool) -> &'static str {
        match self.ends {
            Ends::Reaches if has_bands => "already there",
            Ends::Reaches => "with the grind to come",
            Ends::Overshoots => "already over",
            Ends::TooShort => "bar too short to cut",
            Ends::Never => "not from here",
        }
    }

    /// Where it ends in a word or two: `ok`, `ok, tall`, `too short`, `over`, `never`.
    #[must_use]
    pub fn state(&self) -> &'static str {
        let short = self.rounds.iter().any(|round| !round.long_enough);
        match self.ends {
            Ends::TooShort => "too short",
            Ends::Never => "never",
            _ if short => "too short",
            Ends::Overshoots => "over",
            Ends::Reaches if self.rounds.iter().any(|round| round.too_tall) => "ok, tall",
            Ends::Reaches => "ok",
        }
    }
}
