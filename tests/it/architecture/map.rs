//! The floors as a picture, drawn from the parsed code: a row a floor, a mark for each lower floor that it uses.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::{FLOORS, floor_of, root, source};

const FILE: &str = "screenshots/floors.svg";
const CELL: usize = 26;
const LEFT: usize = 110;
const TOP: usize = 44;

/// Which floors each floor uses.
fn used() -> BTreeSet<(usize, usize)> {
    let pairs = source().modules.iter().flat_map(|(path, module)| {
        let own = floor_of(path);
        let named = module.paths.iter().filter_map(floor_of);
        named.filter_map(move |other| Some((own?, other)))
    });
    pairs.filter(|(own, other)| own != other).collect()
}

fn picture() -> String {
    let many = FLOORS.len();
    let (wide, high) = (LEFT + many * CELL + 20, TOP + many * CELL + 16);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide} {high}\" width=\"{wide}\" height=\"{high}\" \
         font-family=\"sans-serif\" font-size=\"13\">\n<title>Each floor, and the lower floors that it uses</title>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n"
    );
    let used = used();
    for (row, floor) in FLOORS.iter().rev().enumerate() {
        let own = many - 1 - row;
        let y = TOP + row * CELL;
        writeln!(
            out,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"end\" fill=\"#111\">{floor}</text>",
            LEFT - 10,
            y + 18
        )
        .unwrap();
        for other in 0..many {
            let x = LEFT + (many - 1 - other) * CELL;
            let fill = match () {
                () if own == other => "#111",
                () if used.contains(&(own, other)) => "#2f6f9f",
                () => "#eef1f4",
            };
            writeln!(
                out,
                "<rect x=\"{x}\" y=\"{y}\" width=\"{0}\" height=\"{0}\" fill=\"{fill}\"/>",
                CELL - 2
            )
            .unwrap();
        }
    }
    for (column, floor) in FLOORS.iter().rev().enumerate() {
        let x = LEFT + column * CELL + CELL / 2;
        let letters: String = floor.chars().take(3).collect();
        writeln!(
            out,
            "<text x=\"{x}\" y=\"{}\" text-anchor=\"middle\" font-size=\"10\" fill=\"#111\">{letters}</text>",
            TOP - 10
        )
        .unwrap();
    }
    out.push_str("</svg>\n");
    out
}

/// To draw it anew: `BLESS=1 cargo test --test it architecture::map`.
#[test]
fn the_map_of_the_floors_is_what_the_code_is() {
    let path = root().join(FILE);
    let now = picture();
    if std::env::var_os("BLESS").is_some() {
        #[allow(clippy::disallowed_methods, reason = "a test draws the picture itself")]
        std::fs::write(&path, &now).unwrap();
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        held == now,
        "{FILE} is not what the code is; draw it with BLESS=1 cargo test --test it architecture::map"
    );
}

#[test]
fn every_mark_lies_under_the_diagonal() {
    // Brute force over the picture's own text: columns run from the highest floor to the lowest.
    let marks = picture();
    let marks = marks.lines().filter(|line| line.contains("#2f6f9f"));
    let number = |line: &str, key: &str| -> usize {
        let from = line.find(key).unwrap() + key.len();
        let rest = &line[from..];
        rest[..rest.find('"').unwrap()].parse().unwrap()
    };
    let mut seen = 0;
    for mark in marks {
        let (x, y) = (number(mark, "x=\""), number(mark, "y=\""));
        assert!((x - LEFT) / CELL > (y - TOP) / CELL, "{mark}");
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
}
