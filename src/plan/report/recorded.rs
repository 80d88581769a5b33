//! The keys of `record --json` and the columns of `record --csv`.

/// Path, form and meaning of every key, in the order of the page.
pub const RECORD_FIELDS: &[(&str, &str, &str)] = &[
    ("format", "whole number", "number of this format, 2"),
    ("title", "text", "what the job is called"),
    ("deferral", "text", "what the cautions defer to"),
    (
        "units",
        "text",
        "`mm` or `inch`: how the plan is written; figures here are metric",
    ),
    (
        "begun",
        "true or false",
        "false while nothing was entered after the plan",
    ),
    ("finished", "true or false", "true when every step is done"),
    (
        "first",
        "time or null",
        "first entry, as 2026-03-02T08:15:00.000Z (UTC)",
    ),
    (
        "last",
        "time or null",
        "newest entry, opening and leaving left out; of one entered later, the time that it names",
    ),
    (
        "utc_offset_min",
        "whole number",
        "minutes that the shop's time is ahead of UTC",
    ),
    ("entries", "whole number", "entries in the journal"),
    ("steels[].letter", "text", "letter in the plan"),
    ("steels[].grade", "text", "grade"),
    (
        "steels[].lot",
        "text",
        "its heat lot; empty where none is noted",
    ),
    (
        "steps[].number",
        "whole number",
        "place in the plan, from 1",
    ),
    ("steps[].id", "text", "id"),
    ("steps[].kind", "text", "kind"),
    ("steps[].title", "text", "title"),
    ("steps[].day", "whole number", "day of the plan, from 1"),
    ("steps[].done", "true or false", "true when it is done"),
    ("steps[].began", "time or null", "first entry that named it"),
    ("steps[].ended", "time or null", "when it was done"),
    ("steps[].heats", "whole number", "trips to the fire"),
    (
        "steps[].heats_planned",
        "whole number",
        "trips that the plan counts on",
    ),
    (
        "steps[].wanted",
        "sizes or null",
        "what the plan wanted of its sizes: `thickness_mm`, `width_mm`, `length_mm`, of one piece, each a number or null",
    ),
    (
        "steps[].expected",
        "billet or null",
        "what the plan expected after it: the keys of `billet`",
    ),
    ("steps[].after", "billet or null", "what was there after it"),
    (
        "steps[].losses",
        "losses or null",
        "what it took, by kind, mm3",
    ),
    (
        "steps[].losses_measured",
        "list of text",
        "the losses that were measured; the rest are allowances",
    ),
    (
        "steps[].not_as_planned",
        "text or null",
        "how it went otherwise",
    ),
    ("steps[].card[].item", "text", "id of the caution"),
    (
        "steps[].card[].settled",
        "text",
        "`answered`, `put off` or `passed over`",
    ),
    ("steps[].card[].words", "text", "the answer, or the reason"),
    ("readings[].time", "time", "when it was read"),
    ("readings[].number", "whole number", "place of its step"),
    ("readings[].step", "text", "id of its step"),
    ("readings[].kind", "text", "kind of its step"),
    (
        "readings[].piece",
        "whole number",
        "number of the piece, of several like ones; 0 where there is one",
    ),
    (
        "readings[].what",
        "text",
        "`thickness`, `width`, `length`, `mass` or `bands`",
    ),
    ("readings[].cold", "number", "cold value"),
    (
        "readings[].unit",
        "text",
        "`mm`, `g` of one piece, or nothing for a count",
    ),
    ("readings[].typed", "text", "as typed"),
    (
        "readings[].hot_c",
        "C or null",
        "temperature it was read at, when hot",
    ),
    (
        "readings[].wanted",
        "number or null",
        "what the plan wanted there",
    ),
    (
        "readings[].entered",
        "time or null",
        "when it was entered, where it was read earlier and entered later; null where it was typed as it was read",
    ),
    ("heats[].step", "text", "id of the step"),
    ("heats[].into", "time", "into the fire"),
    ("heats[].out", "time or null", "out of it"),
    ("heats[].ended", "time or null", "back in, or laid down"),
    ("heats[].number", "whole number", "place of its step"),
    ("heats[].inside_s", "s", "time in the fire"),
    (
        "heats[].reached_c",
        "C",
        "hottest that the mean of the piece was (estimate, as the two below)",
    ),
    (
        "heats[].above_1100_s",
        "range",
        "time above 1100 C, s; a range has `low`, `best` and `high`",
    ),
    (
        "heats[].course",
        "list of pairs",
        "mean temperature of the piece: seconds from going in, C",
    ),
    ("notes[].time", "time", "when it was written"),
    ("notes[].step", "text", "id of the step"),
    ("notes[].text", "text", "the note"),
    ("decisions[].time", "time", "when it was taken"),
    ("decisions[].step", "text", "id of the step"),
    ("decisions[].text", "text", "what was decided"),
    ("owed[].step", "text", "id of the step"),
    ("owed[].item", "text", "id of the caution"),
    ("owed[].text", "text", "its words"),
    ("owed[].reason", "text", "why it is owed"),
    (
        "owed[].passed_over",
        "true or false",
        "true when passed over, false when put off",
    ),
    ("in_fire_s", "s", "time in the fire, all heats"),
    ("above_1100_s", "range", "time above 1100 C, all heats, s"),
    (
        "carbon[].number",
        "whole number",
        "place of the step after which it is given",
    ),
    ("carbon[].step", "text", "its id"),
    ("carbon[].time", "time", "when that step was done"),
    ("carbon[].by_steel[].letter", "text", "letter of a steel"),
    (
        "carbon[].by_steel[].mean",
        "range",
        "its mean carbon in the layers, % by mass (estimate): `low` with bare faces, `high` with sealed ones",
    ),
    (
        "carbon[].edge",
        "range or null",
        "mean carbon where the edge will be; null where bent layers make it",
    ),
    (
        "forecast.heats",
        "range",
        "heats of the whole plan as it was worked, foreseen from before its first step with what the folder's other journals teach; nine in ten lie in a range",
    ),
    ("forecast.minutes", "range", "minutes of work, likewise"),
    (
        "forecast.inside",
        "whole number",
        "how many of the figures below came inside their range",
    ),
    (
        "forecast.figures[].number",
        "whole number",
        "place of the step",
    ),
    ("forecast.figures[].step", "text", "its id"),
    (
        "forecast.figures[].what",
        "text",
        "a size that was read, `mass` of all pieces, `heats` or `minutes`",
    ),
    (
        "forecast.figures[].unit",
        "text",
        "`mm`, `g`, `min` or nothing",
    ),
    ("forecast.figures[].range", "range", "what was foreseen"),
    ("forecast.figures[].came", "number", "what came"),
    (
        "forecast.figures[].inside",
        "true or false",
        "true when it lies in the range",
    ),
    ("mean_band_mm", "mm", "mean thickness of a band (estimate)"),
    (
        "billet",
        "billet",
        "what is there now: the keys of a step of `check --json` from `stage` to `stock_mm3`",
    ),
    (
        "costs",
        "object or null",
        "as `costs` of `status --json`, without what is to come",
    ),
    (
        "totals",
        "totals",
        "where the metal went: as `totals` of `check --json`",
    ),
    (
        "plan_edits",
        "whole number",
        "plan texts taken after the first",
    ),
    ("entries_undone", "whole number", "entries taken back"),
    (
        "entered_later[].time",
        "time",
        "when it happened, of what was entered later with its time",
    ),
    ("entered_later[].entered", "time", "when it was entered"),
    ("entered_later[].words", "text", "what it is"),
    (
        "clock_went_back[].entry",
        "whole number",
        "entry before which the clock went back",
    ),
    ("clock_went_back[].back_s", "s", "by how much"),
];

pub(super) const RECORD_HEAD: &str = "
# `record --json` and `record --csv`

`anvilside record PLAN --json` writes the whole record; lists are empty where there is nothing. A job that
has not begun gives its plan and no times. `--csv` writes the readings alone, one row a reading (RFC 4180), with the
columns `time_utc`, `step_number`, `step`, `kind`, `what`, `cold`, `unit`, `typed`, `hot_c`, `wanted`, `piece` and `entered_utc`. Both end with 0, or with 1
when the job cannot be told.

| key | form | meaning |
|---|---|---|
";
