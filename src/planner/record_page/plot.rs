//! Charts as inline SVG: axes with units, marks told apart by shape as well as by colour, a title and a
//! description for those who cannot see it, and a table of the same values behind it.

use maud::{Markup, html};

use crate::plan::report::html::table;
use crate::units::show;

/// Size of a chart and the room round its field, in its own dots: a phone shows them about one to one.
const WIDE: f64 = 440.0;
const LEFT: f64 = 54.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 24.0;
const BELOW: f64 = 40.0;

/// The style of the charts.
pub(super) const STYLE: &str = "
.charts{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,26rem),1fr));gap:.5rem 2rem}
.chart svg{width:100%;height:auto;display:block}.chart{min-width:0}
svg text{font:12px system-ui,sans-serif;fill:var(--ink)}svg .s{fill:var(--soft)}
svg .axis{stroke:var(--line);stroke-width:1;fill:none}svg .grid{stroke:var(--line);stroke-width:.5;stroke-dasharray:1 4}
svg .one{stroke:var(--one);stroke-width:2;fill:none}svg .two{stroke:var(--two);stroke-width:1.8;fill:none;stroke-dasharray:5 3}
svg .dot{fill:var(--one);stroke:var(--paper);stroke-width:1}svg .box{fill:var(--paper);stroke:var(--two);stroke-width:1.8}
svg .range{fill:var(--range)}svg .thin{fill-opacity:.6}svg .three{stroke:var(--ink);stroke-width:1.8;fill:none;stroke-dasharray:2 3}
svg .halo{paint-order:stroke;stroke:var(--paper);stroke-width:4px}svg .solid{fill:var(--one)}svg .mark{stroke:var(--two);stroke-width:1.5;stroke-dasharray:7 4}
.key{list-style:none;display:flex;flex-wrap:wrap;gap:.1rem 1.1rem;padding:0;margin:.1rem 0 .5rem;font-size:.92rem}
.key svg{width:26px;height:12px;vertical-align:-1px;margin-right:.35rem;display:inline}
details{margin:.2rem 0 1rem}summary{cursor:pointer;color:var(--one)}
.chart:has(details[open]){grid-column:1/-1}.chart:has(details[open])>svg{max-width:34rem}
@media print{details:not([open]){display:none}summary{list-style:none;color:inherit}
.charts{grid-template-columns:1fr 1fr;gap:0 8mm}.chart:not(:has(details[open])){break-inside:avoid}
.chart h3{margin-top:.8rem}.chart table{font-size:8pt}.chart th,.chart td{padding:.1rem .3rem}.key{font-size:8pt}}
";

/// One axis: where it begins and ends, and what is written on it.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) label: String,
    pub(super) ticks: Vec<(f64, String)>,
}

impl Axis {
    /// From round number to round number over these values.
    pub(super) fn over(
        values: impl IntoIterator<Item = f64>,
        from_zero: bool,
        label: String,
    ) -> Self {
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.into_iter().filter(|value| value.is_finite()) {
            (least, most) = (least.min(value), most.max(value));
        }
        if least > most {
            (least, most) = (0.0, 1.0);
        }
        if from_zero {
            least = least.min(0.0);
        }
        // no finer than the third decimal, the last that is written
        let each = round_step(((most - least).max(most.abs() * 0.02) / 5.0).max(1e-3));
        let (from, to) = ((least / each).floor() * each, (most / each).ceil() * each);
        let to = if to > from { to } else { from + each };
        let decimals = if each >= 1.0 {
            0
        } else if each >= 0.1 {
            1
        } else if each >= 0.01 {
            2
        } else {
            3
        };
        let mut ticks = Vec::new();
        let mut at = from;
        while at <= to + each * 0.01 && ticks.len() < 20 {
            ticks.push((at, show::trimmed(at, decimals)));
            at += each;
        }
        Self {
            from,
            to,
            label,
            ticks,
        }
    }

    /// Steps from the first to the last, by their numbers.
    pub(super) fn steps(last: usize) -> Self {
        let each = (last / 8).max(1);
        #[expect(clippy::cast_precision_loss, reason = "a number of steps")]
        let ticks = (1..=last)
            .filter(|n| *n == 1 || n % each == 0)
            .map(|n| (n as f64, n.to_string()));
        #[expect(clippy::cast_precision_loss, reason = "a number of steps")]
        let to = last.max(2) as f64;
        Self {
            from: 0.5,
            to: to + 0.5,
            label: "step".to_owned(),
            ticks: ticks.collect(),
        }
    }

    fn share(&self, value: f64) -> f64 {
        ((value - self.from) / (self.to - self.from)).clamp(-0.02, 1.02)
    }
}

