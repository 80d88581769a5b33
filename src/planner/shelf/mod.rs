//! The shelf: offcuts and spare bars that outlive their job. One number is one piece of steel, and stands
//! on it in paint; a piece that has gone stays in the file with where it went.

mod file;
mod refusal;
mod review;
mod told;

pub use refusal::{Flaw, NotToBeHad, Refused, Unread};
pub use told::like;

use crate::journal::Spare;
use crate::session::ShelfSide;
use crate::units::Stamp;

/// Most pieces, so that the file stays one that can be read.
const MOST: usize = 5_000;

/// Where a piece is.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    serde::Serialize,
    serde::Deserialize,
    strum::IntoStaticStr,
    strum::VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Lies {
    /// On the shelf.
    Shelf,
    /// In the job that has it.
    Taken,
    /// In a blade, or otherwise made away with.
    Used,
    /// Thrown away.
    Thrown,
    /// Its keeping was taken back in the journal that it came from.
    Undone,
}

impl Lies {
    /// The word for it in the file.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// One piece of steel.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// What it is called by.
    pub number: u32,
    /// What it is like; `pieces` is 1. Its size may have been read since with a caliper.
    pub spare: Spare,
    /// The journal that it was kept in, by its file's name.
    pub journal: String,
    /// When that job began.
    pub job: Stamp,
    /// The entry of it, and which of that entry's like pieces this is.
    pub entry: (u64, u32),
    /// When it was kept.
    pub at: Stamp,
    /// Where it is.
    pub lies: Lies,
    pub since: Stamp,
    /// The journal that has it or used it.
    pub by: Option<String>,
    /// When that job began.
    pub by_job: Option<Stamp>,
}

impl Kept {
    fn lay(&mut self, lies: Lies, now: Stamp, by: Option<(&str, Stamp)>) {
        (self.lies, self.since) = (lies, now);
        self.by = by.map(|(name, _)| name.to_owned());
        self.by_job = by.map(|(_, job)| job);
    }

    fn is_with(&self, journal: &str, job: Stamp) -> bool {
        self.by.as_deref() == Some(journal) || self.by_job == Some(job)
    }

    /// Where it went, in words; none on the shelf.
    #[must_use]
    pub fn gone(&self) -> Option<String> {
        let by = self.by.as_deref().unwrap_or("another job");
        match self.lies {
            Lies::Shelf => None,
            Lies::Taken => Some(format!("taken by {by}")),
            Lies::Used => Some(match &self.by {
                Some(by) => format!("used up in {by}"),
                None => "used up".to_owned(),
            }),
            Lies::Thrown => Some("thrown away".to_owned()),
            Lies::Undone => Some(format!("taken back in {}", self.journal)),
        }
    }
}

/// All pieces, those that have gone too.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shelf {
    /// By number, from 1.
    pub pieces: Vec<Kept>,
}

/// What a smith does with a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Act {
    /// Used up outside a plan.
    Use,
    /// Thrown away.
    Throw,
    /// Back on the shelf, from wherever it was.
    PutBack,
    /// Read with a caliper: width, thickness, length, mm.
    Size([f64; 3]),
}

impl Shelf {
    /// The piece of a number.
    #[must_use]
    pub fn piece(&self, number: u32) -> Option<&Kept> {
        self.pieces.iter().find(|piece| piece.number == number)
    }

    /// The pieces that lie on it.
    pub fn lying(&self) -> impl Iterator<Item = &Kept> {
        self.pieces.iter().filter(|piece| piece.lies == Lies::Shelf)
    }

    fn find(&mut self, number: u32) -> Result<&mut Kept, Refused> {
        let found = self.pieces.iter_mut().find(|piece| piece.number == number);
        found.ok_or(Refused::NoPiece(number))
    }

    /// Does one thing with a piece; in words what was done.
    ///
    /// # Errors
    /// Why it cannot be done, and what to do; nothing has changed then.
    pub fn act(&mut self, number: u32, act: Act, now: Stamp) -> Result<String, Refused> {
        let piece = self.find(number)?;
        let gone = piece.gone();
        match (act, gone) {
            (Act::PutBack, None) => return Err(Refused::Lies(number)),
            (Act::PutBack, Some(was)) => {
                piece.lay(Lies::Shelf, now, None);
                return Ok(format!("piece {number} is back on the shelf; it was {was}"));
            }
            (_, Some(was)) => return Err(Refused::Gone(number, was)),
            (_, None) => {}
        }
        match act {
            Act::Use => piece.lay(Lies::Used, now, None),
            Act::Throw => piece.lay(Lies::Thrown, now, None),
            Act::Size(size) => {
                piece.resize(size)?;
                return Ok(format!("piece {number} has the size that was read"));
            }
            Act::PutBack => {}
        }
        Ok(format!(
            "piece {number}: {}; `--put-back {number}` takes that back",
            piece.gone().unwrap_or_default()
        ))
    }

