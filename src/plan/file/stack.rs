//! `[stack]` and `[[bar]]`: first piles, in a form that is short to write.

use toml::de::DeValue;

use super::document::Document;
use super::fill::fill;
use super::names::Steels;
use super::piece::{MAX_LAID, bar, is_bar, one};
use super::section::{Node, Section};
use super::steps::is_id;
use crate::billet::{Among, Move, Piece, StackPiece, SteelId};
use crate::plan::keys::{BAR, FOUND, STACK, docs};
use crate::plan::{Diagnostic, Level, MAX_BARS, Place, PlanBar, Step};
use crate::units::show;

/// Most pieces of a stack.
const MAX_PIECES: usize = 5000;
/// Brackets in brackets.
const MAX_DEPTH: usize = 4;

/// The bars of the plan: one `[stack]`, or several `[[bar]]`.
pub(super) fn read(
    top: &Section<'_>,
    steels: &Steels,
    places: &mut Vec<(String, Place)>,
) -> Option<Vec<PlanBar>> {
    let Some(node) = top.get("bar") else {
        if let Some(found) = top.get("found") {
            if top.get("stack").is_some() {
                found.refuse(
                    "the file has [stack] and [found]".to_owned(),
                    "keep the one that the job begins with, or write both as [[bar]] tables",
                );
            }
            let keys = docs(FOUND, &mut PlanBar::default());
            let section = top.table("found", "[found]", keys)?;
            section.note("found", places);
            return as_found(&section, steels).map(|bar| vec![bar]);
        }
        if top.get("stack").is_none() && !top.mistyped("stack") {
            let what = "top of the file has no 'stack'".to_owned();
            top.lacks("stack", what, "add a table [stack]");
        }
        let keys = docs(STACK, &mut PlanBar::default());
        let section = top.table("stack", "[stack]", keys)?;
        section.note("stack", places);
        return first(&section, steels).map(|bar| vec![bar]);
    };
    if let Some(stack) = top.get("stack") {
        stack.refuse(
            "the file has [stack] and [[bar]]".to_owned(),
            "write the stack as one of the [[bar]] tables, with a name",
        );
    }
    if let Some(found) = top.get("found") {
        found.refuse(
            "the file has [found] and [[bar]]".to_owned(),
            "write the bar as found as one of the [[bar]] tables, with a name",
        );
    }
    let items = node.items().filter(|items| !items.is_empty());
    let Some(items) = items.filter(|items| items.len() <= MAX_BARS) else {
        return node.bad(
            &format!("is not a list of 1 to {MAX_BARS} bars"),
            "begin each bar with a line [[bar]]",
        );
    };
    let read: Vec<Option<PlanBar>> = items
        .iter()
        .enumerate()
        .map(|(at, item)| {
            let DeValue::Table(table) = item.value else {
                return item.bad("is not a table", "begin each bar with a line [[bar]]");
            };
            let says = |key: &str| table.contains_key(key);
            let is_found = !says("pieces")
                && ["thickness", "mass", "steels", "bands"]
                    .into_iter()
                    .any(says);
            let begins = if is_found { FOUND } else { STACK };
            let mut keys = docs(BAR, &mut PlanBar::default());
            keys.extend(docs(begins, &mut PlanBar::default()));
            let header = "[[bar]]".to_owned();
            let section = Section::open(top.doc, table, item.span.start, None, header, keys);
            let name = steels.bars.get(at)?;
            section.note(&format!("bar {name}"), places);
            let earlier = steels.bars.iter().take(at).any(|bar| bar == name);
            if earlier || steels.names(name) {
                let whose = if earlier { "another bar" } else { "a steel" };
                let what = format!("the name '{name}' is also that of {whose}");
                section
                    .get("name")?
                    .refuse(what, "give this bar another name");
            }
            if let Some(node) = section.get("name").filter(|_| !is_id(name)) {
                let remedy = "write small letters, digits and dashes, as \"core\"";
                node.bad::<()>("cannot be the name of a bar", remedy);
            }
            let bar = if is_found {
                as_found(&section, steels)?
            } else {
                first(&section, steels)?
            };
            let name = name.clone();
            Some(PlanBar { name, ..bar })
        })
        .collect();
    read.into_iter().collect()
}

