//! What `shop --json` prints, key by key.

/// Above the table.
pub(super) const SHOP_HEAD: &str = "
# `shop --json`

`anvilside shop --json` writes what the journals of a folder come to. Figures that are learned are in the
unit they name; from `low` to `high` nine in ten lie.

| key | form | meaning |
|---|---|---|
";

/// Key, form, meaning.
pub const SHOP_FIELDS: &[(&str, &str, &str)] = &[
    ("format", "whole number", "number of this format, 2"),
    ("jobs", "whole number", "jobs begun"),
    ("done", "whole number", "jobs done"),
    ("blades", "whole number", "blades of the jobs done"),
    ("heats", "whole number", "trips to the fire"),
    (
        "work_min",
        "min",
        "time at work: gaps between entries, those of over an hour left out",
    ),
    (
        "fire_min",
        "min",
        "the part of it in steps that want the fire",
    ),
    (
        "bought_g",
        "object",
        "g of steel by grade, by the plans of jobs begun, saw cuts and all",
    ),
    ("used_g", "g", "metal that went into stacks and frames"),
    ("blades_g", "g", "metal in the blades of the jobs done"),
    (
        "learnt_from",
        "whole number",
        "jobs that the figures are learned from",
    ),
    ("learned", "list", "every figure that can be learned"),
    (
        "learned[].key",
        "text",
        "its name for `--pin`, `--unpin` and `--afresh`",
    ),
    ("learned[].what", "text", "what it is"),
    ("learned[].unit", "text", "%, x (times), min or mm"),
    ("learned[].value", "number", "the value in force"),
    ("learned[].low", "number", "lower end of its range"),
    ("learned[].high", "number", "upper end of its range"),
    (
        "learned[].from",
        "whole number",
        "how many observations it comes from",
    ),
    (
        "learned[].pinned",
        "number or null",
        "the value that the smith pinned",
    ),
    (
        "learned[].book",
        "number",
        "what is believed before anything is seen",
    ),
    (
        "costs",
        "object or null",
        "`currency`, `so_far` (`steel`, `fire`, `belts`, `hours`, `total`) over all jobs, `unpriced` grades; null without prices",
    ),
];
