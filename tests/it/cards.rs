//! The card: what it asks, of whom, and what it takes for an answer.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout
)]

use anvilside::journal::{Event, Resolution};
use anvilside::plan::{Answer, Caution};
use anvilside::session::{ItemState, Session};
use anvilside::ui::{Key, Mode, Msg};
use anvilside::units::Seconds;

use crate::common::{Desk, plan_text, wanted_number};

/// Works on to the first step of this kind, and stands before its card.
fn at_step(mut desk: Desk, kind: &str) -> Desk {
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    while desk.model.session.current().unwrap().kind().word() != kind {
        desk.finish_step();
    }
    desk
}

/// Answers until the card asks this item.
fn until(desk: &mut Desk, id: &str) -> Caution {
    for _ in 0..60 {
        let card = desk.model.session.card();
        let item = &card.items[card.current().unwrap()];
        if item.caution.id.0 == id {
            desk.wait(Seconds(3.0));
            return item.caution.clone();
        }
        match &item.caution.answer {
            Answer::Choice(_) if !item.is_joint() => desk.keys("1"),
            Answer::Number { .. } => {
                desk.wait(Seconds(3.0));
                let number = wanted_number(&desk.model.session, &item.caution);
                desk.keys(&format!("{number}\n"));
            }
            _ => desk.keys("+"),
        }
    }
    panic!("{id} is not asked: {:?}", desk.model.session.card());
}

fn answered(desk: &Desk, id: &str) -> Option<String> {
    let items = desk.model.session.card().items;
    let item = items.into_iter().find(|item| item.caution.id.0 == id)?;
    match item.state {
        ItemState::Answered(value) => Some(value),
        _ => None,
    }
}

fn asks(desk: &Desk, id: &str) -> bool {
    let items = desk.model.session.card().items;
    items.iter().any(|item| item.caution.id.0 == id)
}

fn in_shop(name: &str, line: &str) -> String {
    let text = plan_text(name);
    assert!(text.contains("[shop]\n"));
    text.replacen("[shop]\n", &format!("[shop]\n{line}\n"), 1)
}

#[test]
fn an_answer_is_typed_and_kept_in_the_units_of_the_plan() {
    let mut desk = at_step(Desk::sample("ladder-hunter"), "grind");
    until(&mut desk, "wheel.how");
    desk.keys("2");
    until(&mut desk, "wheel.rest");
    assert!(
        desk.shows("gap at the rest (in)"),
        "{}",
        desk.screen(80, 24)
    );
    // 29 CFR 1910.215(a)(4): a rest stands within 1/8 in.
    desk.keys("1/4\n");
    assert!(desk.shows("STOP 1/4 in"), "{}", desk.screen(80, 24));
    assert_eq!(answered(&desk, "wheel.rest"), None);
    desk.keys("3 m\n");
    assert_eq!(answered(&desk, "wheel.rest").unwrap(), "3 mm");

    let mut desk = at_step(Desk::sample("ladder-hunter"), "harden");
    until(&mut desk, "harden.flash");
    // 350 F is a bare number of an inch plan; read as C it would pass for 662 F.
    desk.keys("350\n");
    assert_eq!(answered(&desk, "harden.flash").unwrap(), "350 F");
    desk.keys("50C\n");
    assert_eq!(answered(&desk, "harden.oil").unwrap(), "50 C");
    let folded = Session::fold(desk.journal).unwrap();
    assert_eq!(folded.step, desk.model.session.step);
}

#[test]
fn an_answer_of_an_older_journal_is_read() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "harden");
    until(&mut desk, "harden.flash");
    let step = desk.model.session.current().unwrap().id.clone();
    let seq = desk.journal.last().unwrap().seq + 1;
    let how = Resolution::Answered("120 C".to_owned());
    let item = anvilside::plan::CautionId("harden.flash".to_owned());
    let event = Event::Caution { step, item, how };
    let entry = anvilside::journal::Entry {
        seq,
        at: desk.now,
        event,
    };
    desk.journal.push(entry.clone());
    desk.send(Msg::Appended(vec![entry]));
    until(&mut desk, "harden.oil");
    desk.keys("95\n");
    assert!(
        desk.shows("STOP 95 C against 120 C"),
        "{}",
        desk.screen(80, 24)
    );
}

