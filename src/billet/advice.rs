//! How many more restacks reach the target.
//!
//! Every round is worked on the metal itself (trim, flat grind, cut, pile, weld, draw), so the bands
//! that the grind eats, the ends, the kerf and the scale are in the answer. No closed form does that.

use super::{
    Allowances, Arrange, Billet, Faces, Ledger, Move, Outcome, Reading, Refusal, Sizes, Stage,
    apply,
};
use crate::units::{Fraction, Mm, Mm3};

/// Rounds after which a choice is given up.
const MOST: usize = 12;

/// What a restack of one piece count comes to, done until the target is reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Pieces in each restack.
    pub pieces: u32,
    /// One entry a restack, in order; empty when no restack is needed or the first cannot be made.
    pub rounds: Vec<Round>,
    /// Where it ends.
    pub ends: Ends,
    /// Bands at the end.
    pub bands: u128,
    /// Pieces multiplied, at the end.
    pub nominal: u128,
    /// The bar at the end, drawn to the section.
    pub length: Mm,
    /// Metal in that bar.
    pub left: Mm3,
}

/// One restack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round {
    /// Pieces multiplied, after it.
    pub nominal: u128,
    /// Bands after it.
    pub bands: u128,
    /// Length of each piece that goes into it.
    pub piece: Mm,
    /// Height of the pile before the weld.
    pub height: Mm,
    /// The bar after it, drawn to the section.
    pub length: Mm,
    /// False when the pieces are shorter than can be held.
    pub long_enough: bool,
    /// True when the pile is over twice its width, or more than the machine opens to.
    pub too_tall: bool,
}

/// Where a run of restacks ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// The bands are in the range.
    Reaches,
    /// The range lies between two restacks: one fewer is under it, the last one over.
    Overshoots,
    /// The bar gives no pieces long enough for the next restack.
    TooShort,
    /// The bands do not rise enough: the grind eats what a restack brings.
    Never,
}

/// What each of `choices` comes to from the billet as it stands, its bar drawn to `section` (width,
/// thickness) before each cut and at the end, until the bands reach `target` (least, most).
///
/// What the billet is in the middle of is finished first: a pile is welded and drawn, pieces that are
/// already cut are piled as they are. Nothing once a blank is forged or ground.
#[must_use]
pub fn restacks(
    billet: &Billet,
    allow: &Allowances,
    section: (Mm, Mm),
    target: (u64, u64),
    choices: &[u32],
) -> Vec<Advice> {
    let run = Run {
        allow,
        section,
        least: u128::from(target.0),
        most: u128::from(target.1.max(target.0)),
    };
    let Ok(bar) = run.ready(bare(billet)) else {
        return Vec::new();
    };
    choices
        .iter()
        .filter(|pieces| **pieces > 1)
        .map(|pieces| run.advise(bar.clone(), *pieces))
        .collect()
}

/// The metal alone: no history, stock or losses to carry along.
fn bare(billet: &Billet) -> Billet {
    Billet {
        bar: billet.bar.clone(),
        pieces: billet.pieces,
        stage: billet.stage,
        stock: Vec::new(),
        ledger: Ledger {
            start: billet.volume(),
            ..Ledger::default()
        },
        nominal: billet.nominal,
        turns: billet.turns,
        count_factor: billet.count_factor,
        thinned: billet.thinned,
        blade: billet.blade.clone(),
        history: Vec::new(),
        steels: billet.steels.clone(),
    }
}

struct Run<'a> {
    allow: &'a Allowances,
    section: (Mm, Mm),
    least: u128,
    most: u128,
}

