//! The page that documents the JSON, made from one table.

use std::fmt::Write as _;

use super::counted::{COUNT_FIELDS, COUNT_HEAD};
use super::drafted::{DRAFT_FIELDS, DRAFT_HEAD};
use super::json::Review;
use super::keys::{Form as _, KeyRow};
use super::recorded::{RECORD_FIELDS, RECORD_HEAD};
use super::shelved::{SHELF_HEAD, ShelfPage};
use super::shopped::{SHOP_FIELDS, SHOP_HEAD};

/// Path, form and meaning of every key of `check --json`.
fn check_fields() -> Vec<KeyRow> {
    let mut rows = Vec::new();
    Review::below("", &mut rows);
    rows
}

/// Path, form and meaning of every key of `status --json` that `check --json` does not have.
pub const STATUS_FIELDS: &[(&str, &str, &str)] = &[
    ("format", "whole number", "number of this format, 2"),
    ("title", "text", "title of the plan in force"),
    (
        "units",
        "text",
        "`mm` or `inch`: the units that people see; JSON is always metric",
    ),
    ("finished", "true or false", "true when every step is done"),
    (
        "step.number",
        "whole number",
        "place of the current step, from 1; `step` is null when all are done",
    ),
    ("step.id", "text", "its stable name"),
    ("step.kind", "text", "its kind, as the plan file writes it"),
    ("step.title", "text", "what the screen calls it"),
    ("steps", "whole number", "how many steps the plan has"),
    ("day", "whole number", "day of the job, from 1"),
    ("days", "whole number", "days of the plan"),
    ("entries", "whole number", "entries in the journal"),
    (
        "last_entry_ms",
        "whole number or null",
        "time of the last entry, ms since 1970-01-01 UTC",
    ),
    (
        "piece",
        "text",
        "`cold`, `in the fire` or `hot, out of the fire`",
    ),
    (
        "heats_in_step",
        "whole number",
        "trips to the fire in the current step",
    ),
    ("in_fire_s", "s", "time in the fire in the current heat"),
    (
        "billet",
        "object",
        "as the figures of `steps[]` above, `stage` to `stock_mm3`, now",
    ),
    ("totals", "object", "as `totals` above, so far"),
    (
        "bars",
        "list",
        "every bar of a plan of several: `name`, `mark`, `in_hand`, `size`, and the `next` step that needs it",
    ),
    (
        "sizes",
        "list",
        "sizes of the step in hand; all values cold, of one piece",
    ),
    (
        "sizes[].what",
        "text",
        "`thickness`, `width`, `length`, `mass` or `bands`",
    ),
    ("sizes[].unit", "text", "`mm`, `g`, or nothing for a count"),
    (
        "sizes[].wanted",
        "number",
        "the plan's target, or what follows for it from the metal before the step; readings of the step never move it",
    ),
    (
        "sizes[].named",
        "true or false",
        "true when the plan names the target; false when it follows from volume",
    ),
    (
        "sizes[].read",
        "number or null",
        "what was read; null when nothing was",
    ),
    (
        "sizes[].hot_c",
        "C or null",
        "temperature it was read at, when hot",
    ),
    ("sizes[].typed", "text or null", "as it was typed"),
    ("sizes[].off", "number or null", "`read` less `wanted`"),
    (
        "sizes[].aside",
        "list",
        "what was read of the other of several like pieces",
    ),
    (
        "sizes[].aside[].piece",
        "whole number",
        "its number, from 1",
    ),
    ("sizes[].aside[].read", "number", "cold value"),
    (
        "sizes[].alike",
        "list",
        "what was read of like bars in the same work: `bar`, with its piece where there are several, and the cold value `read`",
    ),
    (
        "restacks",
        "list or null",
        "what restacks of each piece count come to from here, one row where none is to be chosen; null of blanks, blades and plain steel, of a bar that goes into another, and where bars are laid on it",
    ),
    (
        "restacks[].pieces",
        "whole number",
        "pieces of each restack; 1 where none is to be chosen: the bar has the bands as it is",
    ),
    (
        "restacks[].order",
        "list of whole numbers",
        "pieces of each restack in turn, where the plan's own differ; empty where all are alike",
    ),
    (
        "restacks[].more",
        "whole number",
        "restacks still to make, one in hand counted",
    ),
    ("restacks[].bands", "whole number", "bands at their end"),
    (
        "restacks[].state",
        "text",
        "`reached`, `ok`, `ok, tall`, `over`, `too short` or `never`",
    ),
    (
        "restacks[].shortest_piece_mm",
        "mm or null",
        "shortest piece of them; null where there are none",
    ),
    (
        "lost",
        "share",
        "metal lost so far, of all that went in, 0 to 1",
    ),
    (
        "scale",
        "share",
        "metal lost to scale so far, of all that went in",
    ),
    (
        "broken",
        "object or null",
        "the first step that cannot be made as planned: `step` its id, `title` what the screen calls it, `why`, and `remedy`",
    ),
    (
        "off",
        "list",
        "what stands against the plan, a sentence each; empty when it leads to the blade",
    ),
    (
        "card",
        "list",
        "items of the card of the step in hand that are not settled",
    ),
    ("card[].item", "text", "name of the caution"),
    ("card[].text", "text", "the caution"),
    (
        "card[].killer",
        "true or false",
        "true when it stops the step until it is answered",
    ),
    ("owed", "list", "cautions put off or passed over"),
    ("owed[].step", "text", "id of the step"),
    ("owed[].item", "text", "name of the caution"),
    ("owed[].text", "text", "the caution"),
    ("owed[].reason", "text", "the reason given"),
    (
        "owed[].overridden",
        "true or false",
        "true when it was passed over for good",
    ),
    (
        "forecast.enough",
        "share",
        "chance that the metal is enough for all knives, 0 to 1; `forecast` is null when all steps are done",
    ),
    (
        "forecast.short_g.low",
        "g",
        "what is missing in the worst 10 % of cases: the mildest of them",
    ),
    ("forecast.short_g.high", "g", "the same, one in a hundred"),
    (
        "forecast.spare_g",
        "range",
        "metal over what the knives need; a range has `low`, `best` and `high`, nine in ten lie in it",
    ),
    (
        "forecast.blade_short_mm",
        "mm or null",
        "what the forged blade lacks in length, whatever its metal; null where it is long enough",
    ),
    ("forecast.off", "list", "the same as `off`"),
    (
        "forecast.as_planned",
        "share",
        "chance that every step can be made as the plan has it; 0 when one already cannot",
    ),
    ("forecast.heats", "range", "trips to the fire still to come"),
    ("forecast.minutes", "range", "minutes of work still to come"),
    (
        "forecast.edge.left_mm",
        "range",
        "plain metal above the finished edge; `edge` is null where the bar has none to lose",
    ),
    ("forecast.edge.least_mm", "mm", "plain metal wanted there"),
    (
        "forecast.edge.nearer",
        "share",
        "chance that the pattern comes nearer than that",
    ),
    (
        "ends",
        "object or null",
        "what the next trim is foreseen to take off each end, in the mean of both: `step` its id, `planned_mm` the plan's, `test_piece_mm` what the plan cuts one end longer than the other, which no habit of the shop changes, `off_mm` a range, `from` how many of the shop's own trims taught it, 0 before the first",
    ),
    (
        "day_left",
        "object or null",
        "what is left of the day in hand, an estimate: `work_min` a range of minutes before the end of the day, `fire_out_ms` and `ends_ms` as `last_entry_ms`, at the best estimate, and `watch_s` the fire watch between them or null",
    ),
    (
        "costs",
        "object or null",
        "at the prices of the shop file: `currency`, `so_far` (`steel`, `fire`, `belts`, `hours`, `total`), `whole` and `per_knife` ranges or null, `knives`, `unpriced` grades; null without prices",
    ),
    (
        "piece_in_hand",
        "whole number or null",
        "which of several like pieces is in hand; null where there is one",
    ),
    (
        "pieces_in_turn",
        "whole number",
        "how many the step works one by one",
    ),
    (
        "alike",
        "object or null",
        "`number` of the piece in hand `of` so many that are worked alike over all like bars; null where no other bar is like it",
    ),
    (
        "matching",
        "list",
        "what must match where bars are laid on each other: `what`, `wanted`, `bars` with `bar` and `size`, the largest difference `apart`, all in mm, and what to `do`; empty in other steps",
    ),
    ("lying", "list", "the pieces that are not in hand"),
    ("lying[].piece", "whole number", "its number, from 1"),
    (
        "lying[].is",
        "text",
        "`cold`, `in the fire` or `hot, out of the fire`",
    ),
    ("lying[].for_s", "s", "for how long"),
    ("clocks", "list", "countdowns that run"),
    ("clocks[].name", "text", "what it counts"),
    (
        "clocks[].left_s",
        "s",
        "time left; below zero when it is over",
    ),
];

