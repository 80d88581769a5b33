//! `anvilside shop`: what this shop has learned, used, finished and spent.

use std::path::PathBuf;

use clap::Args;
use maud::html;
use serde_json::{Value, json};

use super::{FOUND, USAGE, out, papers};
use crate::plan::report;
use crate::planner::costs::Prices;
use crate::planner::learn::{BookEdit, Learned, Lessons, Topic, learn};
use crate::planner::tally::{Tally, units_of_most};
use crate::session::Session;
use crate::shell::clock::Clock;
use crate::shell::paths::show;
use crate::shell::shop::{SHOP_FILE, edit_book, read_all};
use crate::units::{Units, show as words};

/// Which shop, and what is to change.
#[derive(Debug, Args)]
pub(super) struct ShopArgs {
    /// The folder of plans and journals
    #[arg(value_name = "DIR", default_value = ".")]
    folder: PathBuf,
    /// Keep a learned figure at a value in the unit shown, as trim=12: that of most jobs here
    #[arg(long, value_name = "KEY=VALUE")]
    pin: Option<String>,
    /// Let a pinned figure follow the journals again
    #[arg(long, value_name = "KEY", conflicts_with = "pin")]
    unpin: Option<String>,
    /// Start a figure afresh: what was seen of it until now no longer counts
    #[arg(long, value_name = "KEY", conflicts_with_all = ["pin", "unpin"])]
    afresh: Option<String>,
    /// Print JSON instead of words (keys: plans/JSON.md)
    #[arg(long)]
    json: bool,
    /// Write it as a page for a browser
    #[arg(long, value_name = "FILE", conflicts_with = "json")]
    html: Option<PathBuf>,
}

/// Prints what the shop has; 0, or 1 when the shop file cannot be used, 2 when a change does not read.
pub(super) fn run(args: &ShopArgs) -> u8 {
    if !args.folder.is_dir() {
        let folder = show(&args.folder);
        out::complain(&format!(
            "{folder} is not a folder; name the folder of your plans"
        ));
        return FOUND;
    }
    let file = args.folder.join(SHOP_FILE);
    let mut found = read_all(&file);
    for why in &found.trouble {
        out::complain(&format!("not learnt from: {why}"));
    }
    let units = units_of_most(found.others.iter().map(|job| job.plan.units));
    match change(args, units) {
        Ok(None) => {}
        Ok(Some(edit)) => found.book = edit_book(&file, edit).map_err(String::from),
        Err(why) => {
            out::complain(&format!("anvilside shop: {why}"));
            return USAGE;
        }
    }
    let book = match found.book {
        Ok(book) => book,
        Err(why) => {
            out::complain(&why);
            return FOUND;
        }
    };
    let sessions: Vec<&Session> = found.others.iter().collect();
    let lessons = learn(&sessions, &book, None);
    let shop = Told {
        tally: &found.tally,
        lessons: &lessons,
        prices: &book.prices,
        taught: sessions.len(),
        units,
    };
    match &args.html {
        None if args.json => out::json(&shop.json()),
        None => out::say(&shop.text()),
        Some(to) => match papers::page(&file, to, &shop.page()) {
            Ok(()) => out::say(&format!("{}: written; open it in a browser", show(to))),
            Err(why) => {
                out::complain(&why);
                return FOUND;
            }
        },
    }
    0
}

/// What is to change in the shop file; why not, in words.
fn change(args: &ShopArgs, units: Units) -> Result<Option<BookEdit>, String> {
    let topic = |key: &str| {
        Topic::from_key(key.trim()).map_err(|near| {
            let near = near.map_or_else(
                || "`anvilside shop --json` lists the keys".to_owned(),
                |near| format!("write {near}"),
            );
            format!("'{}' is not learnt; {near}", words::plain(key, 40))
        })
    };
    if let Some(text) = &args.pin {
        let Some((key, value)) = text.split_once('=') else {
            let text = words::plain(text, 40);
            return Err(format!("--pin '{text}' has no value; write it as trim=12"));
        };
        let topic = topic(key)?;
        let value = topic.read(value.trim(), units);
        let value = value.map_err(|why| format!("--pin {} {why}", topic.key()))?;
        return Ok(Some(BookEdit::Pin(topic, value)));
    }
    if let Some(key) = &args.unpin {
        return topic(key).map(|topic| Some(BookEdit::LetGo(topic)));
    }
    if let Some(key) = &args.afresh {
        let now = Clock::start().now().at;
        return topic(key).map(|topic| Some(BookEdit::Afresh(topic, now)));
    }
    Ok(None)
}

