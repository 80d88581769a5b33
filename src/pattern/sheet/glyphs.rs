//! Our own letters, drawn as strokes of a pen with a round point: what captions are written with, the same
//! in dots and in vectors.
//!
//! A letter is an advance and a path in units of which a capital is [`CAP`] high, from the line up. `M x y`
//! sets the pen down, `L x y` draws a line, `H x y` and `V x y` draw a quarter of an ellipse that sets out
//! level or upright.

/// Height of a capital.
pub(crate) const CAP: f64 = 14.0;
/// Width of the pen.
pub(crate) const PEN: f64 = 1.9;
/// What a handle of a cubic curve is of its side, for a quarter of an ellipse: 4/3 (sqrt 2 - 1).
const HANDLE: f64 = 0.552_284_75;
/// Straight parts that a curve is drawn with in dots.
const PARTS: u32 = 6;

/// A place, in units.
pub(crate) type Place = [f64; 2];

/// A part of a stroke, to its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Part {
    Line(Place),
    /// A cubic curve by its two handles.
    Curve(Place, Place, Place),
}

/// A stroke: where the pen is set down, and its parts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stroke {
    pub(crate) from: Place,
    pub(crate) parts: Vec<Part>,
}

impl Stroke {
    /// The stroke as places joined by straight lines.
    pub(crate) fn places(&self) -> Vec<Place> {
        let mut out = vec![self.from];
        let mut at = self.from;
        for part in &self.parts {
            match *part {
                Part::Line(to) => {
                    out.push(to);
                    at = to;
                }
                Part::Curve(one, two, to) => {
                    for n in 1..=PARTS {
                        let t = f64::from(n) / f64::from(PARTS);
                        let u = 1.0 - t;
                        let mix = |a: f64, b: f64, c: f64, d: f64| {
                            u * u * u * a
                                + 3.0 * u * u * t * b
                                + 3.0 * u * t * t * c
                                + t * t * t * d
                        };
                        let [x, y] = [
                            mix(at[0], one[0], two[0], to[0]),
                            mix(at[1], one[1], two[1], to[1]),
                        ];
                        out.push([x, y]);
                    }
                    at = to;
                }
            }
        }
        out
    }
}

/// How far on the next letter stands, and the strokes of this one. What is not known is a question mark.
pub(crate) fn glyph(letter: char) -> (f64, Vec<Stroke>) {
    if let Some((advance, path)) = known(letter) {
        return (advance, strokes(path));
    }
    for (marked, bare, mark) in MARKED {
        let at = marked.chars().position(|one| one == letter);
        if let Some(base) = at.and_then(|at| bare.chars().nth(at)) {
            let (advance, mut all) = glyph(base);
            let raise = if base.is_uppercase() { 3.6 } else { 0.0 };
            for mut stroke in strokes(mark) {
                let shift = |place: Place| [place[0] + advance / 2.0, place[1] + raise];
                stroke.from = shift(stroke.from);
                for part in &mut stroke.parts {
                    *part = match *part {
                        Part::Line(to) => Part::Line(shift(to)),
                        Part::Curve(one, two, to) => Part::Curve(shift(one), shift(two), shift(to)),
                    };
                }
                all.push(stroke);
            }
            return (advance, all);
        }
    }
    known('?').map_or((CAP, Vec::new()), |(advance, path)| {
        (advance, strokes(path))
    })
}

/// How wide words are, in units.
pub(crate) fn width(words: &str) -> f64 {
    let advance = |letter| match known(letter) {
        Some((advance, _)) => advance,
        None => glyph(letter).0,
    };
    words.chars().map(advance).sum()
}

fn known(letter: char) -> Option<(f64, &'static str)> {
    let at = (letter as usize).checked_sub(32)?;
    let more = || MORE.iter().find(|(one, ..)| *one == letter);
    let plain = LETTERS.get(at).copied();
    plain.or_else(|| more().map(|(_, advance, path)| (*advance, *path)))
}

