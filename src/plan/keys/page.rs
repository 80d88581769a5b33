//! The page that describes the format, made from the table of keys.

use std::fmt::Write as _;

use super::all::all_tables;
use super::doc::Table;
use crate::billet::{Kind, Stage};
use crate::metal::{Catalogue, Window};

const HEAD: &str = "# The plan file

<!-- Made from the program's own table of keys; a test holds it equal. -->

A plan is one TOML file: what is wanted, the steels, the shop, the first stack, and the steps in the
order they are worked. `anvilside check PLAN` reads it and lists every error and oddity with its line.
`plan.schema.json` beside this page lets an editor complete the keys: put
`#:schema ./plan.schema.json` on the first line of a plan.

The plans beside this page are complete; copy the one nearest to the job and change it.

## How values are written

| what | written |
|---|---|
| size | in quotes with a unit, `\"40 mm\"`, `\"0.5 cm\"`, `\"1-3/8 in\"`, `\"1 3/8 in\"`; or a bare number in the plan's `units`. Point or comma decimals in quotes. All sizes are cold. |
| temperature | `\"815 C\"` or `\"1500 F\"`; a bare number is C, or F where units are inches |
| time | `\"90 s\"`, `\"10 min\"`, `\"2 h\"`; a bare number is minutes |
| share | `\"4 %\"` or `0.04` |
| force | `\"25 t\"` (US tons) or `\"222 kN\"`; a bare number is US tons |
| mass | `\"50 lb\"`, `\"25 kg\"`; a bare number is g, or lb where units are inches |
| piece | a steel's name and a thickness, `\"A 6 mm\"` |
| text | in quotes; control characters are shown as `?` |

An unknown key is an error: a key that is not understood is never skipped. A file of more than
500,000 bytes, 20,000 lines or 500 steps is not read.

Sizes of a step that are left out follow from volume: metal in is metal out and the named losses.
`width` lies across the bar, `thickness` through it the way the first stack was piled, `length` along
it; a quarter-turn changes width and thickness over.
";

/// How bars are put together, by example; a test works each.
const CONSTRUCTIONS: &str = include_str!("constructions.md");

/// The page, in Markdown.
#[must_use]
pub fn format_page() -> String {
    let mut page = String::from(HEAD);
    for table in all_tables() {
        section(&mut page, table);
    }
    page.push_str(CONSTRUCTIONS);
    order(&mut page);
    grades(&mut page);
    page
}

/// What each kind of step needs to find, and what it leaves: from the rows of the kinds.
fn order(page: &mut String) {
    page.push_str(
        "\n## The order of steps\n\nA step is refused where the metal is not as it needs it. It begins with loose pieces, or with a bar where the first stack is one piece.\n\n\
         | kind | needs | leaves |\n|---|---|---|\n",
    );
    for kind in Kind::ALL {
        let row = kind.row();
        let needs: Vec<&str> = row.at.iter().map(|stage| words(*stage)).collect();
        let leaves = row.to.map_or("the same", words);
        let _ = writeln!(page, "| `{}` | {} | {leaves} |", row.word, needs.join(", "));
    }
}

const fn words(stage: Stage) -> &'static str {
    match stage {
        Stage::Loose => "loose pieces",
        Stage::Pile => "a pile",
        Stage::Bar => "a bar",
        Stage::Pieces => "cut pieces",
        Stage::Forged => "a forged blank",
        Stage::Ground => "a ground blank",
        Stage::Hard => "a hard blade",
        Stage::Tempered => "a tempered blade",
        Stage::Finished => "a finished blade",
        Stage::Etched => "an etched blade",
    }
}

/// Every grade of the table, with the windows that `check` holds a plan to.
fn grades(page: &mut String) {
    page.push_str(
        "\n## Grades\n\nA grade goes by any of its names; case, spaces and dashes do not matter. Windows are for orientation: the \
         maker's sheet comes first, and figures written in the plan go before these.\n\n\
         | grade | also | C % | forging | normalising | hardening | tempering |\n|---|---|---|---|---|---|---|\n",
    );
    let window = |window: Option<Window>| {
        window.map_or("-".to_owned(), |at| {
            format!("{} to {} C", at.low.0, at.high.0)
        })
    };
    for steel in Catalogue::builtin().all() {
        let _ = writeln!(
            page,
            "| {} | {} | {} | {} | {} | {} | {} |",
            steel.grade,
            steel.aliases.join(", "),
            steel.nominal.c,
            window(steel.forging),
            window(steel.normalise),
            window(steel.austenitise),
            window(steel.temper),
        );
    }
}

fn section(page: &mut String, table: &Table) {
    // Writing to a String cannot fail.
    let _ = write!(page, "\n## `{}`\n\n{}\n", table.header, table.words);
    if table.keys.is_empty() {
        if table.kind.is_some() {
            page.push_str("\nNo keys beside those of every step.\n");
        }
        return;
    }
    page.push_str("\n| key | written as | meaning |\n|---|---|---|\n");
    for key in &table.keys {
        let must = if key.required {
            " **(must be there)**"
        } else {
            ""
        };
        let _ = writeln!(
            page,
            "| `{}` | {} | {}{must} |",
            key.name,
            key.writes.words().replace('|', "\\|"),
            key.words
        );
    }
}