    /// Brings the shelf in line with a job: pieces it has kept come on, those whose keeping was taken back go
    /// off, and those that its plan takes are its own. What was done, in words; may be called any number of
    /// times.
    ///
    /// # Errors
    /// A piece that the plan names cannot be had; nothing of what the plan takes has changed then, but what
    /// was kept has.
    pub fn meet(
        &mut self,
        journal: &str,
        side: &ShelfSide,
        now: Stamp,
    ) -> (Vec<String>, Result<(), Refused>) {
        let mut said = Vec::new();
        self.take_back(journal, side, now, &mut said);
        self.put_on(journal, side, now, &mut said);
        let taken = self.take(journal, side, now, &mut said);
        (said, taken)
    }

    /// Pieces whose keeping no longer counts.
    fn take_back(&mut self, journal: &str, side: &ShelfSide, now: Stamp, said: &mut Vec<String>) {
        let own = |piece: &&mut Kept| piece.job == side.job && piece.journal == journal;
        for piece in self.pieces.iter_mut().filter(own) {
            let counts = side.kept.iter().any(|kept| kept.seq == piece.entry.0);
            let number = piece.number;
            match (counts, piece.lies) {
                (true, Lies::Undone) => {
                    piece.lay(Lies::Shelf, now, None);
                    said.push(format!("piece {number} is on the shelf again"));
                }
                (false, Lies::Shelf) => {
                    piece.lay(Lies::Undone, now, None);
                    said.push(format!("piece {number} is off the shelf again"));
                }
                (false, Lies::Taken) => said.push(format!(
                    "piece {number} was kept by an entry that is taken back, and is {}: look there",
                    piece.gone().unwrap_or_default()
                )),
                _ => {}
            }
        }
    }

    /// Pieces that are kept and not yet on it.
    fn put_on(&mut self, journal: &str, side: &ShelfSide, now: Stamp, said: &mut Vec<String>) {
        for kept in &side.kept {
            let is_here = |piece: &Kept| piece.job == side.job && piece.entry.0 == kept.seq;
            if self.pieces.iter().any(is_here) {
                continue;
            }
            let first = self.pieces.iter().map(|piece| piece.number).max();
            let first = first.unwrap_or(0).saturating_add(1);
            let many = kept.spare.pieces.clamp(1, 1_000);
            if self.pieces.len() + many as usize > MOST {
                said.push(format!("the shelf is full: it holds {MOST} pieces"));
                return;
            }
            for nth in 0..many {
                self.pieces.push(Kept {
                    number: first.saturating_add(nth),
                    spare: Spare {
                        pieces: 1,
                        ..kept.spare.clone()
                    },
                    journal: journal.to_owned(),
                    job: side.job,
                    entry: (kept.seq, nth),
                    at: kept.at,
                    lies: Lies::Shelf,
                    since: now,
                    by: None,
                    by_job: None,
                });
            }
            said.push(match many {
                1 => format!("on the shelf as number {first}: write it on the steel"),
                _ => format!(
                    "on the shelf as numbers {first} to {}: write one on each",
                    first + many - 1
                ),
            });
        }
    }

    /// The piece, where that job can have it; otherwise why not, and what to do.
    pub(super) fn to_be_had(
        &self,
        number: u32,
        journal: &str,
        job: Option<Stamp>,
    ) -> Result<&Kept, NotToBeHad> {
        let Some(piece) = self.piece(number) else {
            return Err(NotToBeHad::NoPiece(number));
        };
        let own = piece.by.as_deref() == Some(journal) || job.is_some() && piece.by_job == job;
        match piece.lies {
            Lies::Shelf => Ok(piece),
            Lies::Taken | Lies::Used if own => Ok(piece),
            _ => Err(NotToBeHad::Gone(number, piece.gone().unwrap_or_default())),
        }
    }

    /// Pieces that the job's plan names.
    fn take(
        &mut self,
        journal: &str,
        side: &ShelfSide,
        now: Stamp,
        said: &mut Vec<String>,
    ) -> Result<(), Refused> {
        for number in &side.takes {
            self.to_be_had(*number, journal, Some(side.job))?;
        }
        let lies = if side.finished {
            Lies::Used
        } else {
            Lies::Taken
        };
        for piece in &mut self.pieces {
            let number = piece.number;
            let own = piece.is_with(journal, side.job);
            if side.takes.contains(&number) {
                let as_is = piece.lies == lies && piece.by.as_deref() == Some(journal);
                if !as_is {
                    if piece.lies == Lies::Shelf {
                        said.push(format!("piece {number} of the shelf is taken"));
                    }
                    piece.lay(lies, now, Some((journal, side.job)));
                }
            } else if own && matches!(piece.lies, Lies::Taken) {
                piece.lay(Lies::Shelf, now, None);
                said.push(format!(
                    "piece {number} is on the shelf again: the plan takes it no more"
                ));
            }
        }
        Ok(())
    }
}

impl Kept {
    /// Its size as read: layers and mass follow.
    fn resize(&mut self, size: [f64; 3]) -> Result<(), Refused> {
        if !size
            .iter()
            .all(|one| one.is_finite() && *one > 0.0 && *one <= 10_000.0)
        {
            return Err(Refused::Size);
        }
        let was: f64 = self.spare.size.iter().product();
        let [_, thickness, _] = self.spare.size;
        let [_, now, _] = size;
        for (_, layer) in &mut self.spare.layers {
            *layer *= now / thickness;
        }
        self.spare.mass *= size.iter().product::<f64>() / was;
        self.spare.size = size;
        Ok(())
    }
}

#[cfg(test)]
mod tests;
