//! A bar as found: adopted by a plan, counted in a photograph at its inspect step, and worked to its end on the
//! number pad. The pictures and their counts are those of `tests/data`, made by generators that know nothing of
//! the program.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anvilside::billet::{Dimension, Kind, Side, StackPiece, Stage, SteelId};
use anvilside::journal::{Entry, Event};
use anvilside::plan::{self, Level};
use anvilside::planner::write::write;
use anvilside::session::Session;
use anvilside::ui::Msg;
use anvilside::units::{Mm, Seconds};

use crate::common::{Desk, plan_text};
use crate::oracle::cells::Grid;

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photographs_second")
}

/// A desk at the first step of the sample, its card settled, with one picture of that count in its folder.
fn desk(picture: &str) -> (Desk, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(data().join(picture), folder.path().join("end.jpg")).unwrap();
    std::fs::copy(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photographs/other-003.jpg"),
        folder.path().join("face.jpg"),
    )
    .unwrap();
    let mut desk = Desk::sample("found-bar");
    desk.photos = Some(folder.path().to_owned());
    desk.keys("+");
    desk.answer_card();
    (desk, folder)
}

fn found(text: &str, from: &str, to: &str) -> Result<Vec<String>, Vec<String>> {
    assert!(text.contains(from), "{from}");
    let said = |all: &[plan::Diagnostic]| all.iter().map(ToString::to_string).collect();
    let checked = plan::check(&text.replace(from, to));
    let errors = checked.found.iter().any(|one| one.level == Level::Error);
    match errors {
        true => Err(said(&checked.found)),
        false => Ok(said(&checked.found)),
    }
}

#[test]
fn the_plan_begins_with_a_sound_bar_of_the_mass_on_the_scale() {
    let text = plan_text("found-bar");
    let (plan, _) = plan::read(&text).unwrap();
    let bar = plan.first_billet();
    assert_eq!(bar.stage, Stage::Bar);
    assert!((bar.mass().0 - 720.0).abs() < 1e-6);
    // 36 x 20 mm in section at 7.85 g/cm3: 720 / 7.85e-3 / 720 by hand
    assert!((bar.bar.length.0 - 127.388_535).abs() < 1e-5);
    // the middle of 59 and 63, as parts go: sqrt(59 * 63) = 60.97
    assert_eq!((bar.bands(), bar.bands_between()), (61, Some([59, 63])));
    assert!(plan.cut_list().is_empty(), "nothing is cut for it");
    // written and read again it is the same plan
    let again = plan::read(&write(&plan, &[])).unwrap().0;
    assert_eq!(
        (again.bars, again.steps.len()),
        (plan.bars, plan.steps.len())
    );
}

#[test]
fn what_is_not_known_of_it_is_said_and_what_cannot_be_is_refused() {
    let text = plan_text("found-bar");
    let said = found(&text, "bands = [59, 63]\n", "").unwrap();
    assert!(
        said.iter()
            .any(|one| one.contains("are a guess, 10 to 1000")),
        "{said:?}"
    );
    let said = found(&text, "steels = [\"A\", \"B\"]\n", "").unwrap();
    assert!(said.iter().any(|one| one.contains("not known")), "{said:?}");
    let said = found(&text, "720 g", "640 g").unwrap();
    assert!(said.iter().any(|one| one.contains("apart")), "{said:?}");
    for (from, to, why) in [
        ("[59, 63]", "[63, 59]", "bands"),
        ("[59, 63]", "0", "bands"),
        ("[\"A\", \"B\"]", "[\"A\", \"C\"]", "no steel is called"),
        ("[\"A\", \"B\"]", "[\"A\", \"A\"]", "twice in a row"),
        ("[\"A\", \"B\"]", "[\"A\"]", "one steel"),
        ("thickness = 20", "pieces = [\"A 6 mm\"]", "no key 'pieces'"),
        (
            "[found]",
            "[stack]\nwidth = 4\nlength = 4\npieces = [\"A 6 mm\"]\n[found]",
            "[stack] and [found]",
        ),
        ("\"720 g\"", "\"0 g\"", "mass"),
    ] {
        let said = found(&text, from, to).unwrap_err();
        assert!(said.iter().any(|one| one.contains(why)), "{to}: {said:?}");
    }
}

