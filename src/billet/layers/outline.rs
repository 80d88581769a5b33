//! The tree in one line, for tests and for debugging.

use std::fmt;

use super::{Layers, Shape};

/// Characters after which an outline is cut short.
const LONGEST: usize = 2_000;

impl Layers {
    /// The tree as text: `4 x ((A2 B1 A2) * 0.333333)`. Steels are letters by their place, a star is
    /// a scale, `~` upside down. Cut short when it is long.
    #[must_use]
    pub fn outline(&self) -> String {
        enum Todo<'a> {
            Open(&'a Layers),
            Text(String),
        }
        let mut out = String::new();
        let mut todo = vec![Todo::Open(self)];
        while let Some(next) = todo.pop() {
            if out.len() > LONGEST {
                out.push_str(" ...");
                break;
            }
            match next {
                Todo::Text(text) => out.push_str(&text),
                Todo::Open(layers) => match &layers.0.shape {
                    Shape::Leaf => {
                        let (steel, thickness) = layers.0.sum.first;
                        out.push_str(&format!("{}{}", letter(steel.0), short(thickness)));
                    }
                    Shape::Cat(cat) => {
                        out.push('(');
                        todo.push(Todo::Text(")".to_owned()));
                        for (at, part) in cat.parts.iter().enumerate().rev() {
                            todo.push(Todo::Open(part));
                            if at > 0 {
                                todo.push(Todo::Text(" ".to_owned()));
                            }
                        }
                    }
                    Shape::Rep(of, times) => {
                        out.push_str(&format!("{times} x "));
                        todo.push(Todo::Open(of));
                    }
                    Shape::Mir(of) => {
                        out.push('~');
                        todo.push(Todo::Open(of));
                    }
                    Shape::Scale(of, factor) => {
                        out.push('(');
                        todo.push(Todo::Text(format!(" * {})", short(*factor))));
                        todo.push(Todo::Open(of));
                    }
                },
            }
        }
        out
    }
}

fn letter(steel: u8) -> char {
    if steel < 26 {
        char::from(b'A' + steel)
    } else {
        '?'
    }
}

fn short(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl fmt::Debug for Layers {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Layers[{} bands, {} mm: {}]",
            self.bands(),
            short(self.height().0),
            self.outline()
        )
    }
}