fn strokes(path: &str) -> Vec<Stroke> {
    let mut out: Vec<Stroke> = Vec::new();
    let mut at = [0.0; 2];
    let mut words = path.split_whitespace();
    while let Some(word) = words.next() {
        let mut number = || {
            words
                .next()
                .and_then(|word| word.parse().ok())
                .unwrap_or(0.0)
        };
        let to = [number(), number()];
        let part = match word {
            "M" => {
                out.push(Stroke {
                    from: to,
                    parts: Vec::new(),
                });
                at = to;
                continue;
            }
            "H" => Part::Curve(
                [at[0] + HANDLE * (to[0] - at[0]), at[1]],
                [to[0], to[1] - HANDLE * (to[1] - at[1])],
                to,
            ),
            "V" => Part::Curve(
                [at[0], at[1] + HANDLE * (to[1] - at[1])],
                [to[0] - HANDLE * (to[0] - at[0]), to[1]],
                to,
            ),
            _ => Part::Line(to),
        };
        if let Some(stroke) = out.last_mut() {
            stroke.parts.push(part);
        }
        at = to;
    }
    out
}

/// From the space to the tilde.
const LETTERS: [(f64, &str); 95] = [
    (5.0, ""),
    (4.6, "M 2.3 14 L 2.3 4.4 M 2.3 0 L 2.3 0.4"),
    (7.0, "M 2.2 14 L 2.2 10.5 M 4.8 14 L 4.8 10.5"),
    (
        13.0,
        "M 4.6 0 L 6.2 14 M 8.6 0 L 10.2 14 M 1.6 9.3 L 12 9.3 M 1 4.6 L 11.4 4.6",
    ),
    (
        11.0,
        "M 9 11 V 5.5 12.8 H 1.9 9.8 V 5.5 7 H 9.2 3.9 V 5.5 1.2 H 1.6 3.2 M 5.5 15 L 5.5 -1",
    ),
    (
        16.0,
        "M 4.2 14 H 1.4 10.7 V 4.2 7.4 H 7 10.7 V 4.2 14 M 11.8 6.6 H 9 3.3 V 11.8 0 H 14.6 3.3 V 11.8 6.6 M 12 14 L 4 0",
    ),
    (
        14.0,
        "M 12.5 0 L 3.6 10.6 V 6.2 14 H 8.8 11.4 V 6 7.8 H 1.6 3.8 V 5.6 0 H 11.8 6.4",
    ),
    (4.0, "M 2 14 L 2 10.5"),
    (6.0, "M 5 15.6 H 1.8 6 V 5 -3.6"),
    (6.0, "M 1 15.6 H 4.2 6 V 1 -3.6"),
    (
        9.0,
        "M 4.5 14 L 4.5 7.6 M 1.7 12.4 L 7.3 9.2 M 7.3 12.4 L 1.7 9.2",
    ),
    (11.5, "M 5.75 1.6 L 5.75 10 M 1.5 5.8 L 10 5.8"),
    (4.6, "M 2.6 0.4 L 1.6 -2.6"),
    (7.0, "M 1.4 5.4 L 5.6 5.4"),
    (4.6, "M 2.3 0 L 2.3 0.4"),
    (8.0, "M 1 -2 L 7 15"),
    (11.0, "M 5.5 14 H 1.6 7 V 5.5 0 H 9.4 7 V 5.5 14"),
    (11.0, "M 2.4 11.2 L 5.8 14 L 5.8 0 M 2.6 0 L 9 0"),
    (
        11.0,
        "M 1.8 10.6 V 5.4 14 H 9.2 10.2 L 8.4 7.8 L 1.6 0 L 9.6 0",
    ),
    (
        11.0,
        "M 1.8 11.6 V 5.2 14 H 9 10.7 V 5.2 7.5 L 4.2 7.5 M 5.2 7.5 H 9.4 3.7 V 5.2 0 H 1.4 2.8",
    ),
    (11.0, "M 7.6 0 L 7.6 14 L 1.2 4 L 10 4"),
    (
        11.0,
        "M 8.8 14 L 2.7 14 L 2.2 7.4 V 5.4 8.8 H 9.4 4.4 V 5.2 0 H 1.4 2.6",
    ),
    (
        11.0,
        "M 8.8 12.6 V 6.4 14 H 1.6 5 M 1.6 4.6 V 5.5 8.8 H 9.4 4.4 V 5.5 0 H 1.6 4.6",
    ),
    (11.0, "M 1.4 14 L 9.6 14 L 4 0"),
    (
        11.0,
        "M 5.5 7.6 H 2 10.8 V 5.5 14 H 9 10.8 V 5.5 7.6 H 1.5 3.8 V 5.5 0 H 9.5 3.8 V 5.5 7.6",
    ),
    (
        11.0,
        "M 9.4 9.4 V 5.5 5.2 H 1.6 9.6 V 5.5 14 H 9.4 9.4 M 9.4 9 V 4.6 0 H 2.2 1.4",
    ),
    (4.6, "M 2.3 0 L 2.3 0.4 M 2.3 8 L 2.3 8.4"),
    (4.6, "M 2.6 0.4 L 1.6 -2.6 M 2.4 8 L 2.4 8.4"),
    (11.0, "M 9.5 10.5 L 1.5 5.8 L 9.5 1.1"),
    (11.5, "M 1.5 8 L 10 8 M 1.5 3.6 L 10 3.6"),
    (11.0, "M 1.5 10.5 L 9.5 5.8 L 1.5 1.1"),
    (
        10.0,
        "M 1.6 11.2 V 5 14 H 8.6 10.6 L 8 8.6 L 5 6 L 5 4.4 M 5 0 L 5 0.4",
    ),
    (
        17.0,
        "M 11.5 5.5 V 8.5 9 H 5.4 5.5 V 8.5 2 H 11.5 5.5 M 11.5 9 L 11.5 4 V 13 2 H 15.5 6 V 8.5 13 H 1.6 5 V 8.5 -3 L 12 -2.6",
    ),
    (13.0, "M 1 0 L 6.5 14 L 12 0 M 3 5 L 10 5"),
    (
        12.5,
        "M 2 0 L 2 14 L 7 14 H 10 10.75 V 7 7.5 L 2 7.5 M 7 7.5 H 11 3.75 V 7 0 L 2 0",
    ),
    (13.0, "M 11.5 10.8 V 7 14 H 1.8 7 V 7 0 H 11.5 3.2"),
    (13.5, "M 2 0 L 2 14 L 6 14 H 12 7 V 6 0 L 2 0"),
    (11.5, "M 10.3 14 L 2 14 L 2 0 L 10.3 0 M 2 7.3 L 9.3 7.3"),
    (11.0, "M 10.2 14 L 2 14 L 2 0 M 2 7.3 L 9 7.3"),
    (
        14.0,
        "M 11.7 11 V 7.2 14 H 1.8 7 V 7.2 0 H 12 3.5 L 12 6.8 L 8 6.8",
    ),
    (13.5, "M 2 0 L 2 14 M 11.5 0 L 11.5 14 M 2 7.3 L 11.5 7.3"),
    (4.8, "M 2.4 0 L 2.4 14"),
    (9.0, "M 7 14 L 7 4 V 4 0 H 1 3.2"),
    (12.5, "M 2 0 L 2 14 M 11 14 L 2 5.5 M 5.2 8.6 L 11.5 0"),
    (10.5, "M 2 14 L 2 0 L 9.8 0"),
    (16.0, "M 2 0 L 2 14 L 8 4 L 14 14 L 14 0"),
    (13.5, "M 2 0 L 2 14 L 11.5 0 L 11.5 14"),
    (14.5, "M 7.25 14 H 1.8 7 V 7.25 0 H 12.7 7 V 7.25 14"),
    (12.0, "M 2 0 L 2 14 L 7 14 H 10.8 10.2 V 7 6.4 L 2 6.4"),
    (
        14.5,
        "M 7.25 14 H 1.8 7 V 7.25 0 H 12.7 7 V 7.25 14 M 8.5 4 L 12.5 -1",
    ),
    (
        12.5,
        "M 2 0 L 2 14 L 7 14 H 10.8 10.2 V 7 6.4 L 2 6.4 M 7 6.4 L 11.2 0",
    ),
    (
        12.0,
        "M 10.2 11.4 V 6 14 H 1.9 10.6 V 6 7.2 H 10.4 3.5 V 6 0 H 1.4 2.9",
    ),
    (12.0, "M 6 0 L 6 14 M 1 14 L 11 14"),
    (13.5, "M 2 14 L 2 5 V 6.75 0 H 11.5 5 L 11.5 14"),
    (12.5, "M 1 14 L 6.25 0 L 11.5 14"),
    (18.0, "M 1 14 L 5 0 L 9 12 L 13 0 L 17 14"),
    (12.5, "M 1.5 0 L 11 14 M 1.5 14 L 11 0"),
    (12.0, "M 1 14 L 6 7 L 11 14 M 6 7 L 6 0"),
    (12.0, "M 1.5 14 L 10.5 14 L 1.5 0 L 10.8 0"),
    (6.0, "M 5 15.6 L 2.2 15.6 L 2.2 -3.6 L 5 -3.6"),
    (8.0, "M 1 15 L 7 -2"),
    (6.0, "M 1 15.6 L 3.8 15.6 L 3.8 -3.6 L 1 -3.6"),
    (10.0, "M 1.5 9.5 L 5 14 L 8.5 9.5"),
    (10.0, "M 0.5 -2.5 L 9.5 -2.5"),
    (6.0, "M 2 14.5 L 4 12"),
    (
        11.0,
        "M 2.2 8 V 5.3 10 H 9 6.4 L 9 0 M 9 6 L 5 6 H 1.6 3 V 4.8 0 H 9 3.4",
    ),
    (11.5, "M 2 14 L 2 0 M 2 5 V 6 10 H 10 5 V 6 0 H 2 5"),
    (10.5, "M 9.3 7.7 V 5.8 10 H 1.6 5 V 5.8 0 H 9.3 2.3"),
    (
        11.5,
        "M 9.5 14 L 9.5 0 M 9.5 5 V 5.5 10 H 1.6 5 V 5.5 0 H 9.5 5",
    ),
    (11.0, "M 1.8 5.2 L 9.6 5.2 V 5.8 10 H 1.6 5 V 6 0 H 9.2 2.4"),
    (7.0, "M 7 14 L 6 14 H 3.4 11 L 3.4 0 M 1 10 L 6.6 10"),
    (
        11.5,
        "M 9.5 10 L 9.5 -0.5 V 5.5 -4 H 2 -2 M 9.5 5 V 5.5 10 H 1.6 5 V 5.5 0 H 9.5 5",
    ),
    (11.5, "M 2 14 L 2 0 M 2 5.5 V 6 10 H 9.6 6 L 9.6 0"),
    (4.4, "M 2.2 10 L 2.2 0 M 2.2 13.4 L 2.2 13.8"),
    (
        5.0,
        "M 2.8 10 L 2.8 -1.5 V 0.6 -4 L 0 -4 M 2.8 13.4 L 2.8 13.8",
    ),
    (10.5, "M 2 14 L 2 0 M 9 10 L 2 4 M 4.8 6.4 L 9.6 0"),
    (5.0, "M 2.2 14 L 2.2 2 V 4 0 L 4.4 0"),
    (
        17.0,
        "M 2 10 L 2 0 M 2 6 V 5.4 10 H 8.5 6.5 L 8.5 0 M 8.5 6 V 12 10 H 15 6.5 L 15 0",
    ),
    (11.5, "M 2 10 L 2 0 M 2 5.5 V 6 10 H 9.6 6 L 9.6 0"),
    (11.5, "M 5.75 10 H 1.6 5 V 5.75 0 H 9.9 5 V 5.75 10"),
    (11.5, "M 2 10 L 2 -4 M 2 5 V 6 10 H 10 5 V 6 0 H 2 5"),
    (
        11.5,
        "M 9.5 10 L 9.5 -4 M 9.5 5 V 5.5 10 H 1.6 5 V 5.5 0 H 9.5 5",
    ),
    (7.5, "M 2 10 L 2 0 M 2 5.5 V 6 10 L 7 10"),
    (
        9.8,
        "M 8.2 8.2 V 5 10 H 1.7 7.6 V 5 5.2 H 8.4 2.5 V 4.9 0 H 1.3 2",
    ),
    (7.2, "M 3.2 13 L 3.2 3 V 5.6 0 L 6.8 0 M 1 10 L 6.6 10"),
    (11.5, "M 1.9 10 L 1.9 4 V 5.5 0 H 9.5 4.5 M 9.5 10 L 9.5 0"),
    (10.5, "M 1 10 L 5.25 0 L 9.5 10"),
    (15.0, "M 1 10 L 4.2 0 L 7.5 9 L 10.8 0 L 14 10"),
    (10.5, "M 1.2 0 L 9.2 10 M 1.2 10 L 9.2 0"),
    (10.5, "M 1 10 L 5.3 0.3 M 9.5 10 L 4.6 -2 V 2.4 -4 L 1.2 -4"),
    (10.0, "M 1.5 10 L 8.5 10 L 1.3 0 L 8.7 0"),
    (
        7.0,
        "M 6 15.6 L 5.4 15.6 H 3.4 13 L 3.4 8 V 1.4 6 H 3.4 4 L 3.4 -1 V 5.4 -3.6 L 6 -3.6",
    ),
    (4.6, "M 2.3 15.6 L 2.3 -3.6"),
    (
        7.0,
        "M 1 15.6 L 1.6 15.6 H 3.6 13 L 3.6 8 V 5.6 6 H 3.6 4 L 3.6 -1 V 1.6 -3.6 L 1 -3.6",
    ),
    (11.5, "M 1.5 4.8 V 3.6 7 H 5.75 5.9 V 8 4.8 H 10 7"),
];

