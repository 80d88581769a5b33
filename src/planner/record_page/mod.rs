//! The account of a job as one page to show, keep and print. Every figure is one of [`Account`] or of the
//! session that it was made from; the page works none of its own.

mod days;
mod fire;
mod flow;
mod plot;
mod shown;
mod sizes;

use maud::{Markup, PreEscaped, html};

use self::shown::Page;
use super::account::Account;
use crate::pattern::base64;
use crate::plan::report::html::{deferral, page};
use crate::session::{Session, StepData};
use crate::units::{Fraction, Seconds, show};

/// A picture of the page.
#[derive(Debug, Clone)]
pub struct PagePicture {
    /// It is long and low, and takes a row of its own.
    pub long: bool,
    /// What it shows, for those who cannot see it and under it for the others.
    pub caption: String,
    /// The picture as PNG.
    pub png: Vec<u8>,
    /// Width and height in dots.
    pub size: [u32; 2],
}

/// The pictures of the page.
#[derive(Debug, Clone, Default)]
pub struct PagePictures {
    /// The blade, finished or as it is foreseen.
    pub blade: Option<PagePicture>,
    /// The main steps, in order.
    pub steps: Vec<PagePicture>,
}

/// Style of this page alone.
const OWN: &str = "
.hero{margin:1rem 0 1.4rem}.hero img,.shots img{width:100%;background:#f4f1ec;border:1px solid var(--line)}
.shots{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,13rem),1fr));gap:1rem;align-items:end}
.shots figure{margin:0}.shots figure:has(img.long){grid-column:1/-1;max-width:40rem}
.days{columns:2 24rem;column-gap:2rem}.days>div{padding:.1rem 0 .4rem}.days h4{margin-top:.2rem;break-after:avoid}.days h4+*{break-before:avoid}.days p{margin:.05rem 0}
nav ul{display:flex;flex-wrap:wrap;gap:.2rem 1.2rem;list-style:none;padding:0}
.live{border-left:6px solid var(--two);padding:.2rem .8rem;background:var(--box)}
@media print{.shots{grid-template-columns:repeat(4,1fr)}.shots img{max-height:60mm;object-fit:contain}.days{columns:2;font-size:9pt}.soft{break-after:avoid}}
";

/// The page. With `again` a browser that has it open asks for it anew after so many seconds.
#[must_use]
pub fn record_page(
    session: &Session,
    account: &Account,
    pictures: &PagePictures,
    again: Option<u32>,
) -> String {
    let of = Page { session, account };
    let sections = [
        ("days", "The job by day"),
        ("figures", "The job in figures"),
        ("readings", "Readings"),
        ("cards", "Cards"),
        ("notes", "Notes and decisions"),
    ];
    let body = html! {
        h1 { (session.plan.title) }
        p.soft { (stands(&of)) }
        @if let Some(seconds) = again {
            p.live { "Kept current while the job runs; read anew every " (seconds) " seconds." }
        }
        @if let Some(blade) = &pictures.blade { div.hero { (picture(blade)) } }
        (facts(&of))
        (deferral())
        nav aria-label="On this page" { ul { @for (id, name) in sections { li { a href=(format!("#{id}")) { (name) } } } } }
        @if !pictures.steps.is_empty() {
            h2 { "From stack to blade" }
            p.soft { "Pictures follow from the moves made; the hammer's unevenness is a guess from a seed, so the figure is an estimate." }
            div.shots { @for one in &pictures.steps { (picture(one)) } }
        }
        h2 id="days" { "The job by day" }
        (days::days(&of))
        (to_come(&of))
        h2 id="figures" { "The job in figures" }
        (figures(&of))
        h2 id="readings" { "Readings" }
        (days::readings(&of))
        h2 id="cards" { "Cards" }
        (days::cards(&of))
        h2 id="notes" { "Notes and decisions" }
        (days::notes(&of))
    };
    let style = format!("{}{OWN}", plot::STYLE);
    let title = format!("Record of {}", session.plan.title);
    page(&title, &style, again, &body)
}

/// How far the job is, and from when to when it was worked.
fn stands(page: &Page<'_>) -> String {
    let record = &page.account.record;
    let worked = match (&record.first, &record.last) {
        (Some(first), Some(last)) => {
            format!("Worked from {} to {}", page.local(first), page.local(last))
        }
        _ => "Not begun: nothing has been done on this plan yet".to_owned(),
    };
    let (done, all) = (page.session.done.len(), page.session.plan.steps.len());
    match page.session.current() {
        None => format!("{worked}; finished, {}.", show::counted(all, "step")),
        Some(step) => format!(
            "{worked}; NOT FINISHED: {done} of {all} steps done, at {}.",
            step.name()
        ),
    }
}