#[test]
fn one_of_several_bars_may_begin_as_found() {
    let text = plan_text("framed-core");
    let (plan, _) = plan::read(&text).unwrap();
    let bar = plan.bars.iter().find(|bar| bar.pieces.len() > 2).unwrap();
    let height: f64 = bar.pieces.iter().map(|piece| piece.thickness.0).sum();
    let pieces = text
        .split("[[bar]]")
        .find(|part| part.contains(&format!("name = \"{}\"", bar.name)))
        .and_then(|part| part.lines().find(|line| line.starts_with("pieces")))
        .unwrap();
    let mut other =
        plan::read(&text.replace(pieces, &format!("thickness = {height}\nbands = [9, 12]")))
            .map_or_else(|found| found, |(_, found)| found);
    // its stack and first weld are steps of loose pieces, which a found bar is not
    other.retain(|one| one.level == Level::Error);
    assert!(
        other.iter().all(|one| !one.what.contains("has no")),
        "the table is read: {other:?}"
    );
}

/// A bar of unknown past as the core of a frame, with a plain edge bar from a stack of its own.
const FRAMED: &str = r#"
title = "A found core with a plain edge"
units = "mm"
[goal]
pattern = "random"
bands = [30, 70]
[goal.blade]
length = 120
width = 36
spine = 3
[steels]
A = "SAE 1084"
B = "75Ni8"
F = "SAE 1095"
[shop]
press = "25 t"
die = "25 mm"
fire = "1185 C"
oil = "50 C"
[[bar]]
name = "core"
width = 36
thickness = 20
length = 130
mass = "720 g"
steels = ["A", "B"]
bands = [59, 63]
[[bar]]
name = "edge"
width = 11
length = 230
pieces = ["F 10 mm"]
[[step]]
kind = "inspect"
bar = "core"
[[step]]
kind = "draw"
width = 30
thickness = 12
heats = 3
[[step]]
kind = "end-day"
[[step]]
kind = "trim"
bar = "core"
[[step]]
kind = "grind"
faces = "four"
[[step]]
kind = "prepare"
bar = "edge"
[[step]]
kind = "frame"
bar = "core"
edge = "edge turned"
fit = true
[[step]]
kind = "weld"
heats = 2
[[step]]
kind = "draw"
width = 42
thickness = 7
heats = 3
[[step]]
kind = "end-day"
[[step]]
kind = "trim"
bar = "core"
[[step]]
kind = "cut"
pieces = 1
length = 230
[[step]]
kind = "rough-grind"
[[step]]
kind = "harden"
heats = 1
[[step]]
kind = "temper"
[[step]]
kind = "end-day"
[[step]]
kind = "finish-grind"
[[step]]
kind = "etch"
soak = "5 min"
"#;

