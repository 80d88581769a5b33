//! The shelf as a file that a smith can read and mend.

use serde::{Deserialize, Serialize};

use super::{Flaw, Kept, Lies, MOST, Shelf, Unread};
use crate::journal::{Spare, read_stamp, write_stamp};
use crate::plan::StepId;
use crate::units::{Stamp, show};

/// Head of the file.
const HEAD: &str = "\
# The shelf: offcuts and spare bars kept for other jobs. `anvilside shelf` lists and changes them.
# One number is one piece of steel, and is written on it. Sizes in mm (width, thickness, length), cold;
# mass in g. lies: shelf, taken, used, thrown, or undone (its keeping was taken back).
";

#[derive(Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    piece: Vec<toml::Spanned<Written>>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    number: u32,
    lies: Lies,
    since: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    by: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    by_begun: Option<String>,
    bar: String,
    size: [f64; 3],
    mass: f64,
    bands: u64,
    figure: String,
    steels: Vec<(String, f64)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    layers: Vec<(String, f64)>,
    journal: String,
    step: String,
    kept: String,
    begun: String,
    entry: [u64; 2],
    #[serde(default, skip_serializing_if = "Option::is_none")]
    place: Option<usize>,
}

impl Shelf {
    /// Reads the text of a shelf.
    ///
    /// # Errors
    /// What is wrong, with its line; nothing of the text is taken then.
    pub fn read(text: &str) -> Result<Self, Unread> {
        let line = |at: usize| {
            let before = text.get(..at).unwrap_or(text);
            before.matches('\n').count() + 1
        };
        let file: File = toml::from_str(text).map_err(|error| {
            let at = error.span().map_or(1, |span| line(span.start));
            let why = error.message().lines().next().unwrap_or_default();
            Unread::Text(at, show::plain(why, 200))
        })?;
        if file.piece.len() > MOST {
            return Err(Unread::Many);
        }
        let mut pieces: Vec<Kept> = Vec::with_capacity(file.piece.len());
        for written in file.piece {
            let at = line(written.span().start);
            let piece = kept(written.into_inner()).map_err(|flaw| Unread::Piece(at, flaw))?;
            let number = piece.number;
            if pieces.iter().any(|other| other.number == number) {
                return Err(Unread::Twice(at, number));
            }
            pieces.push(piece);
        }
        pieces.sort_by_key(|piece| piece.number);
        Ok(Self { pieces })
    }

    /// The text of the shelf.
    #[must_use]
    pub fn write(&self) -> String {
        let mut out = HEAD.to_owned();
        for piece in &self.pieces {
            // strings and numbers always write
            let table = toml::to_string(&written(piece)).unwrap_or_default();
            out.push_str(&format!("\n[[piece]]\n{table}"));
        }
        out
    }
}

fn tidy(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

fn written(piece: &Kept) -> Written {
    let spare = &piece.spare;
    let parts = |parts: &[(String, f64)]| {
        let parts = parts.iter();
        parts
            .map(|(name, part)| (name.clone(), tidy(*part)))
            .collect()
    };
    let stamp = |at: Stamp| write_stamp(at).unwrap_or_default();
    Written {
        number: piece.number,
        lies: piece.lies,
        since: stamp(piece.since),
        by: piece.by.clone(),
        by_begun: piece.by_job.map(stamp),
        bar: spare.bar.clone(),
        size: spare.size.map(tidy),
        mass: tidy(spare.mass),
        bands: spare.bands.min(i64::MAX as u64),
        figure: spare.figure.clone(),
        steels: parts(&spare.steels),
        layers: parts(&spare.layers),
        journal: piece.journal.clone(),
        step: spare.from.0.clone(),
        kept: stamp(piece.at),
        begun: stamp(piece.job),
        entry: [piece.entry.0, u64::from(piece.entry.1)],
        place: spare.place,
    }
}

fn kept(from: Written) -> Result<Kept, Flaw> {
    let stamp = |key, text: &str| read_stamp(text).ok_or(Flaw::Time(key));
    let sound = |value: f64| value.is_finite() && value > 0.0;
    if !from.size.iter().copied().all(sound) || !sound(from.mass) {
        return Err(Flaw::Zero("size and mass"));
    }
    if from.number == 0 {
        return Err(Flaw::Number);
    }
    if from.steels.is_empty() {
        return Err(Flaw::NoSteel);
    }
    let parts = |key, parts: Vec<(String, f64)>| {
        if parts.iter().all(|(_, part)| sound(*part)) {
            let plain = parts
                .into_iter()
                .map(|(name, part)| (show::plain(&name, 60), part));
            Ok(plain.collect())
        } else {
            Err(Flaw::Zero(key))
        }
    };
    let [entry, nth] = from.entry;
    let plain = |text: &str| show::plain(text, 120);
    Ok(Kept {
        number: from.number,
        spare: Spare {
            bar: plain(&from.bar),
            place: from.place,
            from: StepId(plain(&from.step)),
            pieces: 1,
            size: from.size,
            mass: from.mass,
            bands: from.bands.max(1),
            figure: plain(&from.figure),
            steels: parts("steels", from.steels)?,
            layers: parts("layers", from.layers)?,
        },
        journal: plain(&from.journal),
        job: stamp("begun", &from.begun)?,
        entry: (entry, u32::try_from(nth).unwrap_or(0)),
        at: stamp("kept", &from.kept)?,
        lies: from.lies,
        since: stamp("since", &from.since)?,
        by: from.by.as_deref().map(plain),
        by_job: from
            .by_begun
            .as_deref()
            .map(|text| stamp("by_begun", text))
            .transpose()?,
    })
}
