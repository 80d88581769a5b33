//! Charts of the bar over the steps: sizes, mass, bands, heats.

use maud::Markup;

use super::plot::{Axis, Plot, Sample};
use super::shown::Page;
use crate::billet::{Dimension, Kind, Stage};
use crate::session::StepData;
use crate::units::{Grams, Mm, Units, show};

/// A point of a step, and its value where there is one.
type Points = Vec<(f64, f64)>;

#[expect(clippy::cast_precision_loss, reason = "a number of steps")]
fn place(number: usize) -> f64 {
    number as f64
}

/// A length as the charts write it.
fn shown(units: Units, mm: f64) -> f64 {
    match units {
        Units::Mm => mm,
        Units::Inch => Mm(mm).inch(),
    }
}

fn mass_shown(units: Units, g: f64) -> f64 {
    match units {
        Units::Mm => g,
        Units::Inch => Grams(g).pounds(),
    }
}

fn mass_unit(units: Units) -> &'static str {
    match units {
        Units::Mm => "g",
        Units::Inch => "lb",
    }
}

/// Thickness, width and length of one piece against steps, wanted beside read.
pub(super) fn sizes(page: &Page<'_>) -> Vec<Markup> {
    let each = [Dimension::Thickness, Dimension::Width, Dimension::Length];
    each.into_iter()
        .filter_map(|what| size(page, what))
        .collect()
}

fn size(page: &Page<'_>, what: Dimension) -> Option<Markup> {
    let units = page.session.plan.units;
    let word = what.word();
    let (mut run, mut wanted, mut read): (Points, Points, Points) = Default::default();
    let mut rows = Vec::new();
    let mut farthest: Option<(f64, usize)> = None;
    for step in page.done_steps() {
        let (data, done) = step;
        let bar = &done.made.billet.bar;
        let left = match what {
            Dimension::Thickness => bar.thickness,
            Dimension::Width => bar.width,
            _ => bar.length,
        };
        let asked = data.wanted.as_ref().and_then(|wanted| match what {
            Dimension::Thickness => wanted.thickness_mm,
            Dimension::Width => wanted.width_mm,
            _ => wanted.length_mm,
        });
        // What is forged is no bar any more: a part of it was read, and stands among the readings.
        if done.made.billet.stage >= Stage::Forged {
            continue;
        }
        // Tiles are read before they lie on anything.
        let of_whole = done.step.kind() != Kind::Slice || what != Dimension::Thickness;
        let asked = asked.filter(|_| of_whole);
        let measured = done.reading.get(what).filter(|_| of_whole);
        let x = place(data.number);
        run.push((x, shown(units, left.0)));
        // What only follows from volume is the line itself.
        let to = done.step.made.target().unwrap_or_default();
        let named = match what {
            Dimension::Thickness => to.thickness,
            Dimension::Width => to.width,
            _ => to.length,
        };
        let told = asked.filter(|_| named.is_some() || measured.is_some());
        wanted.extend(told.map(|mm| (x, shown(units, mm))));
        read.extend(measured.map(|mm| (x, shown(units, mm))));
        if let (Some(mm), Some(asked)) = (measured, asked)
            && farthest.is_none_or(|(so_far, _)| (mm - asked).abs() > so_far.abs())
        {
            farthest = Some((mm - asked, data.number));
        }
        let text = |mm: Option<f64>| mm.map_or_else(|| "-".to_owned(), |mm| units.length(Mm(mm)));
        rows.push(vec![
            format!("{}. {}", data.number, data.title),
            text(asked),
            text(measured),
            units.length(left),
        ]);
    }
    if run.is_empty() {
        return None;
    }
    let says = format!(
        "{word} of one piece, cold, after each step, in {}. Read at {}{}.",
        units.length_unit(),
        show::counted(read.len(), "step"),
        farthest.map_or_else(String::new, |(off, at)| format!(
            "; farthest from what was wanted: {}{} at step {at}",
            if off < 0.0 { "-" } else { "+" },
            units.length(Mm(off.abs()))
        ))
    );
    let values = run.iter().chain(&wanted).chain(&read).map(|(_, y)| *y);
    let y = Axis::over(
        values,
        true,
        format!("{}, one piece, cold", units.length_unit()),
    );
    let mut plot = Plot::new(
        word,
        &capital(word),
        capital(&says),
        Axis::steps(page.last_done()),
        y,
    );
    plot.line(&run, Sample::Line);
    plot.boxes(&wanted);
    plot.dots(&read);
    plot.tell(Sample::Box, "wanted");
    plot.tell(Sample::Dot, "read");
    plot.tell(Sample::Line, "the bar, by readings and volume");
    Some(plot.draw(&["step", "wanted", "read", "left"], &rows))
}

/// With a capital at its head.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().collect::<String>() + letters.as_str())
        .unwrap_or_default()
}

