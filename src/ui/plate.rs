//! A sharp picture over cells that the screen leaves blank.

use std::sync::Arc;

use ratatui::layout::Rect;

use super::model::Model;
use super::model::picture::{Glance, Key};
use super::view;
use crate::pattern::Picture;
use crate::session::Subject;

/// Most pixels of one: past it fewer are made, and a terminal that can stretches them.
const MOST: u64 = 2_000_000;

/// What a terminal that takes sharp pictures is to show, and where. Two are equal when the same picture
/// lies in the same place.
#[derive(Debug, Clone)]
pub struct Plate {
    /// The cells it covers.
    pub area: Rect,
    /// Pixels across and down.
    pub size: [u32; 2],
    key: Key,
    glance: Glance,
    subject: Arc<Subject>,
}

impl PartialEq for Plate {
    fn eq(&self, other: &Self) -> bool {
        (self.area, self.key) == (other.area, other.key)
    }
}

impl Plate {
    /// Makes the picture, in pixels across and down. Slow: for a thread of its own.
    #[must_use]
    pub fn render(&self, size: [u32; 2]) -> Picture {
        self.glance.scene(&self.subject, size).render()
    }
}

impl Model {
    /// The sharp picture that belongs on a screen of this size now; none where cells show it.
    #[must_use]
    pub fn plate(&self, screen: Rect) -> Option<Plate> {
        let cell = self.settings.sharp?;
        let (area, glance) = view::plate(self, screen)?;
        let subject = self.subject(glance.place)?;
        let size = pixels([area.width, area.height], cell);
        let key = self.key(glance, size);
        Some(Plate {
            area,
            size,
            key,
            glance,
            subject,
        })
    }
}

/// The pixels of so many cells, fewer in the same shape where they are too many.
fn pixels(cells: [u16; 2], cell: [u16; 2]) -> [u32; 2] {
    let [wide, high] = [0, 1].map(|n| {
        let of = |pair: [u16; 2]| u32::from(pair.get(n).copied().unwrap_or(1)).max(1);
        of(cells) * of(cell)
    });
    let all = u64::from(wide) * u64::from(high);
    let mut part = 1;
    while all / (u64::from(part) * u64::from(part)) > MOST {
        part += 1;
    }
    [wide.div_ceil(part), high.div_ceil(part)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_has_its_pixels_until_they_are_too_many() {
        assert_eq!(pixels([80, 18], [8, 16]), [640, 288]);
        assert_eq!(pixels([200, 60], [20, 40]), [1334, 800]);
        assert_eq!(pixels([1, 1], [0, 0]), [1, 1]);
    }
}