const STATUS_HEAD: &str = "
# `status --json`

`anvilside status PLAN --json` writes where the billet is, from the plan and its journal. It ends with
0, or with 1 when that cannot be told.

| key | form | meaning |
|---|---|---|
";

const HEAD: &str = "# `check --json`

<!-- Made from the program's own types; a test holds it equal. -->

`anvilside check PLAN --json` writes one JSON object. Every key is always there; what is not known is
null or an empty list (`goal` and `totals` are null as a whole). Keys stay what they are while `format`
is 2; new ones may come. Units are in the names: mm, mm3, g, C, s. Sizes are cold. Start and added are
what the losses, what is left and the stock add up to.

The program ends with 0 when there is no error, 1 when there are errors in the plan, 2 when it was
called wrongly.

| key | form | meaning |
|---|---|---|
";

/// The page, in Markdown.
#[must_use]
pub fn json_page() -> String {
    let mut page = String::from(HEAD);
    let row = |page: &mut String, path: &str, form: &str, words: &str| {
        // Writing to a String cannot fail.
        let _ = writeln!(page, "| `{path}` | {form} | {words} |");
    };
    for (path, form, words) in check_fields() {
        row(&mut page, &path, &form, &words);
    }
    for (head, fields) in [
        (STATUS_HEAD, STATUS_FIELDS),
        (RECORD_HEAD, RECORD_FIELDS),
        (DRAFT_HEAD, DRAFT_FIELDS),
        (COUNT_HEAD, COUNT_FIELDS),
        (SHOP_HEAD, SHOP_FIELDS),
    ] {
        page.push_str(head);
        for (path, form, words) in fields {
            row(&mut page, path, form, words);
        }
    }
    page.push_str(SHELF_HEAD);
    let mut rows = Vec::new();
    ShelfPage::below("", &mut rows);
    for (path, form, words) in rows {
        row(&mut page, &path, &form, &words);
    }
    page
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::Value;

    use super::check_fields;
    use crate::plan::{check, report};

    /// Paths of every leaf, and of lists and objects that may be empty or null.
    fn paths(value: &Value, at: &str, out: &mut BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                for (key, inner) in fields {
                    let dot = if at.is_empty() { "" } else { "." };
                    paths(inner, &format!("{at}{dot}{key}"), out);
                }
                if !at.is_empty() && !at.ends_with("[]") {
                    out.insert(at.to_owned());
                }
            }
            Value::Array(items) => {
                out.insert(at.to_owned());
                for item in items {
                    paths(item, &format!("{at}[]"), out);
                }
            }
            _ => {
                out.insert(at.to_owned());
            }
        }
    }

    #[test]
    fn every_key_is_documented_and_no_other() {
        let mut seen = BTreeSet::new();
        let good = include_str!("../../../plans/kitchen-pair.toml");
        paths(&report::json(&check(good)), "", &mut seen);
        paths(&report::json(&check("title = 3")), "", &mut seen);
        let said: BTreeSet<String> = check_fields().into_iter().map(|row| row.0).collect();
        assert_eq!(seen, said);
    }
}
