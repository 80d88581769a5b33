//! The page that describes the format, made from the table of keys.

use std::fmt::Write as _;

use super::all::all_tables;
use super::doc::Table;

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

/// The page, in Markdown.
#[must_use]
pub fn format_page() -> String {
    let mut page = String::from(HEAD);
    for table in all_tables() {
        section(&mut page, table);
    }
    page
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