fn facts(page: &Page<'_>) -> Markup {
    let session = page.session;
    let units = session.plan.units;
    let goal = &session.plan.goal;
    let billet = session.metal();
    let ledger = &billet.ledger;
    let whole = ledger.start + ledger.added;
    let kept = Fraction(if whole.is_positive() {
        billet.volume() / whole
    } else {
        0.0
    });
    let wanted = if session.is_finished() {
        ""
    } else {
        ", wanted"
    };
    let blade = units.size(goal.blade.width, goal.blade.spine, goal.blade.length);
    let steels = session.plan.steels.iter().map(|steel| {
        let name = if steel.key.len() > 1 {
            format!(" ({})", steel.key)
        } else {
            String::new()
        };
        format!("{} {}{name}", steel.letter, steel.with_lot())
    });
    let pattern: &'static str = goal.pattern.into();
    let record = &page.account.record;
    let hot = format!("Above {} (estimate)", units.temperature(fire::HOT));
    let left = if session.is_finished() {
        "In the finished work"
    } else {
        "In hand"
    };
    let mut rows = vec![
        (
            "Made",
            format!("{}, {pattern} pattern{wanted}", goal.knives_words()),
        ),
        ("Blade, width x spine x length", format!("{blade}{wanted}")),
        ("Layers", billet.counts_text()),
        ("Mean band (estimate)", units.fine(billet.mean_band())),
        ("Steels", steels.collect::<Vec<_>>().join(", ")),
        ("At the edge", session.edge_words()),
        ("Steel in", units.volume(whole)),
        (
            left,
            format!("{}, {}", units.mass(billet.mass()), show::percent(kept, 1)),
        ),
        (
            "Heats",
            format!(
                "{}, {} in the fire",
                record.heats.len(),
                show::span(Seconds(record.in_fire_s))
            ),
        ),
        (hot.as_str(), fire::minutes(record.above_1100_s)),
    ];
    let told = &page.account.forecast;
    let all = told.figures.len();
    if all > 0 {
        rows.push((
            "Forecast",
            format!("{} of {all} figures came inside their range", told.inside),
        ));
    }
    html! {
        dl.facts { @for (what, value) in &rows { div { dt { (what) } dd { (value) } } } }
        @for line in &page.account.costs_said { p { (line) } }
    }
}

/// What is left of a job that is not finished.
fn to_come(page: &Page<'_>) -> Markup {
    let record = &page.account.record;
    let left: Vec<&StepData> = record.steps.iter().skip(page.session.done.len()).collect();
    html! {
        @if !left.is_empty() {
            h3 { "Still to come" }
            ul { @for step in left { li { (step.number) ". " (step.title) ", day " (step.day) } } }
        }
    }
}

fn figures(page: &Page<'_>) -> Markup {
    if page.session.done.is_empty() {
        return html! { p { "There is nothing to draw yet: no step is done." } };
    }
    let mut charts = sizes::sizes(page);
    charts.extend(sizes::mass(page));
    charts.extend(flow::flow(page));
    charts.extend(sizes::bands(page));
    charts.extend(fire::days(page));
    charts.extend(fire::carbon(page));
    charts.extend(sizes::heats(page));
    charts.extend(flow::forecast(page));
    let told = &page.account.forecast;
    let used: u32 = page.session.done.iter().map(|done| done.heats).sum();
    html! {
        p.soft.screen { "Behind each chart lies its table. A table that is open is printed with its chart." }
        p.soft { "Forecast before the first step: " (told.heats.words(0)) " heats, "
            (told.minutes.map(|m| m / 60.0).words(0)) " h at work; so far " (show::counted(used, "heat")) "." }
        div.charts { @for chart in &charts { (chart) } }
    }
}

fn picture(of: &PagePicture) -> Markup {
    let data = format!("data:image/png;base64,{}", base64::encode(&of.png));
    let [width, height] = of.size;
    html! {
        figure {
            img.long[of.long] src=(PreEscaped(data)) alt=(of.caption) width=(width) height=(height);
            figcaption { (of.caption) }
        }
    }
}
