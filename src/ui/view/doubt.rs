//! The page of the count in doubt.

use crate::session::Recount;
use crate::ui::choices::{asks, ways};
use crate::ui::model::Model;
use crate::ui::theme::Meaning;

use crate::units::{Fraction, show};

pub(super) fn page(model: &Model) -> Vec<(Meaning, String)> {
    let mut out = vec![(
        Meaning::Head,
        "What is sure? Its number turns it over.".to_owned(),
    )];
    let asked = asks(model);
    for (n, ask) in (1..).zip(&asked) {
        let (mark, meaning) = match ask.sure {
            true => ("sure    ", Meaning::Measured),
            false => ("NOT sure", Meaning::Caution),
        };
        out.push((meaning, format!("{n}  {mark}  {}", ask.words)));
    }
    out.push((Meaning::Text, String::new()));
    let ways = ways(model);
    let own = ways.iter().find(|way| way.pieces.is_empty());
    out.extend(own.map(|way| (Meaning::Text, format!("now: {}", line(way)))));
    out.push((
        Meaning::Head,
        "Counts that agree with what is sure; its number takes one:".to_owned(),
    ));
    let before = out.len();
    let others = ways.iter().filter(|way| !way.pieces.is_empty());
    for (n, way) in (asked.len() + 1..10).zip(others) {
        out.push((Meaning::Now, format!("{n}  {}", line(way))));
    }
    if out.len() == before {
        let none = "none: be less sure, or count an end at an inspect step";
        out.push((Meaning::Caution, none.to_owned()));
    }
    out.push((Meaning::Text, String::new()));
    out.push((
        Meaning::Text,
        "What is taken goes into the journal; the steps since are worked again with what was read, the lost piece is kept aside, and - takes it back."
            .to_owned(),
    ));
    out
}

/// One way: its pieces, its counts, and what the sizes say.
fn line(way: &Recount) -> String {
    let off = match way.off {
        None => "no full reading since".to_owned(),
        Some(off) => {
            let part = show::percent(Fraction((off.exp() - 1.0).abs()), 0);
            let word = if off < 0.0 { "less" } else { "more" };
            format!("{part} {word} metal read")
        }
    };
    format!(
        "{}: {} nominal / {} bands; {off}",
        way.words,
        show::count(way.nominal),
        show::count(way.bands)
    )
}
