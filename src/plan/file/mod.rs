//! TOML text to plan, all errors at once.

mod colours;
mod document;
mod fill;
mod goal;
mod moves;
mod names;
mod piece;
mod section;
mod shop;
mod stack;
mod steels;
mod steps;
mod values;

use std::borrow::Cow;

use toml::de::DeTable;

use self::document::Document;
use self::names::Steels;
use self::section::Section;
use super::keys;
use super::{Diagnostic, Level, Place, Places, Plan};
use crate::units::Units;

/// Longest file that is read.
pub const MAX_BYTES: usize = 500_000;
/// Most bars in a plan.
pub const MAX_BARS: usize = 24;
/// Most steps in a plan.
pub const MAX_STEPS: usize = 500;
/// Most lines of a plan, so that a file that is none is refused at once.
const MAX_LINES: usize = 20_000;
/// Longest line of a plan, in bytes.
const MAX_LINE: usize = 20_000;

/// Rounds of blanking lines that are not TOML.
const MAX_MENDS: usize = 20;

/// What could be made of a file.
#[derive(Debug)]
pub(super) struct Draft {
    /// The plan with the steps before the first that could not be read; none when goal, steels,
    /// shop or stack could not.
    pub(super) plan: Option<Plan>,
    /// True when the plan is the whole of the file.
    pub(super) whole: bool,
    /// Everything found, by line.
    pub(super) found: Vec<Diagnostic>,
}

/// Reads a plan. `Ok` carries warnings of the text alone; the review of sizes is [`super::check`].
///
/// ```
/// use anvilside::plan::read;
/// let found = read("title = \"A petty knife\"\nunit = \"mm\"\n").unwrap_err();
/// assert_eq!(
///     found.iter().find(|one| one.place.line == 2).unwrap().to_string(),
///     "2:1: error: top of the file has no key 'unit'; write units"
/// );
/// ```
///
/// # Errors
/// Every error of the file, each with its place and remedy.
pub fn read(text: &str) -> Result<(Plan, Vec<Diagnostic>), Vec<Diagnostic>> {
    let draft = draft(text);
    match draft.plan {
        Some(plan) if draft.whole => Ok((plan, draft.found)),
        _ => Err(draft.found),
    }
}

/// Reads as much as can be read.
pub(super) fn draft(text: &str) -> Draft {
    if let Some(refused) = too_big(text) {
        return Draft {
            plan: None,
            whole: false,
            found: vec![refused],
        };
    }
    let mut doc = Document::new(text);
    let mut source = Cow::Borrowed(text);
    for _ in 0..MAX_MENDS {
        let (_, errors) = DeTable::parse_recoverable(&source);
        for error in &errors {
            doc.unreadable(error);
        }
        // The parser gives up at some errors; what follows is read with those lines blanked.
        match doc.masked(&source) {
            Some(masked) if !errors.is_empty() => source = Cow::Owned(masked),
            _ => break,
        }
    }
    let (root, _) = DeTable::parse_recoverable(&source);
    let root = root.get_ref();
    let plan = plan(&doc, root).filter(|_| !doc.is_broken());
    let known = |key: &keys::Field<_>| root.contains_key(key.name);
    if !text.trim().is_empty() && !keys::TOP.iter().any(known) {
        doc.not_a_plan();
    }
    let whole = !doc.has_errors();
    Draft {
        plan,
        whole,
        found: doc.finish(),
    }
}

/// A file that is refused before it is parsed.
fn too_big(text: &str) -> Option<Diagnostic> {
    let refuse = |what: String, remedy: String| {
        Some(Diagnostic {
            level: Level::Error,
            place: Place { line: 1, column: 1 },
            step: None,
            key: None,
            what,
            remedy,
        })
    };
    if text.len() > MAX_BYTES {
        return refuse(
            format!("the file has {} bytes; this is not a plan", text.len()),
            format!("a plan has at most {MAX_BYTES} bytes"),
        );
    }
    let bare = text
        .split('\n')
        .position(|line| line.strip_suffix('\r').unwrap_or(line).contains('\r'));
    if let Some(at) = bare {
        return refuse(
            format!("line {} holds a carriage return in its middle", at + 1),
            "save the file with ordinary ends of lines".to_owned(),
        );
    }
    if text.lines().count() > MAX_LINES || text.lines().any(|line| line.len() > MAX_LINE) {
        return refuse(
            "the file has too many lines, or too long a line; this is not a plan".to_owned(),
            format!("a plan has at most {MAX_LINES} lines of at most {MAX_LINE} bytes"),
        );
    }
    let steps = text
        .lines()
        .filter(|line| line.trim_start().starts_with("[[") && line.contains("step"))
        .count();
    if steps > MAX_STEPS {
        return refuse(
            format!("the file has {steps} steps"),
            format!("a plan has at most {MAX_STEPS} steps; split the job"),
        );
    }
    None
}

fn plan(doc: &Document<'_>, root: &DeTable<'_>) -> Option<Plan> {
    let mut read = (String::new(), Units::Mm, Vec::new());
    let header = keys::TOP_HEADER.to_owned();
    let top = Section::open(doc, root, 0, None, header, keys::docs(keys::TOP, &mut read));
    let titled = fill::fill(&top, &Steels::default(), keys::TOP, &mut read);
    let (title, units, notes) = read;
    doc.units.set(units);
    let mut places: Vec<(String, Place)> = Vec::new();
    let mut steels = steels::read(&top);
    steels.bars = stack::names(&top);
    let shop = shop::read(&top, &mut places);
    let goal = goal::read(&top, &mut places);
    let bars = stack::read(&top, &steels, &mut places);
    let sound = !doc.has_errors();
    let mut steps = steps::read(&top, &steels, &shop, goal.as_ref());
    let bars = bars?;
    stack::place(doc, &bars, &mut steps, &places);
    titled?;
    let mut plan = Plan {
        title,
        notes,
        units,
        goal: goal?,
        steels: steels.list,
        shop,
        bars,
        steps,
        places: places.into_iter().collect::<Places>(),
    };
    if !sound {
        return None;
    }
    super::heats::estimate(&mut plan);
    Some(plan)
}
