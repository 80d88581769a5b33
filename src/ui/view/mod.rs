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
mod end;
mod far;
mod foot;
mod growth;
mod heat;
mod inspect;
mod layers;
mod measures;
mod now;
mod numbers;
mod pages;
mod pen;
mod picture;
mod road;
mod shading;
mod sizes;
mod words;

use ratatui::Frame;
use ratatui::layout::Rect;

pub use pen::Pen;
pub(super) use pen::wrap;
pub(super) use picture::plate;

use super::fit;
use super::mode::Mode;
use super::model::Model;

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
        Mode::Page { page, top } => pages::draw(model, page, *top, area, &mut pen),
        Mode::Resume | Mode::Legal | Mode::AskPlan { .. } => {
            let speaks = u16::from(!model.banners.is_empty() || model.reply.is_some());
            let above = Rect {
                height: area.height - speaks,
                ..area
            };
            let last = Rect {
                y: area.y + above.height,
                height: speaks,
                ..area
            };
            dialogs::whole(model, above, &mut pen);
            if speaks > 0 {
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
    let plan = fit::plan(area);
    if model.card_asks() && plan.clock.width == 0 && area.height < 20 {
        return small_card(model, area, &plan, pen);
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

/// In a low window an item of the card takes the place of the number.
fn small_card(model: &Model, area: Rect, plan: &fit::Plan, pen: &mut Pen<'_>) {
    now::title(model, plan.title, pen);
    now::operation(model, plan.now, pen);
    let room = Rect::new(
        area.x,
        area.y + 2,
        area.width,
        area.height.saturating_sub(6),
    );
    card::draw(model, room, pen);
    let entry = Rect::new(area.x, room.bottom(), area.width, 1);
    now::entry(model, entry, pen);
    foot::banner(model, plan.banner, pen);
    foot::safety(model, plan.safety, pen);
    foot::hints(model, plan.hints, pen);
}
