//! Bars of the plan in the first stack of another: against cells worked one by one, written and read, and what
//! is said of those that cannot be.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation
)]

use anvilside::billet::{Among, Move, Piece, StackPiece, SteelId};
use anvilside::plan;

use crate::bars::{Job, errors};
use crate::common::Desk;
use crate::common::dice::Dice;
use crate::oracle::cells::Grid;

#[test]
fn two_hundred_stacks_with_bars_in_them_are_their_cells_worked_one_by_one() {
    let mut dice = Dice(27_182);
    let (mut done, mut joined) = (0, 0);
    for number in 0..200 {
        let count = 2 + dice.up_to(3);
        let mut job = Job::new(&mut dice, count);
        let names: Vec<String> = job.grids.iter().map(|(name, _)| name.clone()).collect();
        let whole = job.metal.bar.volume().0;
        for bar in &names[1..] {
            job.begin(&mut dice, bar, 3);
        }
        job.metal.take_up(&names[0]);
        assert!((job.metal.bar.volume().0 - whole).abs() < 1e-9);
        let first: Vec<StackPiece> = job.metal.first.to_vec();
        let mut under: Vec<u32> = (1..count)
            .map(|_| dice.up_to(first.len() + 1) as u32)
            .collect();
        under.sort_unstable();
        let among: Vec<Among> = under
            .iter()
            .zip(&names[1..])
            .map(|(under, bar)| Among {
                under: *under,
                piece: Piece::Of {
                    bar: bar.clone(),
                    turns: dice.up_to(4) as u8,
                },
            })
            .collect();
        let made = Move::Stack {
            among: among.clone(),
            fit: true,
        };
        if !job.lays(&names[0], &made) {
            continue;
        }
        let [width, _] = job.grid(&names[0]).size();
        let mut parts: Vec<Grid> = Vec::new();
        let mut from = 0;
        for one in &among {
            let to = one.under as usize;
            if to > from {
                parts.push(Grid::stack(&first[from..to], width));
            }
            from = to;
            let Piece::Of { bar, turns } = &one.piece else {
                panic!("a plain piece");
            };
            let own = job.grid(bar).clone();
            let lies = (0..*turns).fold(own, |grid, _| grid.turned());
            parts.push(lies.fitted(width, true));
        }
        if first.len() > from {
            parts.push(Grid::stack(&first[from..], width));
        }
        let pile = parts[1..]
            .iter()
            .fold(parts[0].clone(), |pile, on| pile.under(on));
        job.holds_on(&mut dice, &names[0], pile, &format!("stack {number}"));
        done += 1;
        joined += among.len();
    }
    assert!(done > 120 && joined > 200, "{done} {joined}");
}

const PLAN: &str = r#"
title = "A twisted rod between plain pieces"
units = "mm"
[goal]
pattern = "twist"
bands = [3, 60]
[goal.blade]
length = 60
width = 20
spine = 3
[steels]
A = "SAE 1084"
B = "75Ni8"
F = "SAE 1095"
[shop]
hand = true
trim = 2
scale = "2 %"
[[bar]]
name = "rod"
width = 20
length = 200
pieces = ["3 x (A 3 mm, B 2 mm)", "A 3 mm"]
[[bar]]
name = "blade"
width = 18
length = 150
pieces = ["2 x (F 3 mm, A 2 mm)", "rod turned", "F 4 mm", "rod", "A 2 mm"]
[[step]]
kind = "prepare"
bar = "rod"
[[step]]
kind = "stack"
[[step]]
kind = "weld"
[[step]]
kind = "square"
width = 18
thickness = 18
[[step]]
kind = "cut"
pieces = 2
length = 100
[[step]]
kind = "twist"
turns = 2
[[step]]
kind = "cut"
title = "Cut to length"
pieces = 1
length = 100
[[step]]
kind = "prepare"
bar = "blade"
[[step]]
kind = "stack"
id = "pile"
[[step]]
kind = "weld"
[[step]]
kind = "draw"
width = 24
thickness = 12
"#;

fn fitting() -> String {
    PLAN.replace("length = 150", "length = 100")
}

/// By hand: six plain pieces of 3, 2, 3, 2, 4 and 2 mm and two rods of 18 mm come to 52 mm; F is 10 of them.
#[test]
fn a_plan_with_bars_in_a_stack_is_worked_to_its_end() {
    let text = fitting();
    assert!(errors(&text).is_empty(), "{:?}", errors(&text));
    let plan = plan::read(&text).unwrap().0;
    let walk = plan::dry_run(&plan, 0, &plan.first_billet());
    let at = plan
        .steps
        .iter()
        .position(|step| step.id.0 == "pile")
        .unwrap();
    let pile = &walk.rows[at].billet;
    let thick = pile.bar.thickness.0;
    assert!((thick - 52.0).abs() < 0.5, "{thick}");
    let share = pile.bar.area_of(SteelId(2)).0 / pile.bar.section().0;
    assert!((share - 10.0 / thick).abs() < 1e-9, "{share}");
    // The rods are used up, and all metal is accounted for.
    let rod = pile.bars().find(|bar| &*bar.name == "rod").unwrap();
    assert_eq!((rod.pieces, rod.within.as_deref()), (0, Some("blade")));
    let balance = pile.balance();
    let [there, kept] = pile.whole();
    assert!((balance.left() - there - kept).0.abs() < 1e-6);
    let mut desk = Desk::on(&text);
    desk.foresees = false;
    while !desk.model.session.is_finished() {
        desk.finish_step();
    }
}

