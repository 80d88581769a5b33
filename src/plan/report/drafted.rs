//! The keys of `draft --json`.

/// Path, form and meaning of every key, in the order of the page.
pub const DRAFT_FIELDS: &[(&str, &str, &str)] = &[
    ("format", "whole number", "number of this format, 2"),
    ("title", "text", "what the plans are called"),
    (
        "units",
        "text",
        "`mm` or `inch`: the units of the plan; JSON is always metric",
    ),
    ("command", "text", "the command that wishes it again"),
    (
        "candidates",
        "whole number or null",
        "candidates of the grid that was searched; null when there is no plan",
    ),
    (
        "journals",
        "whole number or null",
        "journals of the folder that heats and hours were learnt from; null when there is no plan",
    ),
    (
        "written.number",
        "whole number",
        "place of the plan that was written; `written` is null when none was",
    ),
    ("written.file", "text", "its file"),
    (
        "limits",
        "list",
        "what rules out every plan, a sentence each, the nearest miss first; empty when there are plans",
    ),
    (
        "plans",
        "list",
        "the short list; no other candidate has fewer welds, less steel and less time",
    ),
    (
        "plans[].number",
        "whole number",
        "place on the list, from 1: what `--take` and `--show` name",
    ),
    ("plans[].why", "list", "why it is on the list"),
    (
        "plans[].mind",
        "list",
        "what `check` says of steels and oil of the wish, whatever the plan",
    ),
    (
        "plans[].sequence",
        "list",
        "pieces of the first stack, then of each restack",
    ),
    ("plans[].nominal", "number", "layers by the multiplication"),
    ("plans[].bands", "number", "bands to the eye"),
    (
        "plans[].welds",
        "whole number",
        "welds, those of figure and frame counted",
    ),
    ("plans[].days", "whole number", "days of the plan"),
    (
        "plans[].stack.pieces",
        "whole number",
        "pieces of the first stack",
    ),
    ("plans[].stack.width_mm", "mm", "its width"),
    ("plans[].stack.height_mm", "mm", "its height"),
    ("plans[].stack.length_mm", "mm", "its length"),
    (
        "plans[].frame",
        "list or null",
        "plain bars put on; null without a frame",
    ),
    ("plans[].frame[].side", "text", "`edge` or `spine`"),
    (
        "plans[].frame[].steel",
        "text",
        "the plan's name for its steel",
    ),
    ("plans[].frame[].thickness_mm", "mm", "its thickness"),
    (
        "plans[].blank.pieces",
        "whole number",
        "how many blanks are forged; `blank` is null where the blade is ground from the bar",
    ),
    (
        "plans[].blank.length_mm",
        "mm",
        "length of one as it is cut",
    ),
    ("plans[].blank.width_mm", "mm", "its width"),
    ("plans[].blank.thickness_mm", "mm", "its thickness"),
    ("plans[].blank.volume_mm3", "mm3", "metal in one"),
    (
        "plans[].blank.takes_mm",
        "mm",
        "length of the same bar that the knife takes, an estimate: the best",
    ),
    ("plans[].blank.takes_low_mm", "mm", "the least"),
    (
        "plans[].blank.takes_high_mm",
        "mm",
        "the most, with what goes wrong at the anvil",
    ),
    (
        "plans[].blank.over_mm3",
        "mm3",
        "metal over the most; below zero: so much it is short where all that may go wrong at the anvil does",
    ),
    (
        "plans[].heats",
        "range",
        "trips to the fire: an estimate with `low`, `best` and `high`, nine in ten lie in it",
    ),
    ("plans[].minutes", "range", "minutes of work"),
    (
        "plans[].enough",
        "share",
        "chance that the metal is enough for all knives",
    ),
    (
        "plans[].as_planned",
        "share",
        "chance that every step can be made as the plan has it",
    ),
    (
        "plans[].edge.left_mm",
        "range",
        "plain metal above the finished edge; `edge` is null where the bar has none to lose",
    ),
    ("plans[].edge.least_mm", "mm", "plain metal wanted there"),
    (
        "plans[].edge.nearer",
        "share",
        "chance that the pattern comes nearer than that",
    ),
    (
        "plans[].short_g.low",
        "g",
        "what is missing in the worst 10 % of cases: the mildest of them",
    ),
    ("plans[].short_g.high", "g", "the same, one in a hundred"),
    (
        "plans[].spare_g",
        "range",
        "metal in the blanks over what the knives need",
    ),
    (
        "plans[].cost",
        "object or null",
        "`currency` and `whole`, a range for the whole job at the prices of the shop file; null without prices",
    ),
    ("plans[].steel_g", "g", "steel to buy, saw cuts counted"),
    (
        "plans[].left_g",
        "g",
        "metal of the bar left as stock beside the blanks",
    ),
    (
        "plans[].yield",
        "share",
        "metal in the finished knives over steel bought",
    ),
    (
        "plans[].shelf",
        "list",
        "numbers of the pieces on the shelf that it takes; no steel is bought for them",
    ),
    ("plans[].buy", "list", "steel to buy"),
    ("plans[].buy[].steel", "text", "the plan's name for it"),
    ("plans[].buy[].grade", "text", "its grade"),
    ("plans[].buy[].pieces", "whole number", "how many pieces"),
    ("plans[].buy[].width_mm", "mm", "width of each"),
    ("plans[].buy[].thickness_mm", "mm", "thickness of each"),
    ("plans[].buy[].length_mm", "mm", "length of each"),
    (
        "plans[].buy[].bar_mm",
        "mm",
        "length of bar that they take, saw cuts counted",
    ),
    ("plans[].buy[].mass_g", "g", "its mass"),
    (
        "plans[].tallest.height_mm",
        "mm",
        "height of the pile that is tallest against its width",
    ),
    ("plans[].tallest.width_mm", "mm", "its width"),
    ("plans[].shortest_mm", "mm", "shortest piece that is welded"),
    (
        "plans[].steps",
        "list",
        "steps in order; sizes are those after the step, cold, as planned",
    ),
    (
        "plans[].steps[].number",
        "whole number",
        "place in the plan, from 1",
    ),
    ("plans[].steps[].id", "text", "stable name"),
    (
        "plans[].steps[].kind",
        "text",
        "kind, as the plan file writes it",
    ),
    ("plans[].steps[].title", "text", "what the screen calls it"),
    (
        "plans[].steps[].day",
        "whole number",
        "day of the job, from 1",
    ),
    (
        "plans[].steps[].heats",
        "whole number",
        "trips to the fire planned",
    ),
    (
        "plans[].steps[].width_mm",
        "mm or null",
        "across one piece; this and the two below are null from `forge` on, when it is no bar any more",
    ),
    (
        "plans[].steps[].thickness_mm",
        "mm or null",
        "through one piece",
    ),
    ("plans[].steps[].length_mm", "mm or null", "along one piece"),
    ("plans[].steps[].pieces", "whole number", "like pieces"),
    ("plans[].steps[].mass_g", "g", "mass, all pieces together"),
    (
        "plans[].steps[].nominal",
        "number",
        "layers by the multiplication so far",
    ),
    ("plans[].steps[].bands", "number", "bands to the eye so far"),
    (
        "plans[].toml",
        "text",
        "the plan file as `--take` writes it",
    ),
];

pub(super) const DRAFT_HEAD: &str = "
# `draft --json`

`anvilside draft ... --json` writes the short list of plans for a wish, or why there is none. It ends
with 0 when there are plans, 1 when the search was stopped or the file could not be written, 2 when the
wish does not read, 3 when there is no plan.

| key | form | meaning |
|---|---|---|
";
