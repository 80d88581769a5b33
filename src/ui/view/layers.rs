//! Counts, and how many more restacks reach the target.

use ratatui::layout::Rect;

use super::pen::Pen;
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::show;

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.height == 0 {
        return;
    }
    let session = &model.session;
    let billet = if session.step.reading.is_empty() {
        &session.billet
    } else {
        &session.live.billet
    };
    let goal = &session.plan.goal;
    let counts = format!(
        "{} nominal / {} bands, want {}-{}",
        show::count(billet.nominal),
        show::count(billet.bands()),
        goal.bands_least,
        goal.bands_most
    );
    pen.headed(area, 0, "LAYERS", &counts, Meaning::Measured);
}
