use proptest::prelude::*;

use super::{Act, Lies, Shelf};
use crate::journal::{Kept, Spare};
use crate::plan::StepId;
use crate::session::ShelfSide;
use crate::units::{Stamp, Units};

const NOW: Stamp = Stamp(1_795_598_000_000);

fn spare(pieces: u32) -> Spare {
    Spare {
        bar: "core".to_owned(),
        place: Some(0),
        from: StepId("cut-2".to_owned()),
        pieces,
        size: [24.0, 12.0, 95.0],
        mass: 214.8,
        bands: 3,
        figure: "flat".to_owned(),
        steels: vec![("SAE 1084".to_owned(), 0.75), ("75Ni8".to_owned(), 0.25)],
        layers: vec![
            ("SAE 1084".to_owned(), 4.5),
            ("75Ni8".to_owned(), 3.0),
            ("SAE 1084".to_owned(), 4.5),
        ],
    }
}

/// A job that has kept by these entries, and whose plan takes these numbers.
fn side(job: i64, kept: &[(u64, u32)], takes: &[u32]) -> ShelfSide {
    let kept = kept.iter().map(|(seq, pieces)| Kept {
        seq: *seq,
        at: NOW,
        spare: spare(*pieces),
    });
    ShelfSide {
        job: Stamp(job),
        kept: kept.collect(),
        takes: takes.to_vec(),
        finished: false,
    }
}

fn lies(shelf: &Shelf) -> Vec<(u32, Lies)> {
    let pieces = shelf.pieces.iter();
    pieces.map(|piece| (piece.number, piece.lies)).collect()
}

#[test]
fn each_like_piece_has_its_number_and_being_told_twice_changes_nothing() {
    let mut shelf = Shelf::default();
    let told = side(1, &[(9, 2)], &[]);
    let (said, taken) = shelf.meet("a.journal", &told, NOW);
    assert!(taken.is_ok() && said[0].contains("1 to 2"), "{said:?}");
    let once = shelf.clone();
    assert!(shelf.meet("a.journal", &told, NOW).0.is_empty());
    assert_eq!(shelf, once);
    assert_eq!(lies(&shelf), [(1, Lies::Shelf), (2, Lies::Shelf)]);
    // a journal that was given another name is the same job
    drop(shelf.meet("renamed.journal", &told, NOW));
    assert_eq!(shelf, once);
}

#[test]
fn an_undo_takes_a_piece_off_and_a_redo_lays_it_on_again() {
    let mut shelf = Shelf::default();
    drop(shelf.meet("a.journal", &side(1, &[(9, 1)], &[]), NOW));
    drop(shelf.meet("a.journal", &side(1, &[], &[]), NOW));
    assert_eq!(lies(&shelf), [(1, Lies::Undone)]);
    drop(shelf.meet("a.journal", &side(1, &[(9, 1)], &[]), NOW));
    assert_eq!(lies(&shelf), [(1, Lies::Shelf)]);
    // another job's undo is none of its business
    drop(shelf.meet("b.journal", &side(2, &[], &[]), NOW));
    assert_eq!(lies(&shelf), [(1, Lies::Shelf)]);
    // what another job has taken stays there, and it is said
    drop(shelf.meet("b.journal", &side(2, &[], &[1]), NOW));
    let (said, _) = shelf.meet("a.journal", &side(1, &[], &[]), NOW);
    assert!(said[0].contains("taken by b.journal"), "{said:?}");
    assert_eq!(lies(&shelf), [(1, Lies::Taken)]);
}

#[test]
fn a_piece_is_one_jobs_until_it_gives_it_back() {
    let mut shelf = Shelf::default();
    drop(shelf.meet("a.journal", &side(1, &[(9, 1)], &[]), NOW));
    assert!(shelf.meet("b.journal", &side(2, &[], &[1]), NOW).1.is_ok());
    let (_, refused) = shelf.meet("c.journal", &side(3, &[], &[1]), NOW);
    assert!(
        refused
            .unwrap_err()
            .to_string()
            .contains("taken by b.journal")
    );
    let (_, none) = shelf.meet("c.journal", &side(3, &[], &[7]), NOW);
    assert!(
        none.unwrap_err()
            .to_string()
            .contains("none of that number")
    );
    // the plan takes it no more
    drop(shelf.meet("b.journal", &side(2, &[], &[]), NOW));
    assert!(shelf.meet("c.journal", &side(3, &[], &[1]), NOW).1.is_ok());
    let done = ShelfSide {
        finished: true,
        ..side(3, &[], &[1])
    };
    drop(shelf.meet("c.journal", &done, NOW));
    assert_eq!(lies(&shelf), [(1, Lies::Used)]);
    // the last step is taken back
    drop(shelf.meet("c.journal", &side(3, &[], &[1]), NOW));
    assert_eq!(lies(&shelf), [(1, Lies::Taken)]);
}

