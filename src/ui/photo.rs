//! Photographs of an etched end: the newest of a folder, one of them counted, the line that it is counted along.

use std::sync::Arc;

use crate::count::{Beside, Line, Photo, Reading, beside};
use crate::units::Stamp;

/// A picture of the folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoFile {
    pub name: String,
    /// When it was last changed.
    pub changed: Stamp,
}

/// One count that is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoAsk {
    /// Name of the file.
    pub name: String,
    /// The picture, where it was read already.
    pub photo: Option<Arc<Photo>>,
    /// The line to count along; none to find it.
    pub line: Option<Line>,
    /// Heights of the bands that the model expects, from the face that is down; none where it knows none.
    pub expected: Arc<[f32]>,
}

/// What the screen wants of the folder.
#[derive(Debug, Clone, PartialEq)]
pub enum PhotoWish {
    /// What is in it, now and whenever that changes.
    Newest,
    /// One picture counted.
    Count(Box<PhotoAsk>),
}

/// What came of a count.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoFound {
    /// What was asked.
    pub ask: PhotoAsk,
    /// The reading, or why there is none.
    pub reading: Result<Reading, String>,
    /// The reading beside what the model expects.
    pub beside: Option<Beside>,
}

/// What the shell tells of the folder.
#[derive(Debug, Clone, PartialEq)]
pub enum PhotoTold {
    /// The newest pictures of that folder, the newest first, or why it cannot be read.
    Newest(String, Result<Vec<PhotoFile>, String>),
    /// A count.
    Counted(Box<PhotoFound>),
}

impl PhotoAsk {
    /// Counts; the picture is there.
    #[must_use]
    pub fn answer(self, photo: Result<Arc<Photo>, String>) -> PhotoFound {
        let photo = match photo {
            Ok(photo) => photo,
            Err(why) => {
                return PhotoFound {
                    ask: self,
                    reading: Err(why),
                    beside: None,
                };
            }
        };
        let reading = crate::count::count(photo.grey.clone(), self.line);
        let reading = reading.map_err(|why| why.to_string());
        let against = reading
            .as_ref()
            .ok()
            .and_then(|found| beside(&found.heights(), &self.expected));
        PhotoFound {
            ask: Self {
                photo: Some(photo),
                ..self
            },
            reading,
            beside: against,
        }
    }
}

/// What of the line moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moves {
    /// All of it.
    Whole,
    /// The end that it begins at.
    First,
    /// The other end.
    Last,
}

/// One picture that is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    pub file: PhotoFile,
    /// What came of the newest count; none while the first is made.
    pub found: Option<PhotoFound>,
    /// The line, once it was moved.
    pub line: Option<Line>,
    /// A count is being made.
    pub counting: bool,
    /// What of the line moves.
    pub moves: Moves,
    /// It moves by small steps.
    pub fine: bool,
    /// The place that is shown close, by its number among the places.
    pub close: Option<usize>,
}

/// A place of a reading that is worth a look: its bands and what is said of it.
pub(super) type PlaceOf = (usize, usize, String);

impl Shown {
    pub(super) fn new(file: PhotoFile) -> Self {
        Self {
            file,
            found: None,
            line: None,
            counting: true,
            moves: Moves::Whole,
            fine: false,
            close: None,
        }
    }

    /// The picture, once it was read.
    pub(super) fn photo(&self) -> Option<&Arc<Photo>> {
        self.found.as_ref()?.ask.photo.as_ref()
    }

    /// The reading, where there is one.
    pub(super) fn reading(&self) -> Option<&Reading> {
        self.found.as_ref()?.reading.as_ref().ok()
    }

    /// The reading beside the model.
    pub(super) fn against(&self) -> Option<&Beside> {
        self.found.as_ref()?.beside.as_ref()
    }

    /// The line in force: moved, as counted, or down the middle.
    pub(super) fn line_now(&self) -> Option<Line> {
        let photo = self.photo()?;
        let (wide, high) = (photo.grey.wide as f32, photo.grey.high as f32);
        Some(self.line.unwrap_or_else(|| match self.reading() {
            Some(reading) => reading.line,
            None => Line {
                from: [wide / 2.0, 0.1 * high],
                to: [wide / 2.0, 0.9 * high],
            },
        }))
    }

    /// Places worth a look: those that are unsure, then those that differ from the model.
    pub(super) fn places(&self) -> Vec<PlaceOf> {
        let unsure = self.reading().map(|found| found.doubts.as_slice());
        let apart = self.against().map(|found| found.apart.as_slice());
        let unsure = unsure.unwrap_or_default().iter();
        let apart = apart.unwrap_or_default().iter();
        unsure
            .map(|doubt| (doubt.from, doubt.to, doubt.words()))
            .chain(apart.map(|one| (one.from, one.to, one.words())))
            .collect()
    }
}

/// The pictures of the folder, and the one looked at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Looking {
    /// The folder, in words.
    pub folder: String,
    /// Its newest pictures; none before it was read.
    pub files: Option<Result<Vec<PhotoFile>, String>>,
    /// The picture looked at.
    pub shown: Option<Shown>,
}

impl Looking {
    /// True while one picture is looked at.
    #[must_use]
    pub fn is_close(&self) -> bool {
        self.shown.is_some()
    }
}
