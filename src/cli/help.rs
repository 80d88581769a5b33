//! Help that fits one screen: an option a line, or, where they are too many, their names by heading.
//! Everything there is to say of each stands in `--help-all` and in the manual pages.

use clap::{Arg, Command};

use crate::ui::view::wrap;

/// Lines of a terminal of 24 beside the prompt.
const LINES: usize = 23;
/// Columns.
const WIDE: u16 = 79;
/// A text that would be cut shorter than this is cut between words.
const LEAST: usize = 16;
/// Columns that a text has at least.
const LEAST_ROOM: u16 = 20;

/// Gives a built command, and all below it, help that fits one screen.
pub(super) fn short(command: Command) -> Command {
    let page = page(&mut command.clone());
    command.override_help(page).mut_subcommands(short)
}

fn page(command: &mut Command) -> String {
    let about = command.get_about().map(ToString::to_string);
    let mut head = vec![about.unwrap_or_default()];
    let usage = command.render_usage().to_string();
    head.extend(wrap(usage.trim(), WIDE));
    let below: Vec<(String, String)> = command
        .get_subcommands()
        .filter(|one| !one.is_hide_set())
        .map(|one| (one.get_name().to_owned(), said(one.get_about())))
        .collect();
    if !below.is_empty() {
        head.push(String::new());
        head.extend(columns(&below).0);
    }
    let shown = |arg: &&Arg| !arg.is_hide_set();
    let (places, flags): (Vec<&Arg>, Vec<&Arg>) = command
        .get_arguments()
        .filter(shown)
        .partition(|arg| arg.is_positional());
    let places: Vec<(String, String)> = places.into_iter().map(row).collect();
    let mut headings: Vec<Option<&str>> = Vec::new();
    for flag in &flags {
        if !headings.contains(&flag.get_help_heading()) {
            headings.push(flag.get_help_heading());
        }
    }
    let of = |heading: Option<&str>| {
        let own = flags
            .iter()
            .filter(move |flag| flag.get_help_heading() == heading);
        own.copied().collect::<Vec<&Arg>>()
    };
    let name = command.get_bin_name().unwrap_or("anvilside").to_owned();
    let more = format!("`{name} --help-all` explains every option.");
    let (mut body, mut cut) = (Vec::new(), false);
    let all: Vec<(String, String)> = places
        .iter()
        .cloned()
        .chain(flags.iter().copied().map(row))
        .collect();
    if below.is_empty() {
        body = wrapped(&all);
        if head.len() + body.len() + 2 > LINES {
            (body, cut) = columns(&all);
        }
    } else {
        body.extend(names("Options", &of(None)));
    }
    if head.len() + body.len() + 4 > LINES {
        body = columns(&places).0;
        for heading in headings {
            body.extend(names(heading.unwrap_or("Options"), &of(heading)));
        }
        cut = true;
    }
    let mut page = head;
    if page.len() + body.len() + 2 <= LINES {
        page.push(String::new());
    }
    page.append(&mut body);
    let room = |page: &Vec<String>| LINES.saturating_sub(page.len() + usize::from(cut));
    for paragraph in said(command.get_after_help()).split("\n\n") {
        let lines: Vec<String> = paragraph
            .lines()
            .flat_map(|line| wrap(line, WIDE))
            .collect();
        if lines.len() < room(&page) {
            page.push(String::new());
        }
        if lines.len() <= room(&page) {
            page.extend(lines);
        }
    }
    if cut {
        page.push(more);
    }
    while page.last().is_some_and(String::is_empty) {
        page.pop();
    }
    page.join("\n") + "\n"
}

fn said(text: Option<&clap::builder::StyledStr>) -> String {
    text.map(ToString::to_string).unwrap_or_default()
}

/// Its name with what it takes, and what it says.
fn row(arg: &Arg) -> (String, String) {
    let takes = arg.get_action().takes_values();
    let value = arg.get_value_names().unwrap_or_default();
    let value = value
        .first()
        .map_or_else(String::new, |name| format!("<{name}>"));
    let name = match (arg.get_short(), arg.get_long()) {
        (_, None) => value.clone(),
        (None, Some(long)) => format!("    --{long}"),
        (Some(short), Some(long)) => format!("-{short}, --{long}"),
    };
    let name = if takes && arg.get_long().is_some() {
        format!("{name} {value}")
    } else {
        name
    };
    let mut text = said(arg.get_help());
    let shown = takes && !arg.is_hide_possible_values_set();
    let choices: Vec<String> = arg
        .get_possible_values()
        .iter()
        .filter(|choice| shown && !choice.is_hide_set())
        .map(|choice| choice.get_name().to_owned())
        .collect();
    if let Some((last, rest)) = choices.split_last().filter(|(_, rest)| !rest.is_empty()) {
        text.push_str(&format!(": {} or {last}", rest.join(", ")));
    }
    let usual = arg.get_default_values().iter().filter(|_| takes);
    for usual in usual {
        text.push_str(&format!(" [default: {}]", usual.to_string_lossy()));
    }
    (name, text)
}