impl Run<'_> {
    /// A sound bar at the section, whatever the billet is in the middle of.
    fn ready(&self, billet: Billet) -> Result<Billet, Refusal> {
        let mut now = billet;
        if now.stage == Stage::Loose {
            now = self.make(&now, &Move::Stack)?;
        }
        if now.stage == Stage::Pieces && now.pieces > 1 {
            now = self.make(&now, &PILE)?;
        }
        match now.stage {
            Stage::Pile => self.close(&now),
            Stage::Bar | Stage::Pieces if now.bar.thickness.0 > self.section.1.0 * 1.001 => {
                self.make(&now, &self.draw())
            }
            Stage::Bar | Stage::Pieces => Ok(now),
            _ => Err(Refusal {
                what: "the blank is past restacking".to_owned(),
                remedy: "leave it".to_owned(),
                key: None,
            }),
        }
    }

    fn advise(&self, bar: Billet, pieces: u32) -> Advice {
        let mut now = bar;
        let mut rounds = Vec::new();
        let mut ends = None;
        while now.bands() < self.least && ends.is_none() {
            let before = now.bands();
            match self.round(&now, pieces) {
                Ok((after, round)) => {
                    ends = if !round.long_enough {
                        Some(Ends::TooShort)
                    } else if after.bands() <= before || rounds.len() + 1 >= MOST {
                        Some(Ends::Never)
                    } else {
                        None
                    };
                    rounds.push(round);
                    now = after;
                }
                // A section thinner than the grind takes is no question of length.
                Err(refusal) if refusal.key == Some("per-face") => ends = Some(Ends::Never),
                Err(_) => ends = Some(Ends::TooShort),
            }
        }
        let bands = now.bands();
        Advice {
            pieces,
            rounds,
            ends: ends.unwrap_or(if bands > self.most {
                Ends::Overshoots
            } else {
                Ends::Reaches
            }),
            bands,
            nominal: now.nominal,
            length: now.bar.length,
            left: now.volume(),
        }
    }

    /// One restack, from bar to bar.
    fn round(&self, bar: &Billet, pieces: u32) -> Result<(Billet, Round), Refusal> {
        let trimmed = self.make(
            bar,
            &Move::Trim {
                ends: [self.allow.trim; 2],
            },
        )?;
        let ground = self.make(
            &trimmed,
            &Move::Grind {
                per_face: self.allow.grind,
                faces: Faces::Two,
            },
        )?;
        let cut = self.make(
            &ground,
            &Move::Cut {
                pieces,
                length: None,
                kerf: self.allow.kerf,
                keep_rest: false,
            },
        )?;
        let piece = cut.bar.length;
        let pile = self.make(&cut, &PILE)?;
        let (height, width) = (pile.bar.thickness, pile.bar.width);
        let after = self.close(&pile)?;
        let round = Round {
            nominal: after.nominal,
            bands: after.bands(),
            piece,
            height,
            length: after.bar.length,
            long_enough: piece >= self.allow.shortest,
            too_tall: height > width * 2.0
                || self.allow.tallest.is_some_and(|tallest| height > tallest),
        };
        Ok((after, round))
    }

    /// Welds a pile and draws it to the section.
    fn close(&self, pile: &Billet) -> Result<Billet, Refusal> {
        let weld = Move::Weld {
            to: Sizes::default(),
            scale: Fraction(0.0),
        };
        let welded = self.make(pile, &weld)?;
        self.make(&welded, &self.draw())
    }

    fn draw(&self) -> Move {
        Move::Square {
            to: Sizes {
                width: Some(self.section.0),
                thickness: Some(self.section.1),
                length: None,
            },
            scale: self.allow.scale,
        }
    }

    fn make(&self, billet: &Billet, made: &Move) -> Result<Billet, Refusal> {
        let Outcome { mut billet, .. } = apply(billet, made, self.allow, &Reading::default())?;
        billet.history.clear();
        Ok(billet)
    }
}

const PILE: Move = Move::Restack {
    arrange: Arrange::Pile,
};

impl Ends {
    /// In a word or two.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Reaches => "reaches",
            Self::Overshoots => "overshoots",
            Self::TooShort => "bar too short",
            Self::Never => "never",
        }
    }
}

impl Advice {
    /// Restacks needed.
    #[must_use]
    pub fn count(&self) -> usize {
        self.rounds.len()
    }

    /// True when every restack can be made and the bands end in the range.
    #[must_use]
    pub fn works(&self) -> bool {
        self.ends == Ends::Reaches
    }
}

#[cfg(test)]
mod tests {
    use super::{Advice, Ends, restacks};
    use crate::billet::{
        Allowances, Arrange, Billet, Faces, Move, Reading, Sizes, StackPiece, SteelId, Stock, apply,
    };
    use crate::units::{Density, Fraction, Mm, Units};

    const CHOICES: [u32; 5] = [2, 3, 4, 5, 7];
    const SECTION: (Mm, Mm) = (Mm(40.0), Mm(14.0));

    fn allowances() -> Allowances {
        Allowances {
            kerf: Mm(2.0),
            grind: Mm(0.5),
            trim: Mm(10.0),
            scale: Fraction(0.04),
            mark: Mm(0.5),
            shortest: Mm(60.0),
            widest: None,
            tallest: None,
            longest: None,
            finished: None,
            units: Units::Mm,
        }
    }

    /// Nine layers, 5 of 6 mm and 4 of 3 mm, 40 wide and 120 long.
    fn nine() -> Billet {
        let piece = |at: u8| StackPiece {
            steel: SteelId(at % 2),
            thickness: Mm(if at.is_multiple_of(2) { 6.0 } else { 3.0 }),
        };
        let pieces: Vec<StackPiece> = (0..9).map(piece).collect();
        let steel = |letter| Stock {
            letter,
            name: String::new(),
            density: Density(7.85),
        };
        Billet::new(
            &pieces,
            Mm(40.0),
            Mm(120.0),
            vec![steel('A'), steel('B')].into(),
        )
    }

    fn of(all: &[Advice], pieces: u32) -> &Advice {
        all.iter().find(|advice| advice.pieces == pieces).unwrap()
    }

