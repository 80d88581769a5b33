//! Cells first, then the sharp picture over them.

use std::ops::ControlFlow;

use ratatui::layout::Rect;

use super::super::app::App;
use super::super::guard;
use super::running::Running;
use super::{Ending, Flow, Message};
use crate::ui::Msg;

impl<A: App> Running<'_, A> {
    pub(super) fn draw(&mut self) -> Flow {
        self.draw_cells()?;
        self.sharpen()
    }

    fn draw_cells(&mut self) -> Flow {
        let mut failed = None;
        let drawn = self.shell.screen.draw(|frame| {
            failed = guard::caught(|| self.app.draw(frame)).err();
        });
        if let Some(why) = failed {
            return ControlFlow::Break(Ending::Fault(why));
        }
        match drawn {
            Ok(()) => ControlFlow::Continue(()),
            Err(_) => self.end(),
        }
    }

    /// Sees to the sharp picture once the cells are drawn.
    pub(super) fn sharpen(&mut self) -> Flow {
        let Some(graphics) = self.shell.graphics else {
            return ControlFlow::Continue(());
        };
        let Ok((columns, rows)) = self.shell.screen.size() else {
            return self.end();
        };
        let whole = Rect::new(0, 0, columns, rows);
        let wanted = match guard::caught(|| self.app.plate(whole)) {
            Ok(wanted) => wanted,
            Err(why) => return ControlFlow::Break(Ending::Fault(why)),
        };
        if self.plates.is_stale(wanted.as_ref()) && self.shell.screen.has_picture() {
            // what takes it away wipes cells too
            self.shell.screen.forget();
            self.draw_cells()?;
        }
        if let Some(plate) = self.plates.next(wanted.as_ref()) {
            let work = move |job| {
                let bytes = graphics.encode(&plate).map_err(|e| e.to_string());
                Message::Plate(job, Box::new(plate), bytes)
            };
            if let Err(e) = self.beside("picture", work) {
                self.plates.failed();
                let text = format!("the computer gives no thread for the picture: {e}");
                return self.tell(Msg::Trouble(text));
            }
        }
        let bytes = self.plates.bytes(wanted.as_ref());
        if !bytes.is_empty()
            && !self.shell.screen.has_picture()
            && self.shell.screen.show(bytes, graphics.protocol).is_err()
        {
            return self.end();
        }
        ControlFlow::Continue(())
    }

    pub(super) fn draw_afresh(&mut self) -> Flow {
        self.app.take_dirty();
        self.shell.screen.forget();
        self.draw()
    }
}