/// Two columns with all that is said.
fn wrapped(rows: &[(String, String)]) -> Vec<String> {
    let wide = rows.iter().map(|(name, _)| name.chars().count()).max();
    let wide = wide.unwrap_or(0);
    let room = u16::try_from(wide + 4).map_or(LEAST_ROOM, |used| WIDE.saturating_sub(used));
    let rows = rows.iter().flat_map(|(name, text)| {
        let lines = wrap(text, room.max(LEAST_ROOM)).into_iter().enumerate();
        lines.map(move |(at, line)| {
            let name = if at == 0 { name.as_str() } else { "" };
            format!("  {name:wide$}  {line}").trim_end().to_owned()
        })
    });
    rows.collect()
}

/// A line each in two columns; true when something was cut.
fn columns(rows: &[(String, String)]) -> (Vec<String>, bool) {
    let wide = rows.iter().map(|(name, _)| name.chars().count()).max();
    let wide = wide.unwrap_or(0);
    let mut cut = false;
    let lines = rows
        .iter()
        .map(|(name, text)| {
            let room = usize::from(WIDE).saturating_sub(wide + 4);
            let (text, less) = fitting(text, room);
            cut |= less;
            format!("  {name:wide$}  {text}").trim_end().to_owned()
        })
        .collect();
    (lines, cut)
}

/// The text as far as it fits, cut between clauses where it can be; true when it was cut.
fn fitting(text: &str, room: usize) -> (String, bool) {
    if text.chars().count() <= room {
        return (text.to_owned(), false);
    }
    let cut = |mark: &str, room: usize| {
        let parts = text
            .match_indices(mark)
            .filter_map(|(at, _)| text.get(..at));
        let whole = |part: &&str| {
            let open = part.matches(['(', '[']).count();
            part.chars().count() <= room && open == part.matches([')', ']']).count()
        };
        parts.filter(whole).max_by_key(|part| part.len())
    };
    let clauses = ["; ", ". ", " [", " ("].into_iter();
    let clause = clauses
        .filter_map(|mark| cut(mark, room))
        .max_by_key(|part| part.len());
    match clause.filter(|part| part.len() >= LEAST.min(room)) {
        Some(part) => (part.to_owned(), true),
        None => {
            let part = cut(" ", room.saturating_sub(4)).unwrap_or_default();
            let part = part.trim_end_matches([',', ':', ';']);
            (format!("{part} ..."), true)
        }
    }
}

/// The names under a heading, side by side.
fn names(heading: &str, flags: &[&Arg]) -> Vec<String> {
    let names: Vec<String> = flags
        .iter()
        .filter_map(|flag| flag.get_long())
        .map(|long| format!("--{long}"))
        .collect();
    if names.is_empty() {
        return Vec::new();
    }
    let lead = format!("{heading}:");
    let lines = wrap(&names.join(" "), WIDE - 10);
    let mut lines = lines.into_iter();
    let first = lines.next().map(|line| format!("{lead:9} {line}"));
    first
        .into_iter()
        .chain(lines.map(|line| format!("{:9} {line}", "")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::fitting;

    #[test]
    fn a_text_is_cut_between_clauses_else_between_words() {
        let text = "The file to write; by default named after the plan";
        assert_eq!(fitting(text, 80), (text.to_owned(), false));
        assert_eq!(fitting(text, 30), ("The file to write".to_owned(), true));
        let text = "Thickness of the spine at the heel of the blade";
        let (cut, _) = fitting(text, 24);
        assert_eq!(cut, "Thickness of the ...");
        assert_eq!(fitting("äöüäöü äöü", 8).0, " ...");
        let text = "Length of the fire watch in minutes [default: 60, the least]";
        assert_eq!(fitting(text, 50).0, "Length of the fire watch in minutes");
    }
}