/// Puts the bars of first stacks into the steps that pile them.
pub(super) fn place(
    doc: &Document<'_>,
    bars: &[PlanBar],
    steps: &mut [Step],
    places: &[(String, Place)],
) {
    for bar in bars.iter().filter(|bar| !bar.among.is_empty()) {
        let at = |path: &str| {
            let key = format!("{path}.pieces");
            let found = places.iter().find(|(known, _)| *known == key);
            found.or_else(|| places.iter().find(|(known, _)| known == path))
        };
        let place = at(&format!("bar {}", bar.name)).map(|(_, place)| *place);
        let refuse = |what: String, remedy: String| {
            doc.push(Diagnostic {
                level: Level::Error,
                place: place.unwrap_or_default(),
                step: None,
                key: Some("pieces".to_owned()),
                what,
                remedy,
            });
        };
        let own =
            |one: &Among| matches!(&one.piece, Piece::Of { bar: name, .. } if *name == bar.name);
        if bar.among.iter().any(own) {
            let remedy = "lay its own pieces on it with a step of kind restack or join";
            refuse(
                format!("bar '{}' is in its own first stack", bar.name),
                remedy.to_owned(),
            );
        }
        let mut of = steps.iter_mut().filter(|step| step.bar == bar.name);
        match of.find_map(|step| match &mut step.made {
            Move::Stack { among, .. } => Some(among),
            _ => None,
        }) {
            Some(among) => among.clone_from(&bar.among),
            None => refuse(
                format!("no step piles the stack of bar '{}'", bar.name),
                format!("add a step of kind stack for bar '{}'", bar.name),
            ),
        }
    }
}

/// The names of the bars, so that every part of the file can be held against them.
pub(super) fn names(top: &Section<'_>) -> Vec<String> {
    let items = top.get("bar").and_then(|node| node.items());
    let name = |item: &Node<'_>| {
        match item.value {
            DeValue::Table(table) => table.get("name").and_then(|name| name.get_ref().as_str()),
            _ => None,
        }
        .map_or_else(String::new, |name| show::plain(name, 40))
    };
    items.unwrap_or_default().iter().map(name).collect()
}

/// One first stack.
fn first(section: &Section<'_>, steels: &Steels) -> Option<PlanBar> {
    let mut bar = PlanBar::default();
    let whole = fill(section, steels, STACK, &mut bar);
    let pile = section.get("pieces").and_then(|node| pieces(&node, steels));
    whole.and(pile).map(|pile| PlanBar {
        pieces: pile.pieces,
        among: pile.among,
        ..bar
    })
}

/// A bar as found.
fn as_found(section: &Section<'_>, steels: &Steels) -> Option<PlanBar> {
    let mut bar = PlanBar::default();
    let whole = fill(section, steels, FOUND, &mut bar);
    let doc = section.doc;
    let before = doc.errors();
    let named: Vec<SteelId> = match section.get("steels") {
        None => Vec::new(),
        Some(node) => {
            let items = node.items().unwrap_or_else(|| vec![node.clone()]);
            let steel = |item: &Node<'_>| {
                let name = item.raw()?;
                let found = steels.find(name).map(SteelId::from_index);
                if found.is_none() && !steels.names(name) {
                    let what = format!("no steel is called '{}'", show::plain(name, 40));
                    item.refuse(what, steels.remedy(name));
                }
                found
            };
            items.iter().filter_map(steel).collect()
        }
    };
    // by turns, so the last is followed by the first
    let alike = named.len() > 1
        && named
            .iter()
            .zip(named.iter().cycle().skip(1))
            .any(|(a, b)| a == b);
    if let Some(node) = section.get("steels").filter(|_| alike) {
        let remedy = "name the steels once each, in the order in which they take turns";
        node.bad::<()>("names one steel twice in a row", remedy);
    }
    if let (Some(node), [_], Some([_, most])) = (
        section.get("bands"),
        named.as_slice(),
        bar.found.as_ref().and_then(|found| found.bands),
    ) && most > 1
    {
        let remedy = "name the steels of its layers, or leave bands out";
        node.bad::<()>("are bands of one steel", remedy);
    }
    if doc.errors() > before {
        return None;
    }
    if let Some(found) = &mut bar.found {
        found.steels = named;
    }
    whole.map(|()| bar)
}