/// A bar of one plain piece between plain pieces is the same pile as the piece itself: carbon moves alike.
#[test]
fn carbon_crosses_the_seams_of_a_bar_in_a_stack_as_those_of_plain_pieces() {
    let mean = |pieces: &str| {
        let (head, _) = PLAN.split_once("[[bar]]").unwrap();
        let text = format!(
            "{head}[[bar]]\nname = \"middle\"\nwidth = 20\nlength = 100\npieces = [\"B 3 mm\"]\n\
             [[bar]]\nname = \"blade\"\nwidth = 20\nlength = 100\npieces = {pieces}\n\
             [[step]]\nkind = \"prepare\"\nbar = \"blade\"\n[[step]]\nkind = \"stack\"\n\
             [[step]]\nkind = \"weld\"\nheats = 4\n\
             [[step]]\nkind = \"draw\"\nthickness = 8\nwidth = 20\n"
        );
        let mut desk = Desk::on(&text);
        desk.foresees = false;
        desk.go_to("draw-1");
        desk.answer_card();
        let carbon = desk.model.reckoned.clone().unwrap().carbon.unwrap();
        let of = carbon.by_steel.iter().find(|of| of.steel == 0).unwrap();
        (of.mean.low, of.mean.best, of.mean.high)
    };
    let bar = mean(r#"["A 3 mm", "middle", "A 3 mm"]"#);
    let plain = mean(r#"["A 3 mm", "B 3 mm", "A 3 mm"]"#);
    for (one, other) in [(bar.0, plain.0), (bar.1, plain.1), (bar.2, plain.2)] {
        assert!((one - other).abs() < 0.004, "{bar:?} {plain:?}");
    }
    // 0.84 % against 0.75 %: some of it has left.
    assert!(plain.2 < 0.84, "{plain:?}");
}

#[test]
fn a_plan_with_bars_in_a_stack_is_written_as_it_is_read() {
    let plan = plan::read(&fitting()).unwrap().0;
    let written = anvilside::planner::write::write(&plan, &[]);
    assert!(
        written.contains(
            r#"pieces = ["2 x (F 3 mm, A 2 mm)", "rod turned", "F 4 mm", "rod", "A 2 mm"]"#
        ),
        "{written}"
    );
    let again = plan::read(&written).unwrap().0;
    assert_eq!(again.bars, plan.bars);
    let made = |plan: &plan::Plan| {
        plan.steps
            .iter()
            .map(|step| step.made.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(made(&again), made(&plan));
    // A bar in brackets is laid as often as they say.
    let twice = fitting().replace(r#""rod turned", "F 4 mm", "rod""#, r#""2 x (rod, F 4 mm)""#);
    let under: Vec<u32> = plan::read(&twice).unwrap().0.bars[1]
        .among
        .iter()
        .map(|one| one.under)
        .collect();
    assert_eq!(under, [4, 5]);
}

#[test]
fn errors_name_the_bar_and_the_step() {
    let long = errors(PLAN);
    assert!(
        long.iter()
            .any(|line| line.starts_with("pile: bar 'rod' is 100 mm long and bar 'blade' 150 mm")),
        "{long:?}"
    );
    let three = errors(&fitting().replace(r#""A 2 mm"]"#, r#""A 2 mm", "rod", "rod"]"#));
    assert!(
        three
            .iter()
            .any(|line| line.starts_with("pile: bar 'rod' is used up")),
        "{three:?}"
    );
    let own = errors(&fitting().replace(r#""rod turned","#, r#""blade","#));
    assert!(
        own.iter()
            .any(|line| line.contains("bar 'blade' is in its own first stack")),
        "{own:?}"
    );
    let bare = errors(&fitting().replace(
        r#"pieces = ["2 x (F 3 mm, A 2 mm)", "rod turned", "F 4 mm", "rod", "A 2 mm"]"#,
        r#"pieces = ["rod", "rod"]"#,
    ));
    assert!(
        bare.iter()
            .any(|line| line.contains("the stack has bars and no plain piece; lay one")),
        "{bare:?}"
    );
    let never = errors(&fitting().replace(
        "kind = \"stack\"\nid = \"pile\"",
        "kind = \"inspect\"\nid = \"pile\"",
    ));
    assert!(
        never
            .iter()
            .any(|line| line.contains("no step piles the stack of bar 'blade'")),
        "{never:?}"
    );
    let soon = fitting();
    let (head, tail) = soon.split_once("[[step]]\nkind = \"weld\"").unwrap();
    let early = errors(&format!("{head}{tail}"));
    assert!(!early.is_empty());
}