/// Mass against steps, with what the forecast said.
pub(super) fn mass(page: &Page<'_>) -> Option<Markup> {
    let units = page.session.plan.units;
    let (mut run, mut weighed): (Points, Points) = Default::default();
    let mut rows = Vec::new();
    for (data, done) in page.done_steps() {
        let billet = &done.made.billet;
        let x = place(data.number);
        run.push((x, mass_shown(units, billet.mass().0)));
        let read = done
            .reading
            .mass
            .map(|one| Grams(one.0 * f64::from(billet.pieces)));
        weighed.extend(read.map(|all| (x, mass_shown(units, all.0))));
        rows.push(vec![
            format!("{}. {}", data.number, data.title),
            billet.pieces.to_string(),
            units.mass(billet.mass()),
            read.map_or_else(|| "-".to_owned(), |all| units.mass(all)),
        ]);
    }
    let (first, last) = (rows.first()?.get(2)?.clone(), rows.last()?.get(2)?.clone());
    let says = format!(
        "Mass of all pieces together after each step: {first} after the first step done, {last} after the last; \
         weighed at {}.",
        show::counted(weighed.len(), "step")
    );
    let values = run.iter().chain(&weighed).map(|(_, y)| *y);
    let y = Axis::over(values, true, format!("{}, all pieces", mass_unit(units)));
    let mut plot = Plot::new("mass", "Mass", says, Axis::steps(page.last_done()), y);
    plot.line(&run, Sample::Line);
    plot.dots(&weighed);
    plot.tell(Sample::Line, "by readings and allowances");
    if !weighed.is_empty() {
        plot.tell(Sample::Dot, "weighed");
    }
    Some(plot.draw(&["step", "pieces", "mass", "weighed"], &rows))
}

/// Bands against steps, nominal and seen.
pub(super) fn bands(page: &Page<'_>) -> Option<Markup> {
    let (mut nominal, mut seen, mut counted): (Points, Points, Points) = Default::default();
    let mut rows = Vec::new();
    for (data, done) in page.done_steps() {
        let billet = &done.made.billet;
        let x = place(data.number);
        #[expect(clippy::cast_precision_loss, reason = "drawn")]
        let (all, bands) = (billet.nominal as f64, billet.bands() as f64);
        nominal.push((x, all));
        seen.push((x, bands));
        counted.extend(done.reading.bands.map(|n| {
            #[expect(clippy::cast_precision_loss, reason = "drawn")]
            let n = n as f64;
            (x, n)
        }));
        rows.push(vec![
            format!("{}. {}", data.number, data.title),
            show::count(billet.nominal),
            show::count(billet.bands()),
            done.reading
                .bands
                .map_or_else(|| "-".to_owned(), |n| n.to_string()),
        ]);
    }
    let (all, bands) = (rows.last()?.get(1)?.clone(), rows.last()?.get(2)?.clone());
    let goal = &page.session.plan.goal;
    let says = format!(
        "Layers after each step: {all} nominal and {bands} bands at the last step done; {} to {} bands wanted. Bands \
         are worked from the stack and what was lost, an estimate where they were not counted.",
        goal.bands_least, goal.bands_most
    );
    let values = nominal.iter().chain(&seen).chain(&counted).map(|(_, y)| *y);
    let y = Axis::over(values, true, "layers".to_owned());
    let mut plot = Plot::new("bands", "Bands", says, Axis::steps(page.last_done()), y);
    #[expect(clippy::cast_precision_loss, reason = "drawn")]
    let want = [goal.bands_least as f64, goal.bands_most as f64];
    if let [least, most] = want
        && most < 1e9
    {
        let ends = [1.0, place(page.last_done())];
        plot.range(&ends.map(|x| (x, least)), &ends.map(|x| (x, most)));
        plot.tell(Sample::Range, "bands wanted");
    }
    plot.line(&nominal, Sample::Dash);
    plot.line(&seen, Sample::Line);
    plot.dots(&counted);
    plot.tell(Sample::Dash, "nominal");
    plot.tell(Sample::Line, "bands (estimate)");
    if !counted.is_empty() {
        plot.tell(Sample::Dot, "counted");
    }
    Some(plot.draw(&["step", "nominal", "bands", "counted"], &rows))
}

/// Heats wanted and used.
pub(super) fn heats(page: &Page<'_>) -> Option<Markup> {
    let hot: Vec<_> = page
        .done_steps()
        .filter(|(data, _)| data.heats > 0 || data.heats_planned > 0)
        .collect();
    if hot.is_empty() {
        return None;
    }
    let sum = |of: &dyn Fn(&StepData) -> u32| hot.iter().map(|(data, _)| of(data)).sum::<u32>();
    let (wanted, used) = (sum(&|data| data.heats_planned), sum(&|data| data.heats));
    let says = format!(
        "Trips to the fire by step: {used} used in the steps done, {wanted} planned for them."
    );
    let values = hot
        .iter()
        .flat_map(|(data, _)| [data.heats, data.heats_planned])
        .map(f64::from);
    let y = Axis::over(values, true, "heats".to_owned());
    let mut plot = Plot::new("heats", "Heats", says, Axis::steps(page.last_done()), y);
    let mut rows = Vec::new();
    for (data, _) in &hot {
        let x = place(data.number);
        plot.bar(x - 0.2, f64::from(data.heats_planned), 0.34, true);
        plot.bar(x + 0.2, f64::from(data.heats), 0.34, false);
        rows.push(vec![
            format!("{}. {}", data.number, data.title),
            data.heats_planned.to_string(),
            data.heats.to_string(),
        ]);
    }
    rows.push(vec!["all".to_owned(), wanted.to_string(), used.to_string()]);
    plot.tell(Sample::Box, "planned");
    plot.tell(Sample::Bar, "used");
    Some(plot.draw(&["step", "planned", "used"], &rows))
}