/// 28 C (50 F) below the flash point: fire-service guidance that follows NFPA 86, from memory.
#[test]
fn oil_near_its_flash_point_is_refused_whichever_is_typed_first() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "harden");
    until(&mut desk, "harden.flash");
    desk.keys("140\n");
    for (typed, taken) in [("115", false), ("113", false), ("112", true)] {
        desk.wait(Seconds(3.0));
        desk.keys(&format!("{typed}\n"));
        assert_eq!(answered(&desk, "harden.oil").is_some(), taken, "{typed}");
    }
    desk.key(Key::Backspace);
    desk.key(Key::Backspace);
    until(&mut desk, "harden.flash");
    desk.key(Key::Down);
    desk.wait(Seconds(3.0));
    desk.keys("112\n");
    assert!(answered(&desk, "harden.oil").is_some());
    desk.wait(Seconds(3.0));
    desk.keys("130\n");
    assert_eq!(answered(&desk, "harden.flash"), None);
    desk.wait(Seconds(3.0));
    desk.keys("140\n");
    assert!(answered(&desk, "harden.flash").is_some());
}

#[test]
fn each_quench_has_its_own_card() {
    let oil = at_step(Desk::sample("kitchen-pair"), "harden");
    assert!(asks(&oil, "harden.oil") && !asks(&oil, "water.steam"));
    for quench in ["water", "brine"] {
        let text = in_shop("kitchen-pair", &format!("quench = \"{quench}\""));
        let desk = at_step(Desk::on(&text), "harden");
        assert!(asks(&desk, "water.steam") && asks(&desk, "water.heat"));
        assert_eq!(asks(&desk, "brine.mix"), quench == "brine");
        let card = desk.model.session.card();
        let oily = |id: &str| id.starts_with("harden.") && id != "harden.clay";
        let left: Vec<_> = card
            .items
            .iter()
            .filter(|item| oily(&item.caution.id.0) && item.caution.killer)
            .map(|item| &item.caution.id.0)
            .collect();
        assert!(left.is_empty(), "{quench}: {left:?}");
    }
}

#[test]
fn each_fire_has_its_own_items_and_gas_is_asked_of_gas_only() {
    for (fuel, own, air) in [
        ("gas", "gas.relight", true),
        ("coal", "coal.blast", true),
        ("charcoal", "charcoal.sparks", true),
        ("induction", "induction.water", false),
        ("electric", "electric.door", false),
    ] {
        let text = in_shop("three-layer", &format!("fuel = \"{fuel}\""));
        let mut desk = at_step(Desk::on(&text), "weld");
        assert!(asks(&desk, own), "{fuel}");
        assert_eq!(asks(&desk, "fire.air"), air, "{fuel}");
        for id in ["gas.cylinder", "gas.leak", "gas.light", "gas.relight"] {
            assert_eq!(asks(&desk, id), fuel == "gas", "{fuel}: {id}");
        }
        desk.finish_step();
        desk.finish_step();
        while desk.model.session.current().unwrap().kind().word() != "end-day" {
            desk.finish_step();
        }
        assert_eq!(asks(&desk, "end.gas"), fuel == "gas", "{fuel}");
    }
}

#[test]
fn air_is_near_zero_before_lighting_and_the_working_limit_is_another_item() {
    let mut desk = at_step(Desk::sample("three-layer"), "weld");
    until(&mut desk, "fire.air");
    desk.keys("30\n");
    assert!(desk.shows("Do not light"), "{}", desk.screen(80, 24));
    desk.keys("2\n");
    assert_eq!(answered(&desk, "fire.air").unwrap(), "2 ppm");
    let card = desk.model.session.card();
    let at_work = card.items.iter().find(|i| i.caution.id.0 == "fire.co-work");
    assert!(at_work.unwrap().caution.text.contains("35 ppm"));
}

#[test]
fn a_number_that_the_card_refuses_stays_on_record() {
    let mut desk = at_step(Desk::sample("three-layer"), "weld");
    until(&mut desk, "fire.air");
    desk.keys("420\n");
    let noted = desk.journal.iter().any(|entry| match &entry.event {
        Event::Note { text, .. } => text.starts_with("refused by the card: 420"),
        _ => false,
    });
    assert!(noted, "{}", desk.screen(80, 24));
    let card = desk.model.session.card();
    let asked = &card.items[card.current().unwrap()];
    assert_eq!(asked.caution.id.0, "fire.air", "it is still asked");
}

