//! Where the metal went, as a flow from the first stack to the knife, and how good the forecast was.

use maud::{Markup, html};

use super::plot::{Axis, Plot, Sample, framed, px};
use super::shown::Page;
use crate::billet::Loss;
use crate::units::{Fraction, Mm3, show};

/// Sizes of the drawing, in its own dots.
const WIDE: f64 = 440.0;
const HIGH: f64 = 210.0;
const TOP: f64 = 22.0;
const FROM: f64 = 18.0;
const TO: f64 = 215.0;
/// Least height of a line of words.
const LINE: f64 = 18.0;

/// One stream: its words, its metal, and whether it is the work.
struct Stream {
    words: String,
    metal: Mm3,
    work: bool,
}

pub(super) fn flow(page: &Page<'_>) -> Option<Markup> {
    let session = page.session;
    let units = session.plan.units;
    let billet = session.metal();
    let ledger = &billet.ledger;
    let whole = ledger.start + ledger.added;
    if !whole.is_positive() {
        return None;
    }
    let share = |part: Mm3| show::percent(Fraction(part / whole), 1);
    let work = if session.is_finished() {
        session.plan.goal.knives_words()
    } else {
        "in hand".to_owned()
    };
    let mut streams = vec![
        Stream {
            words: work,
            metal: billet.volume(),
            work: true,
        },
        Stream {
            words: "kept aside".to_owned(),
            metal: billet.stock_volume(),
            work: false,
        },
    ];
    streams.extend(Loss::ALL.map(|loss| Stream {
        words: loss.word().to_owned(),
        metal: ledger.total(loss),
        work: false,
    }));
    streams.retain(|stream| stream.metal.0.abs() > 0.5);
    let mut rows = vec![vec![
        "first stack".to_owned(),
        "in".to_owned(),
        units.volume(ledger.start),
        share(ledger.start),
    ]];
    if ledger.added.is_positive() {
        let (added, part) = (units.volume(ledger.added), share(ledger.added));
        rows.push(vec!["bars added".to_owned(), "in".to_owned(), added, part]);
    }
    rows.extend(streams.iter().map(|stream| {
        let (metal, part) = (units.volume(stream.metal), share(stream.metal));
        let way = if stream.work || stream.words == "kept aside" {
            "there"
        } else {
            "gone"
        };
        vec![stream.words.clone(), way.to_owned(), metal, part]
    }));
    let told = streams
        .iter()
        .map(|stream| format!("{} {}", stream.words, share(stream.metal)));
    let says = format!(
        "{} of steel in; of it {}. By readings, and by allowance where nothing was read.",
        units.volume(whole),
        told.collect::<Vec<_>>().join(", ")
    );
    let (drawing, high) = drawn(&streams, whole, &units.volume(whole), |metal| {
        format!("{}, {}", units.volume(metal), share(metal))
    });
    let head = ["what", "way", "volume", "share"];
    let title = "Where the metal went";
    Some(framed(
        "flow",
        title,
        &says,
        [WIDE, high],
        &drawing,
        &[],
        &head,
        &rows,
    ))
}

fn drawn(
    streams: &[Stream],
    whole: Mm3,
    all: &str,
    words: impl Fn(Mm3) -> String,
) -> (Markup, f64) {
    let tall = |metal: Mm3| (metal / whole).clamp(0.0, 1.0) * HIGH;
    let (mut from, mut to) = (TOP, TOP);
    let mut parts = Vec::new();
    for stream in streams {
        let thick = tall(stream.metal);
        let slot = thick.max(LINE);
        // A thin stream runs in the middle of its line of words.
        let top = to + (slot - thick) / 2.0;
        let (a, b, c, d) = (from, top, top + thick, from + thick);
        let bend = (FROM + TO) / 2.0;
        let way = format!(
            "M{FROM} {}C{bend} {} {bend} {} {TO} {}V{}C{bend} {} {bend} {} {FROM} {}Z",
            px(a),
            px(a),
            px(b),
            px(b),
            px(c),
            px(c),
            px(d),
            px(d)
        );
        let class = if stream.work { "solid" } else { "range" };
        parts.push(html! {
            path class=(class) d=(way) {}
            text x=(px(TO + 8.0)) y=(px(to + slot / 2.0 + 4.0)) {
                tspan font-weight="600" { (stream.words) } "  " (words(stream.metal))
            }
        });
        from += thick;
        to += slot + 6.0;
    }
    let drawing = html! {
        text.s x="2" y="13" { (all) " in" }
        rect class="solid" x="6" y=(px(TOP)) width="10" height=(px(HIGH)) {}
        @for part in &parts { (part) }
    };
    (drawing, to.max(TOP + HIGH) + 8.0)
}

/// Where a figure lies in its range: 0 best, -1 and 1 the ends; what is past all measure is held at the rim.
fn place(range: crate::physics::Spread, came: f64) -> f64 {
    const RIM: f64 = 2.4;
    let off = came - range.best;
    let half = if off < 0.0 {
        range.best - range.low
    } else {
        range.high - range.best
    };
    if off.abs() < 1e-9 {
        0.0
    } else if half > 1e-9 {
        (off / half).clamp(-RIM, RIM)
    } else {
        RIM.copysign(off)
    }
}

/// Forecast range against what came.
pub(super) fn forecast(page: &Page<'_>) -> Option<Markup> {
    let told = &page.account.forecast;
    let all = told.figures.len();
    if all == 0 {
        return None;
    }
    let last = page.last_done();
    let y = Axis {
        from: -2.5,
        to: 2.5,
        label: "where it came in its range".to_owned(),
        ticks: [(-1.0, "low"), (0.0, "best"), (1.0, "high")]
            .map(|(at, word)| (at, word.to_owned()))
            .to_vec(),
    };
    let says = format!(
        "{} of {all} figures came inside their range; nine in ten is what a range promises. Sizes and masses that \
         were read, heats that were logged and minutes that were timed, against the forecast of the plan as it was \
         worked, from before its first step and without this job's own readings.",
        told.inside
    );
    let x = Axis::steps(last);
    let ends = [x.from, x.to];
    let mut plot = Plot::new("forecast", "Forecast against what came", says, x, y);
    plot.range(&ends.map(|x| (x, -1.0)), &ends.map(|x| (x, 1.0)));
    let spot = |sizes: bool| -> Vec<(f64, f64)> {
        let own = told.figures.iter().filter(|figure| {
            let clocked = figure.what == "heats" || figure.what == "minutes";
            clocked != sizes
        });
        own.map(|figure| {
            #[expect(clippy::cast_precision_loss, reason = "a number of steps")]
            let x = figure.number as f64;
            (x, place(figure.range, figure.came))
        })
        .collect()
    };
    plot.boxes(&spot(false));
    plot.dots(&spot(true));
    plot.tell(Sample::Range, "the range, nine in ten");
    plot.tell(Sample::Dot, "sizes, mass, bands");
    plot.tell(Sample::Box, "heats, minutes");
    let units = page.session.plan.units;
    let rows: Vec<Vec<String>> = told
        .figures
        .iter()
        .map(|figure| {
            let text = |value: f64| page.figure(units, figure.what, value);
            vec![
                format!("{}. {}", figure.number, figure.step),
                figure.what.to_owned(),
                format!(
                    "{} ({} to {})",
                    text(figure.range.best),
                    text(figure.range.low),
                    text(figure.range.high)
                ),
                text(figure.came),
                if figure.inside { "inside" } else { "OUTSIDE" }.to_owned(),
            ]
        })
        .collect();
    let head = ["step", "what", "forecast (range)", "came", "of its range"];
    Some(plot.draw(&head, &rows))
}
