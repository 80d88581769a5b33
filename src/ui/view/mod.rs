//! Drawing. Regions take the model, a rectangle and a pen; they read and never change.
//!
//! The work screen at 80 x 24:
//!
//! ```text
//! job · day · place                                                        time   title
//! NOW  the operation                                     NEXT  the one after      now
//! ████ THE number (4 rows of block digits)        ████ a time beside it           number, clock
//! what the number is                              what the time is                labels
//! > entry line: what is typed, read in both units, beside what was expected       entry
//! SIZES  target  last read  difference      CARD 4 of 9                           sizes, card
//! LAYERS nominal / bands, target range      ▶ the current item                    layers
//! RESTACKS for 2 3 4 5 7 pieces             END VIEW to scale, frame, face up     end
//! banner, reply, or what is owed                                                  banner
//! fire · fire watch · next drink · ears                                           safety
//! keys that work now                                                              hints
//! ```

mod ahead;
mod card;
mod dialogs;
mod doubt;
mod end;
mod far;
mod foot;
mod growth;
mod heat;
mod inspect;
mod layers;
mod leaves;
mod measures;
mod now;
mod numbers;
mod pages;
mod pen;
mod photo;
mod picture;
mod road;
mod shading;
mod shelf;
mod sizes;
mod words;

use ratatui::Frame;
use ratatui::layout::Rect;

pub(super) use leaves::count as leaves;
pub(super) use pages::rows as page_rows;
pub use pen::{Pen, wrap};
pub(super) use pen::{columns, shortened};
pub(super) use picture::plate;

use super::entry::SMALL;
use super::fit;
use super::model::Model;
use super::model::mode::Mode;

/// Draws the whole screen.
pub fn draw(model: &Model, frame: &mut Frame<'_>) {
    let area = frame.area();
    let mut pen = Pen::new(frame.buffer_mut(), &model.settings);
    pen.ground(area);
    if area.width == 0 || area.height == 0 {
        return;
    }
    if fit::too_small(area) {
        far::tiny(model, area, &mut pen);
        return;
    }
    match &model.mode {
        Mode::Far => far::draw(model, area, &mut pen),
        Mode::Picture(viewing) => picture::draw(model, viewing, area, &mut pen),
        Mode::Photo => photo::draw(model, area, &mut pen),
        Mode::Page { page, top } => pages::draw(model, page, *top, area, &mut pen),
        Mode::Resume | Mode::Legal | Mode::AskPlan { .. } => {
            leaves::draw(model, area, &mut pen);
            if model.reply.is_some() || !model.banners.is_empty() {
                let last = Rect::new(area.x, area.bottom() - 1, area.width, 1);
                foot::banner(model, last, &mut pen);
            }
        }
        _ => {
            work(model, area, &mut pen);
            dialogs::over(model, area, &mut pen);
        }
    }
}

fn work(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let mut plan = fit::plan(area);
    if model.asks_rest() && model.entry.is_empty() {
        return rest(model, area, &plan, pen);
    }
    if model.card_asks() && plan.clock.width == 0 && area.height < SMALL {
        return small_card(model, area, &plan, pen);
    }
    // An item with more to read than its place holds takes the place of the end view.
    let wants = card::rows(model, plan.card.width);
    if model.card_asks() && plan.end.height > 0 && wants > plan.card.height {
        plan.card.height += plan.end.height;
        plan.end.height = 0;
    }
    now::title(model, plan.title, pen);
    now::operation(model, plan.now, pen);
    now::numbers(model, &plan, pen);
    now::entry(model, plan.entry, pen);
    // Where sizes and card share a place, what is asked now is drawn.
    let shared = plan.sizes.intersects(plan.card);
    let asks = model.card_asks();
    if !shared || !asks {
        sizes::draw(model, plan.sizes, pen);
        layers::draw(model, plan.layers, pen);
    }
    if !shared || asks {
        card::draw(model, plan.card, pen);
    }
    end::draw(model, plan.end, pen);
    road::draw(model, plan.road, pen);
    foot::banner(model, plan.banner, pen);
    foot::safety(model, plan.safety, pen);
    foot::hints(model, plan.hints, pen);
}

/// The rest of a card over the work.
fn rest(model: &Model, area: Rect, plan: &fit::Plan, pen: &mut Pen<'_>) {
    if area.height >= SMALL {
        now::title(model, plan.title, pen);
        now::operation(model, plan.now, pen);
        foot::safety(model, plan.safety, pen);
    }
    card::rest(model, area, pen);
    foot::hints(model, plan.hints, pen);
    if area.height >= SMALL || model.reply.is_some() {
        foot::banner(model, plan.banner, pen);
    }
}

/// In a low window an item of the card takes all but what is typed, said, and the keys.
fn small_card(model: &Model, area: Rect, plan: &fit::Plan, pen: &mut Pen<'_>) {
    let said = model.reply.is_some() || !model.banners.is_empty();
    let below = if said {
        foot::rows(model, area.width)
    } else {
        1
    };
    let room = Rect {
        height: area.height.saturating_sub(1 + below),
        ..area
    };
    card::draw(model, room, pen);
    let line = Rect::new(area.x, plan.hints.y.saturating_sub(1), area.width, 1);
    if said {
        foot::banner(model, line, pen);
    } else {
        now::entry(model, line, pen);
    }
    foot::hints(model, plan.hints, pen);
}