#[test]
fn tacking_by_arc_asks_fire_clear_first_and_no_arc_asks_no_shade() {
    let mut desk = at_step(Desk::sample("three-layer"), "stack");
    until(&mut desk, "arc.how");
    assert!(!asks(&desk, "fire.clear") && !asks(&desk, "arc.stick"));
    desk.keys("4");
    assert!(!asks(&desk, "fire.clear") && !asks(&desk, "arc.stick"));
    assert!(!desk.model.session.lit);
    desk.key(Key::Backspace);
    desk.keys("3");
    let card = desk.model.session.card();
    assert_eq!(
        card.items[card.current().unwrap()].caution.id.0,
        "fire.clear"
    );
    assert!(asks(&desk, "arc.tig") && asks(&desk, "fire.extinguisher"));
    assert!(desk.model.session.lit, "an arc wants a fire watch");
    desk.finish_step();
    // What was settled for the arc holds for the fire of that day.
    let clear = answered(&desk, "fire.clear").unwrap();
    assert!(clear.contains("earlier today"), "{clear}");
}

#[test]
fn a_hot_cut_is_not_clamped_and_cold() {
    let mut desk = at_step(Desk::sample("three-layer"), "cut");
    until(&mut desk, "saw.clamp");
    desk.keys("3");
    assert_eq!(answered(&desk, "saw.clamp").unwrap(), "hot cut");
    assert!(asks(&desk, "saw.hot") && !asks(&desk, "wheel.ring"));
}

#[test]
fn a_machine_is_asked_about_when_it_starts_and_a_step_cannot_end_without() {
    // Weld, draw and forge strike; hardening does not.
    let mut desk = at_step(Desk::sample("kitchen-pair"), "weld");
    assert!(asks(&desk, "machine.pedal") && asks(&desk, "hot.hands"));
    until(&mut desk, "machine.pedal");
    desk.keys("++");
    desk.key(Key::Enter);
    desk.key(Key::Enter);
    assert!(matches!(desk.model.mode, Mode::Step));
    assert_eq!(desk.model.session.current().unwrap().kind().word(), "weld");
    let desk = at_step(Desk::sample("kitchen-pair"), "harden");
    assert!(asks(&desk, "gas.leak") && !asks(&desk, "machine.pedal"));
}

#[test]
fn a_weld_repeated_the_same_day_asks_only_what_can_have_changed() {
    let text = plan_text("kitchen-pair");
    let day = "[[step]]\nkind = \"end-day\"\nnotes = [\"Measure cold, weigh, and write the length on the bar.\"]\n";
    assert!(text.contains(day));
    let mut desk = at_step(Desk::on(&text.replacen(day, "", 1)), "weld");
    desk.finish_step();
    while desk.model.session.current().unwrap().kind().word() != "weld" {
        desk.finish_step();
    }
    let card = desk.model.session.card();
    let open: Vec<&str> = card
        .items
        .iter()
        .filter(|item| item.is_open())
        .map(|item| item.caution.id.0.as_str())
        .collect();
    assert_eq!(open, ["weld.how", "hot.tongs"]);
    let screen = desk.screen(120, 40);
    let flat = screen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("as First weld"), "{screen}");
    assert!(screen.contains("changed since"), "{screen}");
    assert!(screen.contains("last time"), "{screen}");
}

#[test]
fn what_is_worn_is_what_was_answered() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    assert!(
        desk.shows("not answered: eyes, ears"),
        "{}",
        desk.screen(80, 24)
    );
    desk.keys("1");
    assert!(
        desk.shows("WEAR: eyes; not answered: ears"),
        "{}",
        desk.screen(80, 24)
    );
    until(&mut desk, "day.ears");
    desk.keys("*6");
    desk.keys("5");
    let screen = desk.screen(80, 24);
    assert!(screen.contains("WEAR: eyes; PASSED OVER: ears"), "{screen}");
    assert!(!screen.contains("EARS on"), "{screen}");
}

