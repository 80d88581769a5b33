//! The count in words and in JSON.

use std::fmt::Write as _;

use serde_json::{Value, json};

use crate::count::{Reading, Why};
use crate::journal::Photograph;
use crate::session::Session;

/// Doubts told in words; JSON has all.
const TOLD: usize = 8;

/// What the model of a plan has.
#[derive(Debug)]
pub(super) struct Beside {
    title: String,
    bands: u128,
}

impl Beside {
    pub(super) fn of(session: &Session) -> Self {
        Self {
            title: session.plan.title.clone(),
            bands: session.metal().bands(),
        }
    }
}

/// A count with all that is told of it.
#[derive(Debug)]
pub(super) struct Told {
    pub(super) reading: Reading,
    pub(super) name: String,
    pub(super) checksum: u32,
    /// Height of the bar, mm.
    pub(super) height: Option<f32>,
    pub(super) beside: Option<Beside>,
}

impl Told {
    /// Millimetres of a pixel.
    fn scale(&self) -> Option<f32> {
        let height: f32 = self.reading.mean * self.reading.bands as f32;
        self.height.filter(|_| height > 0.0).map(|mm| mm / height)
    }

    pub(super) fn text(&self) -> String {
        let r = &self.reading;
        let mut out = format!("{}: {}\n", r.count_words(), r.sure_words());
        let size = |pixels: f32| match self.scale() {
            Some(scale) => format!("~{:.2} mm", pixels * scale),
            None => format!("{pixels:.1} pixels"),
        };
        let _ = writeln!(
            out,
            "mean band {}, thinnest {}",
            size(r.mean),
            size(r.thinnest)
        );
        let [[x1, y1], [x2, y2]] = [r.line.from, r.line.to];
        let _ = writeln!(
            out,
            "numbered along the line {x1:.0},{y1:.0},{x2:.0},{y2:.0} (pixels from the upper left)"
        );
        for doubt in r.doubts.iter().take(TOLD) {
            let _ = writeln!(out, "  {}", doubt.words());
        }
        if r.doubts.len() > TOLD {
            let _ = writeln!(
                out,
                "  and {} more places (--json lists all)",
                r.doubts.len() - TOLD
            );
        }
        if let Some(beside) = &self.beside {
            let _ = writeln!(out, "{}", self.agreement(beside));
        }
        out
    }

    /// What the journal keeps of the picture.
    pub(super) fn photograph(&self) -> Photograph {
        let name = std::path::Path::new(&self.name);
        let name = name
            .file_name()
            .map_or(self.name.clone(), |n| n.to_string_lossy().into_owned());
        let line = self.reading.line;
        Photograph::new(&name, self.checksum, Some([line.from, line.to]))
    }

    fn agrees(&self, beside: &Beside) -> bool {
        (self.reading.low as u128..=self.reading.high as u128).contains(&beside.bands)
    }

    fn agreement(&self, beside: &Beside) -> String {
        let Beside { title, bands } = beside;
        if self.agrees(beside) {
            return format!(
                "beside it: the model of \"{title}\" has {bands} bands, inside the range"
            );
        }
        let doubled = self
            .reading
            .doubts
            .iter()
            .any(|doubt| doubt.why == Why::Doubled);
        let why = if doubled && *bands > self.reading.bands as u128 {
            "look at the doubled bands above"
        } else {
            "count again along another line, or count by eye"
        };
        format!("beside it: the model of \"{title}\" has {bands} bands, outside the range; {why}")
    }

    pub(super) fn json(&self) -> Value {
        let r = &self.reading;
        let ends = [r.line.from, r.line.to].concat();
        let line: Vec<f64> = ends.into_iter().map(round).collect();
        let borders: Vec<[f64; 2]> = r.borders.iter().map(|b| b.at.map(round)).collect();
        let mm = |pixels: f32| self.scale().map(|scale| round(pixels * scale));
        json!({
            "bands": r.bands,
            "low": r.low,
            "high": r.high,
            "refused": null,
            "photo": self.name,
            "checksum": format!("{:08x}", self.checksum),
            "exact_share": round(r.sure()),
            "lines": r.lines,
            "mean_px": round(r.mean),
            "thinnest_px": round(r.thinnest),
            "mean_mm": mm(r.mean),
            "thinnest_mm": mm(r.thinnest),
            "line": line,
            "borders": borders,
            "doubts": r.doubts.iter().map(|doubt| json!({
                "from": doubt.from,
                "to": doubt.to,
                "why": doubt.why.words(),
            })).collect::<Vec<_>>(),
            "model": self.beside.as_ref().map(|beside| json!({
                "title": beside.title,
                "bands": u64::try_from(beside.bands).unwrap_or(u64::MAX),
                "agrees": self.agrees(beside),
            })),
        })
    }
}

/// What JSON says of a picture that gives no number.
pub(super) fn refused(why: &str) -> Value {
    json!({ "bands": null, "low": null, "high": null, "refused": why })
}

fn round(number: f32) -> f64 {
    (f64::from(number) * 1000.0).round() / 1000.0
}