// The core as cells: so many layers of one thickness by turns, worked in small heats, with the grinds of the plan.
#[test]
fn a_bar_as_found_is_framed_counted_and_worked_to_the_end() {
    let checked = plan::check(FRAMED);
    assert_eq!(checked.errors(), 0, "{:?}", checked.found);
    let mut desk = Desk::on(FRAMED);
    (desk.foresees, desk.reckons) = (false, false);
    desk.keys("+");
    let core = |desk: &Desk| desk.model.session.billet.in_hand("core").into_owned();
    assert_eq!(core(&desk).bands_between(), Some([59, 63]));
    assert!((core(&desk).mass().0 - 720.0).abs() < 1e-6);
    // The eye counts 62 on the etched end.
    desk.answer_card();
    for _ in 0..4 {
        if desk.screen(120, 40).contains("type bands") {
            break;
        }
        desk.keys(".");
    }
    desk.wait(Seconds(3.0));
    desk.keys("62\n");
    let mut layers = Grid::stack(
        &[StackPiece {
            steel: SteelId(0),
            thickness: Mm(20.0 / 62.0),
        }],
        36.0,
    );
    for at in 1..62_u8 {
        let piece = StackPiece {
            steel: SteelId(at % 2),
            thickness: Mm(20.0 / 62.0),
        };
        layers = layers.under(&Grid::stack(&[piece], 36.0));
    }
    layers.work([30.0, 12.0], 0.04);
    layers.off(0.5, 0.5);
    while !desk.model.session.is_finished() {
        let before = desk.model.session.current().unwrap().clone();
        desk.finish_step();
        if before.kind() == Kind::Inspect {
            assert_eq!(core(&desk).bands(), 62);
        }
        if before.kind() == Kind::Frame {
            let bar = core(&desk).bar;
            assert!((bar.width.0 - 39.0).abs() < 1e-6 && (bar.thickness.0 - 11.0).abs() < 1e-6);
            // Plain for 10 mm from the edge, and the core's bands behind it.
            assert!((bar.plain_on(Side::Edge).0 - 10.0).abs() < 1e-6);
            let left = layers.bands(15.0);
            assert!(core(&desk).bands().abs_diff(left) <= 1, "{left}");
        }
    }
    let metal = &desk.model.session.billet;
    assert_eq!(metal.stage, Stage::Etched);
    let there: f64 = metal.whole().iter().map(|volume| volume.0).sum();
    assert!((metal.balance().left().0 - there).abs() < 1e-6 * there);
    // All that was put in: what lay on the scale, and the edge bar as it was bought.
    let first = desk.model.session.plan.first_billet();
    let begun: f64 = first.whole().iter().map(|volume| volume.0).sum();
    assert!(
        (begun - (720.0 / 7.85e-3 + 10.0 * 11.0 * 230.0)).abs() < 1.0,
        "{begun}"
    );
    let again = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(again.billet, *metal);
}

#[test]
fn a_photograph_is_counted_shown_and_taken_with_its_file_line_and_range() {
    // s-015: 11 bands, 9.0 pixels each (tests/data/photographs_second/truth.csv)
    let (mut desk, folder) = desk("s-015.jpg");
    desk.keys("*001");
    let list = desk.screen(80, 24);
    assert!(
        list.contains("1  end.jpg") && list.contains("2  face.jpg"),
        "{list}"
    );
    desk.keys("2");
    let none = desk.screen(80, 24);
    assert!(none.contains("NO COUNT"), "{none}");
    desk.keys("+");
    assert!(desk.screen(80, 24).contains("nothing was counted"));
    desk.keys("-1");
    let seen = desk.screen(80, 24);
    assert!(seen.contains("11 BANDS (11 TO"), "{seen}");
    assert!(
        seen.contains("the model has 61 (59 to 63), OUTSIDE"),
        "{seen}"
    );
    desk.keys(".");
    let close = desk.screen(80, 24);
    assert!(
        close.contains("place 1 of") && close.contains('?'),
        "{close}"
    );
    desk.keys("..");
    let before = desk.journal.len();
    // the line is moved and found again
    desk.keys("/46/60");
    assert_eq!(desk.journal.len(), before, "only looked at");
    desk.keys("+");
    let taken = &desk.journal[before..];
    assert_eq!(taken.len(), 1);
    let Event::Measured {
        what,
        cold,
        typed,
        counted: Some(counted),
        ..
    } = taken[0].event.clone()
    else {
        panic!("{taken:?}")
    };
    assert_eq!((what, cold), (Dimension::Bands, 11.0));
    assert!(typed.starts_with("11 (11 to "), "{typed}");
    let photo = counted.photo.as_ref().unwrap();
    let bytes = std::fs::read(folder.path().join("end.jpg")).unwrap();
    assert_eq!(
        (photo.file.as_str(), photo.checksum),
        ("end.jpg", crc32fast::hash(&bytes))
    );
    assert!(photo.line.iter().any(|at| *at > 0));
    // it corrects the model, and one key takes it back
    let bands = desk.model.session.metal().bands();
    assert!((u128::from(counted.low)..=u128::from(counted.high)).contains(&bands));
    // the list says which picture was taken, and what it gave
    let words = format!("taken: {typed} bands");
    desk.keys("*001");
    let list = desk.screen(80, 24);
    let line = |name: &str| list.lines().find(|line| line.contains(name)).unwrap();
    assert!(line("1  end.jpg").contains(&words), "{list}");
    assert!(!line("2  face.jpg").contains("taken"), "{list}");
    desk.keys("--");
    assert_eq!(desk.model.session.metal().bands(), 61);
    desk.keys("*001");
    assert!(!desk.screen(80, 24).contains("taken: "));
}

