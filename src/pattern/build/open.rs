//! Grooves and dimples: open until the press closes them.

use super::Builder;
use crate::pattern::chain::Back;
use crate::pattern::map::stretch::Stretch;

/// Grooves or dimples that the press may still close.
#[derive(Debug, Clone, Copy)]
pub(super) struct Open {
    /// Their step; the stretch after it brings the pressed bar to the size that the next steps know.
    pub(super) at: usize,
    /// That size: width, thickness, length.
    pub(super) known: [f64; 3],
    /// True once pressed.
    pub(super) pressed: bool,
}

impl Builder<'_> {
    pub(super) fn grind(&mut self, off: f64) {
        self.run = None;
        self.skin = (self.skin - off.max(0.0)).max(0.0);
        let Some(open) = &mut self.open else { return };
        if open.pressed {
            // Pressed half-way, then ground: what is open stays open.
            self.open = None;
            return;
        }
        open.known[1] -= 2.0 * off;
        match self.steps.get_mut(open.at) {
            Some(Back::Grooves(map)) => **map = map.as_ref().clone().ground(off),
            Some(Back::Dimples(map)) => **map = map.as_ref().clone().ground(off),
            _ => {}
        }
    }

    /// Grooves or dimples: open until pressed.
    pub(super) fn opened(&mut self, step: Back, known: [f64; 3]) {
        self.open = Some(Open {
            at: self.steps.len(),
            known,
            pressed: false,
        });
        self.steps.push(step);
        self.steps.push(Back::Stretch(Stretch::new(known, known)));
    }

    /// Presses open grooves to a thickness; the stretch after them keeps the size that later steps know.
    pub(super) fn press(&mut self, open: Open, to: f64) {
        let [width, thick, length] = open.known;
        if to >= thick {
            return;
        }
        let long = match self.steps.get_mut(open.at) {
            Some(Back::Grooves(map)) => {
                **map = map.as_ref().clone().pressed(to);
                map.long()
            }
            Some(Back::Dimples(map)) => {
                **map = map.as_ref().clone().pressed(to);
                length
            }
            _ => return,
        };
        if let Some(stretch) = self.steps.get_mut(open.at + 1) {
            *stretch = Back::Stretch(Stretch::new([width, to, long], open.known));
        }
        if let Some(open) = &mut self.open {
            open.pressed = true;
        }
    }
}