#[test]
fn a_day_with_fire_ends_only_with_its_watch() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "end-day");
    desk.answer_card();
    let at = desk.model.session.at;
    assert!(
        desk.model.session.watch.is_some(),
        "the gas is shut: the watch begins"
    );
    // A press before its end ends nothing.
    desk.key(Key::Enter);
    assert!(matches!(desk.model.mode, Mode::Reason { .. }));
    desk.keys("1\n");
    assert!(
        matches!(desk.model.mode, Mode::Reason { .. }),
        "a number is no reason"
    );
    desk.key(Key::Backspace);
    desk.key(Key::Backspace);
    assert!(desk.shows("WATCH"), "{}", desk.screen(80, 24));
    desk.wait(Seconds(59.0 * 60.0));
    desk.keys("+");
    assert_eq!(desk.model.session.at, at);
    assert!(answered(&desk, "end.watch").is_none());
    desk.wait(Seconds(60.0));
    desk.keys("+");
    let done = desk.model.session.done.last().unwrap();
    let how = &done.answers[&anvilside::plan::CautionId("end.watch".to_owned())];
    assert_eq!(how.words(), "kept 60 min by the clock");
    let record = desk.model.session.record();
    assert!(
        record.contains(": answered: kept 60 min by the clock"),
        "{record}"
    );
}

#[test]
fn a_watch_is_passed_over_with_words_and_stays_owed() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "end-day");
    desk.answer_card();
    desk.wait(Seconds(600.0));
    desk.key(Key::Enter);
    desk.keys("brother stays\n");
    let owed = desk.model.session.owed.last().unwrap();
    assert_eq!(owed.reason, "brother stays");
    assert!(owed.overridden);
    desk.wait(Seconds(3.0));
    desk.keys("+");
    assert_eq!(desk.model.session.day(), 2);
    assert!(desk.model.session.watch.is_none());
}

#[test]
fn a_heat_makes_a_watch_due_and_a_day_without_fire_asks_for_none() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "weld");
    desk.answer_card();
    desk.keys("+");
    assert!(desk.model.session.lit);
    let mut desk = at_step(Desk::sample("kitchen-pair"), "etch");
    desk.finish_step();
    assert_eq!(
        desk.model.session.current().unwrap().kind().word(),
        "end-day"
    );
    assert!(!asks(&desk, "end.watch") && !asks(&desk, "end.gas"));
    desk.answer_card();
    desk.keys("+");
    assert!(desk.model.session.is_finished(), "{}", desk.screen(80, 24));
}

#[test]
fn the_next_day_does_not_begin_before_the_watch_is_answered_for() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "draw");
    desk.answer_card();
    desk.keys("+");
    desk.wait(Seconds(300.0));
    desk.keys("+");
    let mut desk = desk.killed_and_reopened(Seconds(14.0 * 3600.0));
    desk.keys("+");
    assert!(asks(&desk, "end.watch"));
    desk.answer_card();
    desk.keys("+");
    assert!(
        matches!(desk.model.mode, Mode::Reason { .. }),
        "{}",
        desk.screen(80, 24)
    );
    desk.keys("walked round at six\n");
    desk.wait(Seconds(3.0));
    desk.keys("+");
    assert_eq!(desk.model.session.fire.0, anvilside::journal::Fire::In);
}

#[test]
fn a_rhythm_of_one_key_does_not_run_from_an_answer_into_a_value() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "stack");
    let first = desk.model.session.card().items[0].caution.id.0.clone();
    assert_eq!(first, "stack.count");
    desk.keys("9\n");
    for _ in 0..40 {
        desk.keys("1");
    }
    // Forty presses of 1, a second apart, answer what asks for a choice and type nothing.
    assert!(desk.model.entry.is_empty());
    // Before the fire two choices stand ahead of a number.
    let mut desk = at_step(Desk::sample("kitchen-pair"), "harden");
    for _ in 0..60 {
        desk.keys("1");
    }
    assert!(answered(&desk, "fire.extinguisher").is_some());
    assert!(desk.model.entry.is_empty(), "{}", desk.model.entry);
    assert_eq!(answered(&desk, "fire.air"), None);
    desk.wait(Seconds(3.0));
    desk.keys("1\n");
    assert_eq!(answered(&desk, "fire.air").unwrap(), "1 ppm");
}

#[test]
fn a_number_whose_first_digit_came_too_soon_is_not_taken_without_it() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "trim");
    while desk.model.card_asks() {
        desk.keys("1");
    }
    // 14, a second after the answer 1: the 1 is not taken, and 4 alone would be another size.
    desk.keys("14");
    assert!(desk.model.entry.is_empty(), "{}", desk.model.entry);
    assert!(desk.screen(80, 24).contains("type the whole number"));
    desk.wait(Seconds(3.0));
    desk.keys("14");
    assert_eq!(desk.model.entry, "14");
}

