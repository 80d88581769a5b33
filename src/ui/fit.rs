//! Which regions survive at which size.

use ratatui::layout::Rect;

/// Where each region of the work screen goes; a region of no area is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Plan {
    /// Job, day, place, time.
    pub title: Rect,
    /// The operation now and the next one.
    pub now: Rect,
    /// The number that matters, in block digits.
    pub number: Rect,
    /// The time beside it, in block digits.
    pub clock: Rect,
    /// What the number and the time are.
    pub labels: Rect,
    /// The entry line.
    pub entry: Rect,
    /// Target against measured.
    pub sizes: Rect,
    /// The caution card.
    pub card: Rect,
    /// Counts and restacks.
    pub layers: Rect,
    /// The end view.
    pub end: Rect,
    /// The steps, where there is room for them.
    pub road: Rect,
    /// Banner, reply, or what is owed.
    pub banner: Rect,
    /// Fire, watch, drink, ears.
    pub safety: Rect,
    /// Keys that work now.
    pub hints: Rect,
}

/// True when the window is too small for the work screen.
#[must_use]
pub fn too_small(area: Rect) -> bool {
    area.width < 40 || area.height < 12
}

/// Divides the screen. From 80 x 24 up every region is there; below, the ones that can be asked for
/// by a key go first: road, end view, layers, card beyond its current item.
#[must_use]
pub fn plan(area: Rect) -> Plan {
    let (w, h) = (area.width, area.height);
    let row = |y: u16, rows: u16| Rect::new(area.x, area.y + y.min(h), w, rows.min(h - y.min(h)));
    let mut plan = Plan {
        title: row(0, 1),
        now: row(1, 1),
        ..Plan::default()
    };
    let foot = h - 3;
    plan.banner = row(foot, 1);
    plan.safety = row(foot + 1, 1);
    plan.hints = row(foot + 2, 1);
    let digit_rows = if w >= 120 && h >= 36 { 7 } else { 4 };
    if h < 24 || w < 80 {
        return narrow(plan, area, row);
    }
    let number_width = w * 58 / 100;
    plan.number = Rect::new(area.x, area.y + 2, number_width, digit_rows);
    plan.clock = Rect::new(
        area.x + number_width,
        area.y + 2,
        w - number_width,
        digit_rows,
    );
    plan.labels = row(2 + digit_rows, 1);
    plan.entry = row(3 + digit_rows, 1);
    let top = 4 + digit_rows;
    let body = foot - top;
    let left = if w >= 120 { w * 42 / 100 } else { 45 };
    let road = if w >= 120 { w * 24 / 100 } else { 0 };
    let right = w - left - road;
    let within = right - u16::from(road > 0);
    let y = area.y + top;
    let sizes = 6.min(body);
    // A column stays free between neighbours.
    plan.sizes = Rect::new(area.x, y, left - 1, sizes);
    plan.layers = Rect::new(area.x, y + sizes, left - 1, body - sizes);
    let card = if h >= 36 { (body / 2).max(11) } else { 7 }.min(body);
    plan.card = Rect::new(area.x + left, y, within, card);
    plan.end = Rect::new(area.x + left, y + card, within, body - card);
    plan.road = Rect::new(area.x + left + right, y, road, body);
    plan
}

fn narrow(mut plan: Plan, area: Rect, row: impl Fn(u16, u16) -> Rect) -> Plan {
    let (w, h) = (area.width, area.height);
    let digits = if h >= 16 { 4 } else { 3 };
    plan.number = row(2, digits);
    plan.labels = row(2 + digits, 1);
    plan.entry = row(3 + digits, 1);
    let top = 4 + digits;
    let room = (h - 3).saturating_sub(top);
    // With little room the card and the sizes share the place: the view draws what is asked now.
    let half = if w >= 76 { w / 2 } else { w };
    if w >= 76 {
        plan.sizes = Rect::new(area.x, area.y + top, half, room);
        plan.card = Rect::new(area.x + half, area.y + top, w - half, room);
    } else {
        let sizes = room.min(5);
        plan.sizes = row(top, sizes);
        plan.card = row(top, room);
        plan.layers = row(top + sizes, room - sizes);
    }
    plan
}