/// A pile as it is read.
#[derive(Debug, Default)]
struct Pile {
    pieces: Vec<StackPiece>,
    among: Vec<Among>,
}

impl Pile {
    fn len(&self) -> usize {
        self.pieces.len() + self.among.len()
    }

    fn lay(&mut self, on: &Self) {
        let under = u32::try_from(self.pieces.len()).unwrap_or(u32::MAX);
        let among = on.among.iter().map(|one| Among {
            under: one.under.saturating_add(under),
            piece: one.piece.clone(),
        });
        self.among.extend(among);
        self.pieces.extend(&on.pieces);
    }
}

fn pieces(node: &Node<'_>, steels: &Steels) -> Option<Pile> {
    let doc = node.section.doc;
    let items = node.items().unwrap_or_else(|| vec![node.clone()]);
    let before = doc.errors();
    let mut pile = Pile::default();
    for item in &items {
        let Some(text) = item.raw() else {
            continue;
        };
        run(steels, item, text, 0, &mut pile);
        if pile.len() > MAX_PIECES {
            let what = format!("the stack has more than {MAX_PIECES} pieces");
            item.refuse(what, "pile fewer and restack");
            return None;
        }
    }
    if doc.errors() > before {
        return None;
    }
    if pile.pieces.is_empty() && !pile.among.is_empty() {
        let remedy =
            "lay one of the bars on the other with a step of kind join, or add a plain piece";
        node.refuse("the stack has bars and no plain piece".to_owned(), remedy);
        return None;
    }
    if pile.pieces.is_empty() {
        node.refuse("the stack has no pieces".to_owned(), node.wanted());
        return None;
    }
    if pile.among.len() > MAX_LAID {
        let what = format!("the stack has more than {MAX_LAID} bars in it");
        node.refuse(what, "pile fewer and restack");
        return None;
    }
    Some(pile)
}

/// A row of pieces and bracketed repeats.
fn run(steels: &Steels, node: &Node<'_>, text: &str, depth: usize, pile: &mut Pile) {
    for part in split(text) {
        if pile.len() > MAX_PIECES {
            return;
        }
        let part = part.trim();
        if part.contains(['(', ')']) {
            repeat(steels, node, part, depth, pile);
        } else if is_bar(steels, part) {
            if let Some(piece) = bar(node, part) {
                let under = u32::try_from(pile.pieces.len()).unwrap_or(u32::MAX);
                pile.among.push(Among { under, piece });
            }
        } else if let Some(piece) = one(node, steels, part) {
            pile.pieces.push(piece);
        }
    }
}

/// Splits at commas outside brackets; a comma between two digits is a decimal comma.
fn split(text: &str) -> Vec<&str> {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| {
        at.and_then(|at| bytes.get(at))
            .is_some_and(u8::is_ascii_digit)
    };
    let mut parts = Vec::new();
    let (mut start, mut depth) = (0, 0_i32);
    for (at, c) in text.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            ',' if depth == 0 && !(digit(at.checked_sub(1)) && digit(at.checked_add(1))) => {
                parts.push(text.get(start..at).unwrap_or_default());
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(text.get(start..).unwrap_or_default());
    parts
}

/// `4 x (A 6 mm, B 3 mm)`.
fn repeat(steels: &Steels, node: &Node<'_>, part: &str, depth: usize, pile: &mut Pile) {
    let bad = || {
        node.refuse(
            format!(
                "pieces '{}' does not read as a repeat",
                show::plain(part, 40)
            ),
            "write 4 x (A 6 mm, B 3 mm)",
        );
    };
    let parsed = part.split_once('(').and_then(|(front, rest)| {
        let inside = rest.strip_suffix(')')?;
        let times = front.trim().strip_suffix(['x', 'X', '*', '\u{d7}'])?.trim();
        let times: usize = times.parse().ok()?;
        (1..=MAX_PIECES).contains(&times).then_some((times, inside))
    });
    let Some((times, inside)) = parsed else {
        return bad();
    };
    if depth >= MAX_DEPTH {
        return bad();
    }
    let mut once = Pile::default();
    run(steels, node, inside, depth + 1, &mut once);
    for _ in 0..times {
        // One over the limit is enough to be refused.
        if once.len() == 0 || pile.len() > MAX_PIECES {
            return;
        }
        pile.lay(&once);
    }
}