/// What is told of a shop.
struct Told<'a> {
    tally: &'a Tally,
    lessons: &'a Lessons,
    prices: &'a Prices,
    /// Jobs that were learnt from.
    taught: usize,
    units: Units,
}

impl Told<'_> {
    /// Jobs, hours and steel, a line each.
    fn sums(&self) -> Vec<String> {
        let (tally, units) = (self.tally, self.units);
        let hours = |minutes: f64| format!("{} h", words::trimmed(minutes / 60.0, 1));
        let mut lines = vec![
            format!(
                "jobs: {} begun, {} done; {} finished",
                tally.jobs,
                tally.finished,
                words::counted(tally.blades, "blade")
            ),
            format!(
                "hours: {} at work, {} of them with the fire on (gaps of over an hour left out); {}",
                hours(tally.minutes),
                hours(tally.fire),
                words::counted(tally.heats, "heat")
            ),
        ];
        let bought = tally.bought.iter();
        let bought: Vec<String> = bought
            .map(|(grade, mass)| format!("{grade} {}", units.mass(*mass)))
            .collect();
        if !bought.is_empty() {
            lines.push(format!("steel bought, by the plans: {}", bought.join(", ")));
            lines.push(format!(
                "steel in stacks and frames: {}; in blades that are done: {}",
                units.mass(tally.used),
                units.mass(tally.blades_mass)
            ));
        }
        lines
    }

    /// What the figures that are told come from.
    fn taught(&self) -> String {
        if self.lessons.told().next().is_none() {
            return "learned: nothing yet; book figures hold".to_owned();
        }
        let jobs = words::counted(self.taught, "job");
        format!("learned, from the newest {jobs}:")
    }

    fn costs(&self) -> Vec<String> {
        if self.prices.is_empty() {
            let none = format!("costs: no prices; write them under [costs] in {SHOP_FILE}");
            return vec![none];
        }
        self.prices.lines(self.tally)
    }

    fn page(&self) -> String {
        let told = self.lessons.told();
        let rows: Vec<Vec<String>> = told
            .map(|one| vec![one.topic.key().to_owned(), one.text(self.units)])
            .collect();
        let body = html! {
            h1 { "The shop" }
            @for line in self.sums() { p { (line) } }
            h2 { "Learned" }
            p { (self.taught()) }
            @if !rows.is_empty() { (report::html::table("What the journals teach", &["figure", "value"], &rows)) }
            h2 { "Costs" }
            @for line in self.costs() { p { (line) } }
        };
        report::html::page("The shop", "", None, &body)
    }

    fn text(&self) -> String {
        let mut lines = self.sums();
        lines.push(String::new());
        lines.push(self.taught());
        let told: Vec<&Learned> = self.lessons.told().collect();
        let wide = told
            .iter()
            .map(|one| one.topic.key().len())
            .max()
            .unwrap_or(0);
        lines.extend(told.iter().map(|one| {
            let key = one.topic.key();
            format!("  {key:wide$}  {}", one.text(self.units))
        }));
        lines.push(String::new());
        lines.extend(self.costs());
        lines.push("`--pin KEY=VALUE` keeps a figure, `--unpin KEY` lets it go, `--afresh KEY` learns it anew".to_owned());
        lines.join("\n")
    }

    fn json(&self) -> Value {
        let tidy = |value: f64| (value * 1000.0).round() / 1000.0 + 0.0;
        let tally = self.tally;
        let learned = self.lessons.all().map(|one| {
            let shown = |own: f64| tidy(one.topic.shown_value(Units::Mm, own));
            let (low, high) = one.band();
            json!({
                "key": one.topic.key(),
                "what": one.topic.words(),
                "unit": one.topic.unit(Units::Mm),
                "value": shown(one.in_force()),
                "low": shown(low),
                "high": shown(high),
                "from": one.from_n,
                "pinned": one.pinned.map(shown),
                "book": shown(one.prior.value),
            })
        });
        let bought = tally.bought.iter();
        json!({
            "format": report::FORMAT,
            "jobs": tally.jobs,
            "done": tally.finished,
            "blades": tally.blades,
            "heats": tally.heats,
            "work_min": tidy(tally.minutes),
            "fire_min": tidy(tally.fire),
            "bought_g": bought.map(|(grade, mass)| (grade.clone(), json!(tidy(mass.0)))).collect::<serde_json::Map<_, _>>(),
            "used_g": tidy(tally.used.0),
            "blades_g": tidy(tally.blades_mass.0),
            "learnt_from": self.taught,
            "learned": learned.collect::<Vec<_>>(),
            "costs": self.prices.tally_json(tally),
        })
    }
}