/// 1, 2 or 5 times a power of ten, at least so much.
fn round_step(least: f64) -> f64 {
    let ten = 10_f64.powf(least.log10().floor());
    let times = [1.0, 2.0, 5.0]
        .into_iter()
        .find(|times| times * ten >= least * 0.999);
    times.unwrap_or(10.0) * ten
}

/// A chart: its axes, its marks, the words for it, and the table behind it.
#[derive(Debug)]
pub(super) struct Plot {
    id: String,
    title: String,
    says: String,
    x: Axis,
    y: Axis,
    high: f64,
    marks: Vec<Markup>,
    key: Vec<(Sample, String)>,
}

/// How a kind of mark looks in the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sample {
    Line,
    Dash,
    Points,
    Dot,
    Box,
    Range,
    Bar,
}

impl Plot {
    /// An empty field; `says` is what somebody hears who cannot see it.
    pub(super) fn new(id: &str, title: &str, says: String, x: Axis, y: Axis) -> Self {
        Self {
            id: id.to_owned(),
            title: title.to_owned(),
            says,
            x,
            y,
            high: 260.0,
            marks: Vec::new(),
            key: Vec::new(),
        }
    }

    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let (wide, high) = (WIDE - LEFT - RIGHT, self.high - TOP - BELOW);
        (
            LEFT + self.x.share(x) * wide,
            TOP + (1.0 - self.y.share(y)) * high,
        )
    }

    fn points(&self, points: &[(f64, f64)]) -> String {
        let each = points.iter().map(|(x, y)| {
            let (x, y) = self.at(*x, *y);
            format!("{x:.1},{y:.1}")
        });
        each.collect::<Vec<_>>().join(" ")
    }

    fn mark(&mut self, mark: Markup) {
        self.marks.push(mark);
    }

    /// Says in the key what a kind of mark is.
    pub(super) fn tell(&mut self, sample: Sample, words: impl Into<String>) {
        self.key.push((sample, words.into()));
    }

    /// A line through points, plain, dashed or dotted.
    pub(super) fn line(&mut self, points: &[(f64, f64)], sample: Sample) {
        let class = sample.stroke();
        let points = self.points(points);
        self.mark(html! { polyline class=(class) points=(points) {} });
    }

    /// A round mark at each point.
    pub(super) fn dots(&mut self, points: &[(f64, f64)]) {
        for (x, y) in points {
            let (x, y) = self.at(*x, *y);
            self.mark(html! { circle class="dot" cx=(px(x)) cy=(px(y)) r="3.5" {} });
        }
    }

    /// A square mark at each point, with room inside for a round one.
    pub(super) fn boxes(&mut self, points: &[(f64, f64)]) {
        for (x, y) in points {
            let (x, y) = self.at(*x, *y);
            self.mark(
                html! { rect class="box" x=(px(x - 5.5)) y=(px(y - 5.5)) width="11" height="11" {} },
            );
        }
    }

    /// The room between a lower and an upper line.
    pub(super) fn range(&mut self, low: &[(f64, f64)], high: &[(f64, f64)]) {
        let mut round = low.to_vec();
        round.extend(high.iter().rev());
        let points = self.points(&round);
        self.mark(html! { polygon class="range thin" points=(points) {} });
    }

    /// A column from the foot of the field.
    pub(super) fn bar(&mut self, x: f64, to: f64, wide: f64, open: bool) {
        let (left, top) = self.at(x - wide / 2.0, to);
        let (right, foot) = self.at(x + wide / 2.0, self.y.from);
        let class = if open { "box" } else { "solid" };
        self.mark(html! {
            rect class=(class) x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px((foot - top).max(0.0))) {}
        });
    }

    /// A line across the whole field, with its word.
    pub(super) fn across(&mut self, y: f64, word: &str) {
        let ((left, at), (right, _)) = (self.at(self.x.from, y), self.at(self.x.to, y));
        self.mark(html! {
            line class="mark" x1=(px(left)) x2=(px(right)) y1=(px(at)) y2=(px(at)) {}
            text class="s halo" x=(px(right)) y=(px(at - 5.0)) text-anchor="end" { (word) }
        });
    }

    /// A line up the whole field.
    pub(super) fn upright(&mut self, x: f64) {
        let ((at, low), (_, high)) = (self.at(x, self.y.from), self.at(x, self.y.to));
        self.mark(
            html! { line class="axis" x1=(px(at)) x2=(px(at)) y1=(px(low)) y2=(px(high)) {} },
        );
    }

    /// A steel's letter beside a point.
    pub(super) fn letter(&mut self, at: Option<(f64, f64)>, letter: char) {
        if let Some((x, y)) = at {
            let (x, y) = self.at(x, y);
            self.mark(
                html! { text.halo x=(px(x + 3.0)) y=(px(y + 4.0)) font-weight="600" { (letter) } },
            );
        }
    }

    /// The chart, its key, and its table behind a line to press.
    pub(super) fn draw(self, head: &[&str], rows: &[Vec<String>]) -> Markup {
        let high = self.high;
        let foot = high - BELOW;
        let labels = self.x.ticks.iter().map(|(at, word)| {
            let (x, _) = self.at(*at, self.y.from);
            // Half of the widest word stays inside the drawing.
            let x = x.min(WIDE - 18.0);
            html! { text x=(px(x)) y=(px(foot + 16.0)) text-anchor="middle" { (word) } }
        });
        let rungs = self.y.ticks.iter().map(|(at, word)| {
            let (_, y) = self.at(self.x.from, *at);
            html! {
                line class="grid" x1=(px(LEFT)) x2=(px(WIDE - RIGHT)) y1=(px(y)) y2=(px(y)) {}
                text x=(px(LEFT - 6.0)) y=(px(y + 4.0)) text-anchor="end" { (word) }
            }
        });
        let field = html! {
            @for rung in rungs { (rung) }
            @for label in labels { (label) }
            path class="axis" d=(format!("M{LEFT} {TOP}V{foot}H{}", WIDE - RIGHT)) {}
            @for mark in &self.marks { (mark) }
            text.s x="2" y="13" { (self.y.label) }
            text.s x=(px(WIDE - RIGHT)) y=(px(foot + 33.0)) text-anchor="end" { (self.x.label) }
        };
        framed(
            &self.id,
            &self.title,
            &self.says,
            [WIDE, high],
            &field,
            &self.key,
            head,
            rows,
        )
    }
}