#[test]
fn a_count_by_eye_goes_before_that_of_the_picture() {
    let (mut desk, _folder) = desk("s-044.jpg");
    desk.keys("i1\n");
    desk.keys("58-62\n");
    let session = &desk.model.session;
    assert_eq!(session.step.reading.between, Some([58, 62]));
    assert!((58..=62).contains(&session.metal().bands()));
    let note = session.notes.iter().last().unwrap();
    assert!(
        note.text.contains("corrected by eye") && note.text.contains("41 bands"),
        "{}",
        note.text
    );
    // a range typed as a size does the same
    desk.keys("-");
    desk.wait(Seconds(3.0));
    desk.keys("60-62\n");
    assert_eq!(desk.model.session.step.reading.between, Some([60, 62]));
}

#[test]
fn the_adopted_bar_is_worked_to_its_end_on_the_number_pad() {
    let (mut desk, _folder) = desk("s-044.jpg");
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("60-62\n");
    for _ in 0..60 {
        if desk.model.session.is_finished() {
            break;
        }
        desk.finish_step();
    }
    let session = &desk.model.session;
    assert!(session.is_finished(), "{}", desk.screen(80, 24));
    assert_eq!(session.billet.stage, Stage::Etched);
    let [low, high] = session.billet.bands_between().unwrap();
    assert!(
        low >= 100 && high <= 150 && high - low >= 3,
        "{low} to {high}"
    );
    let ledger = session.billet.balance();
    let [left, stock] = session.billet.whole();
    assert!(
        (left + stock).near(ledger.left(), 1e-3),
        "metal in is metal out"
    );
}

/// The second draw of the kitchen pair, read as three pieces of the four would leave it.
fn three_of_four() -> Desk {
    let mut desk = Desk::sample("kitchen-pair");
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    desk.go_to("draw-2");
    desk.answer_card();
    let session = &desk.model.session;
    let grams = session.meant.billet.piece_mass().0 * 0.75;
    let event = Event::Measured {
        step: session.current().unwrap().id.clone(),
        what: Dimension::Mass,
        cold: grams,
        typed: format!("{grams:.0}"),
        hot: None,
        counted: None,
    };
    let entry = Entry {
        seq: session.seq + 1,
        at: desk.now,
        event,
    };
    desk.journal.push(entry.clone());
    desk.send(Msg::Appended(vec![entry]));
    desk.finish_step();
    desk
}