/// Beyond plain ASCII.
const MORE: [(char, f64, &str); 9] = [
    ('\u{131}', 4.4, "M 2.2 10 L 2.2 0"),
    (
        'ß',
        11.0,
        "M 2 0 L 2 11 V 5.2 14 H 8.4 11 V 6 8 H 9.6 4 V 6 0 L 4.8 0",
    ),
    ('×', 11.5, "M 2.3 2.4 L 9.2 9.3 M 2.3 9.3 L 9.2 2.4"),
    (
        '±',
        11.5,
        "M 5.75 3 L 5.75 10 M 1.5 6.5 L 10 6.5 M 1.5 0 L 10 0",
    ),
    ('·', 4.6, "M 2.3 5.6 L 2.3 6"),
    ('°', 6.5, "M 3.2 14 H 1.4 12.2 V 3.2 10.4 H 5 12.2 V 3.2 14"),
    ('\u{2013}', 9.0, "M 1 5.4 L 8 5.4"),
    (
        'Ø',
        14.5,
        "M 7.25 14 H 1.8 7 V 7.25 0 H 12.7 7 V 7.25 14 M 3 -0.6 L 11.5 14.6",
    ),
    (
        'ø',
        11.5,
        "M 5.75 10 H 1.6 5 V 5.75 0 H 9.9 5 V 5.75 10 M 2.4 -0.8 L 9.2 10.8",
    ),
];

