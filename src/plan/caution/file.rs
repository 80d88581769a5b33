//! The file of cautions, read once.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::Deserialize;

use super::{Answer, Caution, CautionId, Hold, Limits, Quantity};

/// The cards, as shipped.
pub(super) const TEXT: &str = include_str!("../../../shared/cautions.toml");

/// A row of the file: when it is shown beside the caution itself.
#[derive(Debug)]
pub(super) struct ShippedCaution {
    pub(super) on: Vec<String>,
    pub(super) with: Vec<String>,
    pub(super) fuel: Vec<String>,
    pub(super) quench: Vec<String>,
    pub(super) caution: Caution,
}

/// What the file says.
#[derive(Debug, Default)]
pub(super) struct Shipped {
    pub(super) rows: Vec<ShippedCaution>,
    pub(super) legal: String,
    pub(super) watch_minutes: u32,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct File {
    pub(super) legal: String,
    #[serde(rename = "watch-minutes")]
    pub(super) watch_minutes: u32,
    pub(super) caution: Vec<Written>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Written {
    pub(super) id: String,
    pub(super) on: Vec<String>,
    #[serde(default)]
    pub(super) with: Vec<String>,
    #[serde(default)]
    pub(super) fuel: Vec<String>,
    #[serde(default)]
    pub(super) quench: Vec<String>,
    #[serde(default)]
    pub(super) killer: bool,
    #[serde(default)]
    pub(super) each: bool,
    #[serde(default)]
    pub(super) job: bool,
    #[serde(default)]
    pub(super) watch: bool,
    pub(super) text: String,
    pub(super) ask: Option<String>,
    pub(super) unit: Option<String>,
    pub(super) least: Option<f64>,
    pub(super) most: Option<f64>,
    pub(super) under: Option<Under>,
    pub(super) stop: Option<String>,
    #[serde(default)]
    pub(super) choose: Vec<String>,
    #[serde(default)]
    pub(super) lasting: Vec<String>,
    #[serde(default)]
    pub(super) opens: BTreeMap<String, Vec<String>>,
    #[serde(default)]
    pub(super) out: Vec<String>,
    pub(super) wear: Option<String>,
    pub(super) source: String,
}

/// Another item, and how far below its answer this one stays.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Under {
    pub(super) item: String,
    pub(super) by: f64,
}

impl From<Written> for ShippedCaution {
    fn from(row: Written) -> Self {
        let of = row.unit.as_deref().and_then(Quantity::of);
        let answer = match (row.ask, of, row.choose.is_empty()) {
            _ if row.watch => Answer::Watch,
            (Some(ask), Some(of), _) => Answer::Number { ask, of },
            (_, _, false) => Answer::Choice(row.choose),
            _ => Answer::Done,
        };
        let hold = match (row.each, row.job || !row.killer) {
            (true, _) => Hold::Step,
            (_, true) => Hold::Job,
            _ => Hold::Day,
        };
        let opens = row.opens.into_iter();
        Self {
            on: row.on,
            with: row.with,
            fuel: row.fuel,
            quench: row.quench,
            caution: Caution {
                id: CautionId(row.id),
                text: row.text,
                killer: row.killer,
                hold,
                answer,
                lasting: row.lasting,
                out: row.out,
                wear: row.wear,
                limits: Limits {
                    least: row.least,
                    most: row.most,
                    under: row.under.map(|under| (CautionId(under.item), under.by)),
                    stop: row.stop.unwrap_or_default(),
                },
                source: row.source,
                opens: opens
                    .flat_map(|(word, topics)| {
                        topics.into_iter().map(move |topic| (word.clone(), topic))
                    })
                    .collect(),
            },
        }
    }
}

/// A test holds that the file can be read; without it the cards would be empty.
pub(super) fn shipped() -> &'static Shipped {
    static SHIPPED: OnceLock<Shipped> = OnceLock::new();
    SHIPPED.get_or_init(|| {
        let file: Option<File> = toml::from_str(TEXT).ok();
        file.map_or_else(Shipped::default, |file| Shipped {
            rows: file.caution.into_iter().map(ShippedCaution::from).collect(),
            legal: file.legal.trim().to_owned(),
            watch_minutes: file.watch_minutes,
        })
    })
}