#[test]
fn what_has_gone_is_not_thrown_away_again() {
    let mut shelf = Shelf::default();
    drop(shelf.meet("a.journal", &side(1, &[(9, 1)], &[]), NOW));
    assert!(shelf.act(2, Act::Throw, NOW).is_err());
    assert!(shelf.act(1, Act::PutBack, NOW).is_err());
    shelf.act(1, Act::Throw, NOW).unwrap();
    let why = shelf.act(1, Act::Use, NOW).unwrap_err().to_string();
    assert!(why.contains("thrown away") && why.contains("--put-back 1"));
    shelf.act(1, Act::PutBack, NOW).unwrap();
    assert!(shelf.act(1, Act::Size([24.0, 0.0, 95.0]), NOW).is_err());
    shelf.act(1, Act::Size([24.0, 6.0, 190.0]), NOW).unwrap();
    let piece = shelf.piece(1).unwrap();
    // half as thick and twice as long: the same metal, each layer half as thick
    assert!((piece.spare.mass - 214.8).abs() < 1e-9);
    assert!((piece.spare.layers[1].1 - 1.5).abs() < 1e-9);
}

#[test]
fn a_damaged_file_is_said_with_its_line() {
    let mut shelf = Shelf::default();
    drop(shelf.meet("a.journal", &side(1, &[(9, 2)], &[]), NOW));
    let text = shelf.write();
    let at = |needle: &str| text.lines().position(|line| line.contains(needle)).unwrap() + 1;
    for (from, to, line) in [
        ("number = 2", "number = two", at("number = 2")),
        ("number = 2", "number = 1", at("number = 2") - 1),
        ("lies = \"shelf\"", "lies = \"lost\"", at("lies = ")),
        ("mass = 214.8", "mass = -3.0", at("number = 1") - 1),
        ("bands = 3", "bans = 3", at("bands = 3")),
    ] {
        let why = Shelf::read(&text.replacen(from, to, 1))
            .unwrap_err()
            .to_string();
        assert!(why.starts_with(&format!("line {line}")), "{to}: {why}");
    }
}

#[test]
fn a_plan_takes_it_with_its_own_layers() {
    let mut shelf = Shelf::default();
    drop(shelf.meet("a.journal", &side(1, &[(9, 1)], &[]), NOW));
    let known = [("N".to_owned(), "75Ni8".to_owned())];
    let table = shelf.piece(1).unwrap().table(Units::Mm, &known);
    let wanted = "[steels] # add these lines to the table of that name\nA = \"SAE 1084\"\n\n[[bar]]\n\
                  name = \"shelf-1\"\nshelf = 1\nfrom = \"a.journal, bar core, cut-2\"\nwidth = 24\nlength = 95\n\
                  pieces = [\"A 4.5 mm, N 3 mm, A 4.5 mm\"]";
    assert_eq!(table.replace("\", \"", ", "), wanted);
}

fn any_spare() -> impl Strategy<Value = Spare> {
    let part = (0..4_usize, 0.01..1.0_f64);
    (
        prop::collection::vec(part, 1..4),
        prop::array::uniform3(0.5..400.0_f64),
        1..5_000_u64,
        "[a-z-]{0,20}",
        1..4_u32,
    )
        .prop_map(|(parts, size, bands, bar, pieces)| {
            let mut steels: Vec<(String, f64)> = Vec::new();
            for (kind, part) in parts {
                let name = ["SAE 1084", "75Ni8", "SAE 1095", "W \"2\" \\ 'x'"][kind];
                if !steels.iter().any(|(known, _)| known == name) {
                    steels.push((name.to_owned(), part));
                }
            }
            Spare {
                bar,
                size,
                bands,
                figure: "twisted".to_owned(),
                steels,
                layers: Vec::new(),
                ..spare(pieces)
            }
        })
}

proptest! {
    /// Whatever jobs do in whatever order: numbers are never given twice, no piece is two jobs', and the
    /// file reads back to the same shelf.
    #[test]
    fn jobs_by_chance_never_share_a_piece(
        spares in prop::collection::vec(any_spare(), 1..5),
        moves in prop::collection::vec((0..4_i64, 0..6_u8, 1..9_u32), 1..40),
    ) {
        let mut shelf = Shelf::default();
        let mut jobs: Vec<ShelfSide> = (0..4).map(|job| side(job, &[], &[])).collect();
        for (at, (job, act, number)) in moves.into_iter().enumerate() {
            let name = format!("{job}.journal");
            let own = &mut jobs[usize::try_from(job).unwrap()];
            let before = own.clone();
            match act {
                0 => {
                    let spare = spares[at % spares.len()].clone();
                    own.kept.push(Kept { seq: at as u64, at: NOW, spare });
                }
                1 => drop(own.kept.pop()),
                2 => own.takes = vec![number],
                3 => own.takes.clear(),
                4 => own.finished = !own.finished,
                _ => drop(shelf.act(number, Act::Throw, NOW)),
            }
            let (_, taken) = shelf.meet(&name, own, NOW);
            if taken.is_err() {
                own.takes = before.takes;
            }
            let mut numbers: Vec<u32> = shelf.pieces.iter().map(|piece| piece.number).collect();
            numbers.dedup();
            prop_assert_eq!(numbers.len(), shelf.pieces.len());
            for (job, own) in jobs.iter().enumerate() {
                for number in &own.takes {
                    let piece = shelf.piece(*number).unwrap();
                    if piece.lies == Lies::Taken {
                        let name = format!("{job}.journal");
                        let with: Vec<_> = jobs.iter().filter(|other| other.takes.contains(number)).collect();
                        prop_assert_eq!(piece.by.as_deref(), Some(&*name));
                        prop_assert_eq!(with.len(), 1);
                    }
                }
            }
            let text = shelf.write();
            let back = Shelf::read(&text).unwrap();
            prop_assert_eq!(back.write(), text);
            prop_assert_eq!(lies(&back), lies(&shelf));
        }
    }
}
