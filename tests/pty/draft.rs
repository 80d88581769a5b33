//! `anvilside draft` on a terminal: the wish typed, the plan chosen by a digit, its file, the work.

use portable_pty::CommandBuilder;

use crate::terminal::{Bench, Terminal};

const RACK: [&str; 6] = [
    "--press",
    "25t",
    "--steel",
    "1084=6mm x 40mm",
    "--steel",
    "15N20=3mm x 40mm",
];

fn draft(bench: &Bench, words: &[&str]) -> CommandBuilder {
    let mut all = vec!["draft", "--key-gap", "0"];
    all.extend(words);
    bench.program(&all)
}

/// The files of the folder, the program's own state left out.
fn files(bench: &Bench) -> Vec<String> {
    let mut names = bench.names();
    names.retain(|name| name != "state");
    names
}

#[test]
fn a_typed_wish_becomes_a_plan_and_the_work_begins() {
    let bench = Bench::with_sample("three-layer");
    let mut screen = Terminal::start(draft(&bench, &RACK));
    screen.wait("? to be written");
    screen.keys("sixty\r");
    screen.wait("'sixty' is not a number");
    screen.keys("\u{7f}\u{7f}\u{7f}\u{7f}\u{7f}150\r32\r ");
    screen.wait("1-9 shows a plan");
    assert!(screen.shows("makers' sheets"));
    screen.keys("2");
    screen.wait("+ takes this plan");
    screen.wait("PLAN 2");
    screen.keys(" ");
    screen.wait("random-pattern-blade-150-mm.toml");
    // A name that is there already is refused, and the file stays.
    let before = bench.read("plan.toml");
    for _ in 0.."random-pattern-blade-150-mm.toml".len() {
        screen.keys("\u{7f}");
    }
    screen.keys("plan\r");
    screen.wait("is there already");
    assert_eq!(bench.read("plan.toml"), before);
    screen.keys("-2\r");
    screen.wait("WRITTEN");
    let text = bench.read("plan-2.toml");
    assert!(anvilside::plan::check(&text).found.is_empty());
    screen.keys(" ");
    screen.wait("READ THIS ONCE");
    assert_eq!(
        files(&bench)
            .iter()
            .filter(|name| name.contains("new"))
            .count(),
        0
    );
    screen.keys("\u{3}");
    screen.ended();
    assert!(screen.is_handed_back());
}

#[test]
fn a_long_search_shows_how_far_it_is_and_stops() {
    let bench = Bench::with_sample("three-layer");
    let wish = [
        "--length",
        "210",
        "--width",
        "46",
        "--steel",
        "1084=3mm,4mm,5mm,6mm",
        "--steel",
        "15N20=2mm,2.5mm,3mm,4mm",
        "--bands",
        "1000",
        "--welds",
        "9",
    ];
    let mut screen = Terminal::start(draft(&bench, &wish));
    screen.wait("ESC stops");
    screen.wait("first stacks");
    screen.keys("0");
    screen.wait("Stopped. + searches again");
    screen.keys(" ");
    screen.wait("ESC stops");
    screen.signal("TERM");
    screen.ended();
    assert!(screen.is_handed_back());
    assert_eq!(files(&bench), ["plan.toml"]);
}

#[test]
fn no_plan_is_told_and_leads_back_to_the_wish() {
    let bench = Bench::with_sample("three-layer");
    let wish = [
        "--length",
        "150",
        "--width",
        "32",
        "--press",
        "12t",
        "--die",
        "50",
        "--steel",
        "1084=6mm x 52mm",
        "--steel",
        "15N20=3mm x 52mm",
    ];
    let mut screen = Terminal::start(draft(&bench, &wish));
    screen.wait("NO PLAN");
    screen.wait("the press moves");
    screen.keys(" ");
    screen.wait("a plan from a wish");
    screen.keys("\u{7f}");
    screen.wait("The wish is not kept");
    screen.keys("\u{7f}");
    screen.ended_with(0);
    assert!(screen.is_handed_back());
    assert_eq!(files(&bench), ["plan.toml"]);
}
