//! Counts, and how many more restacks reach the target.

use ratatui::layout::Rect;

use super::pen::{Pen, fitting};
use crate::billet::Billet;
use crate::billet::advice::{Advice, Ends};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;
use crate::units::show;

pub(super) fn draw(model: &Model, area: Rect, pen: &mut Pen<'_>) {
    if area.height == 0 {
        return;
    }
    let session = &model.session;
    let goal = &session.plan.goal;
    let billet = session.metal();
    let counts = billet.counts_text();
    let texts = match session.goes_into() {
        Some(bar) => [
            format!("{counts}, for bar {bar}"),
            counts.clone(),
            counts.clone(),
        ],
        None => {
            let range = format!("{}-{}", goal.bands_least, goal.bands_most);
            [
                format!("{counts}, want {range}"),
                format!("{counts} ({range})"),
                counts.clone(),
            ]
        }
    };
    let counts = fitting(texts, area.width.saturating_sub(7));
    pen.headed(area, 0, "LAYERS", &counts, Meaning::Measured);
    let mut row = 1;
    for one in &model.situation.bar.matching {
        let text = format!("MATCH {}", one.text(model.units()));
        let meaning = match one.todo.is_empty() {
            true => Meaning::Measured,
            false => Meaning::Caution,
        };
        row = pen.wrapped(area, row, &text, meaning);
    }
    if let Some(all) = &model.situation.bar.restacks {
        pen.line(
            area,
            row,
            "RESTACKS ~more  bands  each piece",
            Meaning::Head,
        );
        for advice in all {
            row += 1;
            pen.line(area, row, &words(model, advice), Meaning::Text);
        }
        row += 1;
    }
    bands(model, billet, area, row, pen);
}

fn words(model: &Model, advice: &Advice) -> String {
    let named = advice.named();
    let Some(shortest) = advice.shortest() else {
        let more = match advice.ends {
            Ends::Reaches | Ends::Overshoots => "0",
            Ends::TooShort | Ends::Never => "-",
        };
        let why = advice.none(model.situation.bar.has_bands);
        return format!("{named:>7}    {more}     {why}");
    };
    let state = advice.state();
    format!(
        "{named:>7} {:>4}  {:>6}  {:>10}{} {state}",
        advice.count(),
        show::count(advice.bands),
        model.units().length(shortest),
        // The length is that of the piece, not what it lacks.
        if state == "too short" { ":" } else { "" },
    )
}

/// Band thickness, where there is a row left for it.
fn bands(model: &Model, billet: &Billet, area: Rect, row: u16, pen: &mut Pen<'_>) {
    let units = model.units();
    let layers = &billet.bar.layered().core.layers;
    let text = format!(
        "band mean {}, {} to {}",
        units.fine(billet.mean_band()),
        units.fine(layers.thinnest()),
        units.fine(layers.thickest())
    );
    pen.line(area, row, &text, Meaning::Text);
    let thinned = show::percent(crate::units::Fraction(billet.thinned), 2);
    let text = fitting(
        [
            format!("each first layer is at {thinned} of its thickness"),
            format!("first layers at {thinned} of their thickness"),
        ],
        area.width,
    );
    pen.line(area, row + 1, &text, Meaning::Text);
    if let Some(text) = model.enough_line() {
        pen.wrapped(area, row + 2, &format!("FORECAST {text}"), Meaning::Text);
    }
}