#[test]
fn a_rhythm_of_plus_does_not_run_from_the_card_into_the_work() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    for _ in 0..40 {
        let card = desk.model.session.card();
        let Some(at) = card.current() else { break };
        if card.items[at].is_joint() {
            break;
        }
        desk.keys("1");
    }
    desk.keys("++++++++");
    assert_eq!(desk.model.session.at, 0, "the step is not done by rhythm");
    desk.wait(Seconds(3.0));
    desk.keys("+");
    assert_eq!(desk.model.session.at, 1);
}

#[test]
fn every_size_is_reached_with_the_point_of_the_number_pad() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "draw");
    desk.answer_card();
    let mut seen = Vec::new();
    for _ in 0..5 {
        let line = desk
            .lines(80, 24)
            .into_iter()
            .find(|l| l.starts_with("▶ "))
            .unwrap();
        let asked = line.trim_start_matches("▶ ").trim_start_matches("type ");
        seen.push(asked.split(' ').next().unwrap().to_owned());
        desk.keys(".");
    }
    // Before the first heat there is nothing to read yet: the fire comes first.
    assert_eq!(seen, ["+:", "width", "length", "mass", "thickness"]);
}

/// Every word of a text stands on the screen, in order.
fn holds(screen: &str, text: &str) -> bool {
    let flat = |text: &str| -> String {
        let keep = |c: &char| !c.is_whitespace() && !"│┌┐└┘─▶".contains(*c);
        text.chars().filter(keep).collect()
    };
    flat(screen).contains(&flat(text))
}

const SMALL: [(u16, u16); 2] = [(40, 12), (50, 14)];

#[test]
fn the_notice_counts_as_read_only_when_its_end_was_shown() {
    for (columns, rows) in SMALL {
        let mut desk = Desk::sample("kitchen-pair");
        desk.send(Msg::Resize(columns, rows));
        let mut shown = String::new();
        let mut pages = 0;
        while !desk.model.session.legal_read {
            let screen = desk.lines(columns, rows);
            shown.push_str(&screen[1..usize::from(rows) - 3].join("\n"));
            desk.keys("+");
            pages += 1;
            assert!(pages < 20);
        }
        assert!(pages > 1, "{columns}x{rows}");
        assert!(holds(&shown, anvilside::plan::legal()), "{shown}");
    }
}

#[test]
fn every_item_of_every_card_is_whole_with_its_answers_in_a_small_window() {
    for name in ["kitchen-pair", "twist-boot"] {
        for (columns, rows) in SMALL {
            let mut desk = Desk::sample(name);
            desk.foresees = false;
            desk.reckons = false;
            desk.send(Msg::Resize(columns, rows));
            while matches!(desk.model.mode, Mode::Legal) {
                desk.keys("+");
            }
            let mut seen = 0;
            while desk.model.session.current().is_some() {
                let card = desk.model.session.card();
                let Some(item) = card.current().map(|at| &card.items[at]) else {
                    desk.finish_step();
                    continue;
                };
                let screen = desk.screen(columns, rows);
                assert!(
                    holds(&screen, &item.caution.text),
                    "{}\n{screen}",
                    item.caution.id.0
                );
                seen += 1;
                if item.is_joint() {
                    desk.keys("+");
                    continue;
                }
                match &item.caution.answer {
                    Answer::Choice(words) => {
                        for (n, word) in words.iter().enumerate() {
                            let line = format!("{}: {word}", n + 1);
                            assert!(holds(&screen, &line), "{line}\n{screen}");
                        }
                        // What is said of a wrong key leaves the item whole.
                        desk.keys("+");
                        let screen = desk.screen(columns, rows);
                        assert!(holds(&screen, &item.caution.text), "{screen}");
                        assert!(holds(&screen, "does not settle this one"), "{screen}");
                        let last = format!("{}: {}", words.len(), words[words.len() - 1]);
                        assert!(holds(&screen, &last), "{last}\n{screen}");
                        desk.keys("1");
                    }
                    Answer::Number { ask, .. } => {
                        assert!(holds(&screen, ask), "{screen}");
                        desk.wait(Seconds(3.0));
                        let number = wanted_number(&desk.model.session, &item.caution);
                        desk.keys(&format!("{number}\n"));
                    }
                    _ => unreachable!("{:?}", item.caution),
                }
            }
            assert!(seen > 60, "{seen}");
        }
    }
}

