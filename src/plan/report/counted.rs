//! Keys of `count --json`, for the page.

pub(super) const COUNT_HEAD: &str = "
# `count --json`

`anvilside count PHOTO --json` writes one JSON object. It ends with 0, or with 1 when the picture gives no
number: then `bands`, `low` and `high` are null, `refused` says why, and no other key is there. With `--from`
it writes `low`, `high`, `histories` (`first`, `restacks` with `pieces` and `ground_first`, `ground_last`,
`bands`, `nominal`, `doubled`, `like_faces`, `share`, `left_g` with `best`, `low` and `high`, the bar that would be
left of `--stack` or `--layer`) and `next_look` (`doubled`, `faces`, `bands`, `bar`, `layer` or null).

| key | form | meaning |
|---|---|---|
";

pub(super) const COUNT_FIELDS: &[(&str, &str, &str)] = &[
    ("bands", "whole number or null", "the count"),
    (
        "low",
        "whole number or null",
        "fewest it may be: the truth lies from `low` to `high` for 95 in 100 of the pictures tried",
    ),
    ("high", "whole number or null", "most it may be"),
    (
        "refused",
        "text or null",
        "why there is no number, and what to do",
    ),
    ("photo", "text", "the file as it was named"),
    (
        "checksum",
        "text",
        "CRC-32 of the file, eight hexadecimal digits",
    ),
    (
        "exact_share",
        "share",
        "how often counts of bands so high were exact in trials, 0 to 1",
    ),
    (
        "lines",
        "whole number",
        "lines beside each other that agree",
    ),
    ("mean_px", "pixels", "mean height of a band"),
    ("thinnest_px", "pixels", "height of the thinnest band"),
    (
        "mean_mm",
        "mm or null",
        "the same, where `--height` is given",
    ),
    (
        "thinnest_mm",
        "mm or null",
        "the same, where `--height` is given",
    ),
    (
        "line",
        "list of 4 numbers",
        "the line that was followed, first border to last: x, y, x, y in pixels from the upper left",
    ),
    (
        "borders",
        "list",
        "x and y of every border on it, the outer ones among them",
    ),
    (
        "doubts",
        "list",
        "where the count may be off, and bands worth a second look",
    ),
    (
        "doubts[].from",
        "whole number",
        "first band, numbered along the line from 1",
    ),
    ("doubts[].to", "whole number", "last band"),
    ("doubts[].why", "text", "what is doubtful"),
    (
        "model",
        "object or null",
        "what the model of `--plan` has; never mixed into the count",
    ),
    ("model.title", "text", "title of the plan"),
    ("model.bands", "whole number", "bands of the model"),
    (
        "model.agrees",
        "true or false",
        "true when they lie inside the range",
    ),
];