/// A length in dots, to a tenth.
pub(super) fn px(value: f64) -> String {
    show::trimmed(value, 1)
}

/// A drawing with its title, its description, its key and its table.
#[expect(clippy::too_many_arguments, reason = "the parts of a figure")]
pub(super) fn framed(
    id: &str,
    title: &str,
    says: &str,
    [wide, high]: [f64; 2],
    drawing: &Markup,
    key: &[(Sample, String)],
    head: &[&str],
    rows: &[Vec<String>],
) -> Markup {
    let view = format!("0 0 {} {}", px(wide), px(high));
    html! {
        section.chart id=(id) {
            h3 { (title) }
            svg viewBox=(view) role="img" aria-labelledby=(format!("{id}-t {id}-d")) {
                title id=(format!("{id}-t")) { (title) }
                desc id=(format!("{id}-d")) { (says) }
                (drawing)
            }
            @if !key.is_empty() {
                ul.key { @for (sample, words) in key { li { (sample.draw()) (words) } } }
            }
            details {
                summary { "Table: " (title) }
                (table(title, head, rows))
            }
        }
    }
}

impl Sample {
    fn stroke(self) -> &'static str {
        match self {
            Self::Dash => "two",
            Self::Points => "three",
            _ => "one",
        }
    }

    fn draw(self) -> Markup {
        html! {
            svg viewBox="0 0 26 12" aria-hidden="true" focusable="false" {
                @match self {
                    Self::Line | Self::Dash | Self::Points => {
                        line class=(self.stroke()) x1="0" x2="26" y1="6" y2="6" {}
                    },
                    Self::Dot => circle class="dot" cx="13" cy="6" r="4.5" {},
                    Self::Box => rect class="box" x="9" y="2" width="8" height="8" {},
                    Self::Range => rect class="range thin" x="0" y="1" width="26" height="10" {},
                    Self::Bar => rect class="solid" x="9" y="1" width="8" height="10" {},
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_holds_its_values_between_round_numbers() {
        for values in [
            vec![3.2, 57.0],
            vec![0.61, 0.9],
            vec![5.0, 5.0],
            vec![0.0],
            vec![],
            vec![-2.5, 2.5],
            vec![1e6, 3e6],
            vec![0.0, 2e-10],
            vec![-2e-10],
            vec![0.0011, 0.0042],
        ] {
            let axis = Axis::over(values.clone(), false, String::new());
            assert!(
                values.iter().all(|v| *v >= axis.from && *v <= axis.to),
                "{axis:?}"
            );
            assert!(axis.from < axis.to && axis.ticks.len() >= 2, "{axis:?}");
            assert!(axis.ticks.len() <= 9, "{axis:?}");
            let words: Vec<&String> = axis.ticks.iter().map(|(_, word)| word).collect();
            assert!(words.windows(2).all(|two| two[0] != two[1]), "{axis:?}");
        }
    }
}