#[test]
fn the_page_of_a_resumed_job_and_the_warning_on_leaving_hot_are_whole_in_a_small_window() {
    for (columns, rows) in SMALL {
        let mut desk = at_step(Desk::sample("kitchen-pair"), "draw");
        desk.answer_card();
        desk.keys("+");
        desk.send(Msg::Resize(columns, rows));
        desk.keys("q");
        let screen = desk.screen(columns, rows);
        for words in [
            "The piece is logged in or at the fire.",
            "the fire watch is still due",
            "ENTER leaves, - stays",
        ] {
            assert!(holds(&screen, words), "{words}\n{screen}");
        }
        let mut desk = desk.killed_and_reopened(Seconds(14.0 * 3600.0));
        desk.send(Msg::Resize(columns, rows));
        let mut shown = String::new();
        for _ in 0..20 {
            if !matches!(desk.model.mode, Mode::Resume) {
                break;
            }
            let screen = desk.lines(columns, rows);
            shown.push_str(&screen[1..usize::from(rows) - 3].join("\n"));
            desk.keys("+");
        }
        assert!(matches!(desk.model.mode, Mode::Step));
        for words in [
            "14 h ago",
            "IN THE FIRE",
            "Before this step",
            "Look again",
            "more on the card",
        ] {
            assert!(holds(&shown, words), "{words}\n{shown}");
        }
    }
}

#[test]
fn a_page_pages_by_a_key_of_the_number_pad_that_it_names() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "weld");
    desk.keys("*4");
    let first = desk.screen(80, 24);
    assert!(first.contains("/ for more"), "{first}");
    desk.keys("/");
    let second = desk.screen(80, 24);
    assert!(second.contains("* back") && second != first, "{second}");
    for _ in 0..40 {
        desk.keys("/");
    }
    assert!(!desk.shows("/ on") && desk.shows("* back"));
    desk.keys("*");
    let back = desk.screen(80, 24);
    assert!(
        back.contains("/ on"),
        "one press goes back a screen: {back}"
    );
}

#[test]
fn hints_name_keys_of_the_number_pad_first() {
    use anvilside::ui::{ModeKind, hints};
    let pad = ["+", "-", "*", "/", ".", "ENTER", "0-9", "1-9", "0-9 . / -"];
    for mode in [
        ModeKind::Card,
        ModeKind::Work,
        ModeKind::Review,
        ModeKind::Menu,
        ModeKind::Page,
        ModeKind::Legal,
        ModeKind::Resume,
        ModeKind::Leave,
        ModeKind::AskPlan,
        ModeKind::Finished,
    ] {
        let first = hints(mode)[0].0;
        assert!(pad.contains(&first), "{mode:?}: {first}");
        for word in ["SPACE", "BACKSPACE"] {
            assert!(
                hints(mode).iter().all(|(cap, _)| *cap != word),
                "{mode:?}: {word}"
            );
        }
    }
}

#[test]
fn a_day_that_ended_in_an_older_journal_stays_ended_and_an_open_one_wants_its_watch() {
    let mut desk = at_step(Desk::sample("kitchen-pair"), "end-day");
    desk.answer_card();
    let step = desk.model.session.current().unwrap().id.clone();
    // As older versions wrote it: the word alone settled the watch.
    let item = anvilside::plan::CautionId("end.watch".to_owned());
    let how = Resolution::Answered("staying".to_owned());
    let add = |journal: &mut Vec<anvilside::journal::Entry>, event| {
        let (seq, at) = journal
            .last()
            .map(|entry| (entry.seq + 1, entry.at))
            .unwrap();
        journal.push(anvilside::journal::Entry { seq, at, event });
    };
    let mut journal = desk.journal.clone();
    let event = Event::Caution {
        step: step.clone(),
        item,
        how,
    };
    add(&mut journal, event);
    let open = Session::fold(journal.clone()).unwrap();
    assert!(open.card().watch().unwrap().blocks());
    add(&mut journal, Event::Done { step });
    let ended = Session::fold(journal).unwrap();
    assert_eq!(ended.day(), 2);
    assert!(ended.watch.is_none() && !ended.lit);
}
