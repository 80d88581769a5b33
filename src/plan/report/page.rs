//! The page that documents the JSON, made from one table.

use std::fmt::Write as _;

use super::counted::{COUNT_FIELDS, COUNT_HEAD};
use super::drafted::{DRAFT_FIELDS, DRAFT_HEAD};
use super::recorded::{RECORD_FIELDS, RECORD_HEAD};

/// Path, form and meaning of every key, in the order of the page.
pub(super) const FIELDS: &[(&str, &str, &str)] = &[
    ("format", "whole number", "number of this format, 2"),
    ("ok", "true or false", "true when there is no error"),
    ("errors", "whole number", "how many errors"),
    ("warnings", "whole number", "how many oddities"),
    ("findings", "list", "errors first, then by line"),
    ("findings[].level", "text", "`error` or `warning`"),
    (
        "findings[].place.line",
        "whole number",
        "line of the plan file, from 1",
    ),
    ("findings[].place.column", "whole number", "column, from 1"),
    ("findings[].step", "text or null", "id of the step"),
    ("findings[].key", "text or null", "key of the plan file"),
    (
        "findings[].what",
        "text",
        "what is wrong, with the value quoted",
    ),
    ("findings[].remedy", "text", "what to do"),
    (
        "title",
        "text or null",
        "title of the plan; null when it could not be read, as for all below",
    ),
    (
        "units",
        "text or null",
        "`mm` or `inch`: the units that people see; JSON is always metric",
    ),
    ("goal.pattern", "text", "pattern family"),
    ("goal.knives", "whole number", "knives wanted"),
    ("goal.bands_least", "whole number", "fewest bands wanted"),
    ("goal.bands_most", "whole number", "most bands wanted"),
    ("goal.finished_mm3", "mm3", "volume of one finished knife"),
    ("steels", "list", "steels of the job"),
    ("steels[].name", "text", "the plan's name for it"),
    ("steels[].letter", "text", "its letter in pictures"),
    ("steels[].grade", "text", "its grade"),
    ("steels[].density_g_cm3", "g/cm3", "cold density"),
    (
        "steps",
        "list",
        "steps in order; the figures are those after the step, cold",
    ),
    (
        "steps[].number",
        "whole number",
        "place in the plan, from 1",
    ),
    ("steps[].id", "text", "stable name"),
    ("steps[].kind", "text", "kind, as the plan file writes it"),
    ("steps[].title", "text", "what the screen calls it"),
    ("steps[].day", "whole number", "day of the job, from 1"),
    ("steps[].line", "whole number", "line of the plan file"),
    (
        "steps[].heats",
        "whole number",
        "trips to the fire expected",
    ),
    (
        "steps[].window_low_c",
        "C or null",
        "lowest working temperature stated",
    ),
    (
        "steps[].window_high_c",
        "C or null",
        "highest working temperature stated",
    ),
    (
        "steps[].soak_s",
        "s or null",
        "soak, or one cycle of tempering",
    ),
    (
        "steps[].target_width_mm",
        "mm or null",
        "width that the step asks for; of the part, where it forges one",
    ),
    (
        "steps[].target_thickness_mm",
        "mm or null",
        "thickness that it asks for",
    ),
    (
        "steps[].target_length_mm",
        "mm or null",
        "length that it asks for",
    ),
    (
        "steps[].stage",
        "text or null",
        "how far the metal has come: `loose`, `pile`, `bar`, `pieces`, `forged`, `ground`, `hard`, `tempered`, `finished`, `etched`; null where the plan could not be walked, as for all below",
    ),
    (
        "steps[].width_mm",
        "mm or null",
        "across one piece; this and the seven below are null from `forged` on, when it is no bar any more",
    ),
    ("steps[].thickness_mm", "mm or null", "through one piece"),
    ("steps[].length_mm", "mm or null", "along one piece"),
    (
        "steps[].void_mm3",
        "mm3 or null",
        "open grooves and dimples inside the outside of one piece",
    ),
    (
        "steps[].edge_bar_mm",
        "mm or null",
        "plain bar on the edge side, 0 when there is none",
    ),
    (
        "steps[].spine_bar_mm",
        "mm or null",
        "plain bar on the spine side",
    ),
    (
        "steps[].top_bar_mm",
        "mm or null",
        "plain bar on the face marked up",
    ),
    (
        "steps[].bottom_bar_mm",
        "mm or null",
        "plain bar on the face below",
    ),
    ("steps[].pieces", "whole number or null", "like pieces"),
    (
        "steps[].volume_mm3",
        "mm3 or null",
        "metal, all pieces together",
    ),
    ("steps[].mass_g", "g or null", "mass, all pieces together"),
    (
        "steps[].nominal",
        "number or null",
        "pieces of the first stack times every restack and fold",
    ),
    (
        "steps[].bands",
        "number or null",
        "bands to the eye: like faces merged, ground-off bands gone",
    ),
    (
        "steps[].stock_mm3",
        "mm3 or null",
        "metal kept aside so far",
    ),
    (
        "steps[].losses",
        "object or null",
        "what this step lost, all pieces together",
    ),
    ("steps[].losses.scale_mm3", "mm3", "to the fire"),
    ("steps[].losses.trim_mm3", "mm3", "ends cut off"),
    ("steps[].losses.grind_mm3", "mm3", "ground away"),
    ("steps[].losses.kerf_mm3", "mm3", "to the saw"),
    (
        "steps[].losses.groove_mm3",
        "mm3",
        "grooves and dimples cut out",
    ),
    (
        "steps[].losses.rounding_mm3",
        "mm3",
        "short ends of lengths rounded to a mark",
    ),
    ("totals.start_mm3", "mm3", "the first stack"),
    ("totals.added_mm3", "mm3", "bars added later"),
    (
        "totals.losses.scale_mm3",
        "mm3",
        "all scale; the others likewise",
    ),
    ("totals.losses.trim_mm3", "mm3", ""),
    ("totals.losses.grind_mm3", "mm3", ""),
    ("totals.losses.kerf_mm3", "mm3", ""),
    ("totals.losses.groove_mm3", "mm3", ""),
    ("totals.losses.rounding_mm3", "mm3", ""),
    (
        "totals.left_mm3",
        "mm3",
        "in the pieces worked, at the end of the walk",
    ),
    ("totals.stock_mm3", "mm3", "kept aside"),
];

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
        "restacks",
        "list or null",
        "what restacks of each piece count come to from here; null of blanks and blades",
    ),
    (
        "restacks[].pieces",
        "whole number",
        "pieces of each restack",
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

<!-- Made from the program's own table of fields; a test holds it equal. -->

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
    let mut page = String::new();
    for (head, fields) in [
        (HEAD, FIELDS),
        (STATUS_HEAD, STATUS_FIELDS),
        (RECORD_HEAD, RECORD_FIELDS),
        (DRAFT_HEAD, DRAFT_FIELDS),
        (COUNT_HEAD, COUNT_FIELDS),
    ] {
        page.push_str(head);
        for (path, form, words) in fields {
            // Writing to a String cannot fail.
            let _ = writeln!(page, "| `{path}` | {form} | {words} |");
        }
    }
    page
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::Value;

    use super::FIELDS;
    use crate::plan::{check, report};

    /// Paths of every leaf, and of lists and objects that may be empty or null.
    fn paths(value: &Value, at: &str, out: &mut BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                for (key, inner) in fields {
                    let dot = if at.is_empty() { "" } else { "." };
                    paths(inner, &format!("{at}{dot}{key}"), out);
                }
                if at == "steps[].losses" {
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
        // Null as a whole when there is no plan.
        seen.remove("goal");
        seen.remove("totals");
        let said: BTreeSet<String> = FIELDS
            .iter()
            .map(|(path, _, _)| (*path).to_owned())
            .collect();
        assert_eq!(seen, said);
    }
}