#[test]
fn a_restack_of_three_instead_of_four_is_found_taken_and_taken_back() {
    let mut desk = three_of_four();
    let piled = |desk: &Desk| {
        let done = &desk.model.session.done;
        let at = done.iter().position(|one| one.step.id.0 == "restack-1");
        let [before, after] = [at.unwrap() - 1, at.unwrap()].map(|at| &done[at].made.billet);
        (
            before.bands(),
            after.bands(),
            desk.model.session.billet.nominal,
        )
    };
    let (each, four, nominal) = piled(&desk);
    // four pieces with like faces meet in three seams
    assert_eq!((four, nominal), (4 * each - 3, 36));
    desk.keys("*002");
    let page = desk.screen(80, 24);
    assert!(page.contains("1  sure      the sizes"), "{page}");
    assert!(
        page.contains("3  NOT sure  4 pieces at restack-1"),
        "{page}"
    );
    assert!(
        page.contains("4  3 of 4 pieces at restack-1: 27 nominal"),
        "{page}"
    );
    assert!(
        !page.contains("2 of 4 pieces"),
        "half the metal does not agree: {page}"
    );
    // sure of the pieces, nothing is left; not sure of the sizes, all is possible
    desk.keys("3");
    assert!(desk.screen(80, 24).contains("none: be less sure"));
    desk.keys("31");
    assert!(desk.screen(80, 24).contains("2 of 4 pieces"));
    desk.keys("1");
    let entries = desk.journal.len();
    desk.keys("4");
    assert_eq!(desk.journal.len(), entries + 1);
    let (again, three, nominal) = piled(&desk);
    assert_eq!((again, three, nominal), (each, 3 * each - 2, 27));
    let session = &desk.model.session;
    let [left, stock] = session.billet.whole();
    let ledger = session.billet.balance();
    assert!(
        (left + stock).near(ledger.left(), 1e-3),
        "metal in is metal out"
    );
    // the journal alone gives the same
    let folded = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(folded.billet, session.billet);
    desk.keys("-");
    assert_eq!(desk.model.session.billet.nominal, 36);
    assert_eq!(piled(&desk).1, four);
    // and the job goes on from the other way
    desk.keys("r");
    for _ in 0..60 {
        if desk.model.session.is_finished() {
            break;
        }
        desk.finish_step();
    }
    assert!(desk.model.session.is_finished());
}

#[test]
fn a_count_that_is_only_typed_is_told_as_not_settled() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    desk.go_to("inspect-1");
    desk.keys("*002");
    assert!(desk.screen(120, 30).contains("none was made"));
    desk.keys("-");
    desk.answer_card();
    let bands = desk.model.session.metal().bands();
    desk.keys(&format!("{bands}\n*002"));
    let page = desk.screen(120, 30);
    let count = format!("the count at inspect-1: {bands} bands");
    let open = format!("{count}, not settled until the step is done");
    assert!(
        page.contains(&open) && !page.contains("none was made"),
        "{page}"
    );
    desk.keys("-");
    desk.finish_step();
    desk.keys("*002");
    let page = desk.screen(120, 30);
    assert!(
        page.contains(&count) && !page.contains("not settled"),
        "{page}"
    );
}

#[test]
fn without_a_restack_there_is_nothing_to_doubt() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    desk.answer_card();
    desk.keys("*002");
    assert!(desk.screen(80, 24).contains("no restack of three pieces"));
}

#[test]
fn the_command_writes_the_plan_that_adopts_a_bar() {
    let folder = tempfile::tempdir().unwrap();
    let run = |args: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_anvilside"))
            .args([
                "count",
                "--from",
                "--bands",
                "119-123",
                "--bar",
                "36x20x130",
            ])
            .args(args)
            .current_dir(folder.path())
            .stdin(Stdio::null())
            .output()
            .unwrap()
    };
    let done = run(&[
        "--mass",
        "720g",
        "--steels",
        "1084,15N20",
        "--out",
        "found.toml",
    ]);
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(
        done.status.success(),
        "{said}{}",
        String::from_utf8_lossy(&done.stderr)
    );
    assert!(
        said.contains("written: ") && said.contains("to tell them apart"),
        "{said}"
    );
    let text = std::fs::read_to_string(folder.path().join("found.toml")).unwrap();
    let (plan, found) = plan::read(&text).unwrap();
    assert!(found.is_empty(), "{found:?}");
    let bar = plan.first_billet();
    assert_eq!(bar.bands_between(), Some([119, 123]));
    assert!((bar.mass().0 - 720.0).abs() < 1e-6);
    assert_eq!(bar.steels.len(), 2);
    // never over a file that is there
    let again = run(&["--out", "found.toml"]);
    assert_eq!(again.status.code(), Some(1));
    assert_eq!(
        std::fs::read_to_string(folder.path().join("found.toml")).unwrap(),
        text
    );
    for wrong in [["--steels", "steel-of-dreams"], ["--bar", "3x3"]] {
        let done = run(&[wrong[0], wrong[1], "--out", "other.toml"]);
        assert!(!done.status.success());
    }
    assert!(!folder.path().join("other.toml").exists());
}