    #[test]
    fn the_worked_plan_needs_two_restacks_of_four() {
        // 9 bands, then 33, then 121 where counting without the grind says 129: see the worked plan.
        let all = restacks(&nine(), &allowances(), SECTION, (120, 140), &CHOICES);
        assert_eq!(all.len(), 5);
        let four = of(&all, 4);
        assert_eq!(four.ends, Ends::Reaches);
        let bands: Vec<u128> = four.rounds.iter().map(|round| round.bands).collect();
        let nominal: Vec<u128> = four.rounds.iter().map(|round| round.nominal).collect();
        assert_eq!((bands, nominal), (vec![33, 121], vec![36, 144]));
        let [first, second] = [four.rounds[0], four.rounds[1]];
        assert!(first.piece.near(Mm(79.5), 1e-9) && second.piece.near(Mm(64.0), 1e-9));
        assert!(first.height.near(Mm(52.0), 1e-9) && first.length.near(Mm(283.0), 1e-9));
        assert!(first.long_enough && !first.too_tall);
        // 133 120 mm3 less 4 % over 40 x 14 is 228.2 mm.
        assert!(four.length.near(Mm(228.0), 1e-9));
    }

    #[test]
    fn every_choice_is_what_the_moves_make() {
        let all = restacks(&nine(), &allowances(), SECTION, (120, 140), &CHOICES);
        for advice in &all {
            let mut now = nine();
            let step = |now: &Billet, made: Move| {
                apply(now, &made, &allowances(), &Reading::default())
                    .unwrap()
                    .billet
            };
            let close = |now: &Billet| {
                let (width, thickness) = SECTION;
                let to = Sizes {
                    width: Some(width),
                    thickness: Some(thickness),
                    length: None,
                };
                let scale = Fraction(0.0);
                let welded = step(
                    now,
                    Move::Weld {
                        to: Sizes::default(),
                        scale,
                    },
                );
                step(
                    &welded,
                    Move::Draw {
                        to,
                        scale: Fraction(0.04),
                    },
                )
            };
            now = step(&now, Move::Stack);
            now = close(&now);
            for round in &advice.rounds {
                now = step(
                    &now,
                    Move::Trim {
                        ends: [Mm(10.0); 2],
                    },
                );
                let (per_face, faces) = (Mm(0.5), Faces::Two);
                now = step(&now, Move::Grind { per_face, faces });
                now = step(
                    &now,
                    Move::Cut {
                        pieces: advice.pieces,
                        length: None,
                        kerf: Mm(2.0),
                        keep_rest: false,
                    },
                );
                assert!(now.bar.length.near(round.piece, 1e-9));
                assert_eq!(round.long_enough, round.piece.0 >= 60.0);
                let arrange = Arrange::Pile;
                now = step(&now, Move::Restack { arrange });
                assert!(now.bar.thickness.near(round.height, 1e-9));
                now = close(&now);
                assert_eq!((now.bands(), now.nominal), (round.bands, round.nominal));
            }
            assert!(now.volume().near(advice.left, 1e-6));
        }
        // Seven 49 mm pieces out of one bar are too short to hold at 60.
        assert_eq!(of(&all, 7).ends, Ends::TooShort);
        assert!(!of(&all, 7).rounds.last().unwrap().long_enough);
    }

    #[test]
    fn done_over_and_never_are_told_apart() {
        let there = restacks(&nine(), &allowances(), SECTION, (5, 20), &CHOICES);
        assert!(
            there
                .iter()
                .all(|advice| advice.count() == 0 && advice.works())
        );
        let over = restacks(&nine(), &allowances(), SECTION, (10, 12), &[3]);
        assert_eq!(of(&over, 3).ends, Ends::Overshoots);
        // 3 mm thick and 1.5 a face: nothing is left to pile.
        let greedy = Allowances {
            grind: Mm(1.5),
            ..allowances()
        };
        let never = restacks(&nine(), &greedy, (Mm(40.0), Mm(3.0)), (100, 200), &[2]);
        assert_eq!(of(&never, 2).ends, Ends::Never);
        assert_eq!(of(&never, 2).count(), 0);
    }

    #[test]
    fn a_pile_in_hand_is_finished_first_and_a_blade_has_no_advice() {
        let allow = allowances();
        let mut now = nine();
        let moves = [
            Move::Stack,
            Move::Weld {
                to: Sizes::default(),
                scale: Fraction(0.0),
            },
        ];
        for made in moves {
            let all = restacks(&now, &allow, SECTION, (120, 140), &[4]);
            assert_eq!(of(&all, 4).bands, 121, "before {made:?}");
            now = apply(&now, &made, &allow, &Reading::default())
                .unwrap()
                .billet;
        }
        let blank = Move::RoughGrind {
            edge: Mm(1.0),
            share: None,
        };
        now = apply(&now, &blank, &allow, &Reading::default())
            .unwrap()
            .billet;
        assert!(restacks(&now, &allow, SECTION, (120, 140), &CHOICES).is_empty());
    }
}