/// Letters with a mark: the letters, those that they are without it, and the mark about the middle of a
/// small letter.
const MARKED: [(&str, &str, &str); 7] = [
    ("ÀÈÌÒÙàèìòù", "AEIOUae\u{131}ou", "M -1.6 14 L 0.6 12"),
    (
        "ÁÉÍÓÚÝáéíóúýńśź",
        "AEIOUYae\u{131}ouynsz",
        "M 1.6 14 L -0.6 12",
    ),
    (
        "ÂÊÎÔÛâêîôû",
        "AEIOUae\u{131}ou",
        "M -2.2 12 L 0 14 L 2.2 12",
    ),
    (
        "ÃÑÕãñõ",
        "ANOano",
        "M -2.4 12.2 V -1.2 13.6 H 0 12.9 V 1.2 12.2 H 2.4 13.6",
    ),
    (
        "ÄËÏÖÜäëïöüÿ",
        "AEIOUae\u{131}ouy",
        "M -2 13 L -2 13.4 M 2 13 L 2 13.4",
    ),
    (
        "Åå",
        "Aa",
        "M 0 14.8 H -1.4 13.4 V 0 12 H 1.4 13.4 V 0 14.8",
    ),
    ("Çç", "Cc", "M 0.4 0 L 0 -3 L -1.4 -3.2"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_differs_and_stays_in_its_room() {
        let all: Vec<(f64, Vec<Stroke>)> = (' '..='~').map(glyph).collect();
        assert_eq!(all.len(), LETTERS.len());
        for (n, (advance, strokes)) in all.iter().enumerate() {
            assert!(n == 0 || !strokes.is_empty());
            for [x, y] in strokes.iter().flat_map(Stroke::places) {
                // half a pen over the edge at the most, as in j
                assert!(x >= -0.1 && x <= advance + 0.1, "{n}: {x}");
                assert!((-4.1..=16.0).contains(&y), "{n}: {y}");
            }
            assert!(
                all.iter().skip(n + 1).all(|(_, other)| strokes != other),
                "{n}"
            );
        }
        assert_eq!(glyph('\u{4e00}'), glyph('?'));
        let marked = "ÀÉÎÕÜåçñßøØ×±·°";
        assert!(marked.chars().all(|letter| glyph(letter) != glyph('?')));
        assert!((width("ü") - width("u")).abs() < 1e-9);
    }

    /// A quarter of an ellipse by its own equation: x²/a² + y²/b² = 1, within the curve's known error.
    #[test]
    fn round_letters_are_round() {
        let (_, strokes) = glyph('O');
        for [x, y] in strokes.iter().flat_map(Stroke::places) {
            let (x, y) = ((x - 7.25) / 5.45, (y - 7.0) / 7.0);
            assert!((x.hypot(y) - 1.0).abs() < 3e-4, "{x} {y}");
        }
    }
}
