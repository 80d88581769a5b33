//! Keys typed, screen and journal looked at.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

use crate::common::Desk;
use anvilside::journal::{Event, Fire, Resolution};
use anvilside::session::Session;
use anvilside::ui::{Key, Mode};
use anvilside::units::Seconds;

/// A desk whose legal words are read and whose steps up to the first hot one are done.
fn at_first_weld() -> Desk {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    desk.finish_step();
    desk.finish_step();
    assert_eq!(desk.model.session.current().unwrap().kind().word(), "weld");
    desk
}

#[test]
fn the_words_on_local_rules_come_first_and_only_once() {
    let mut desk = Desk::sample("kitchen-pair");
    assert!(desk.shows("local codes"));
    desk.key(Key::Backspace);
    assert!(matches!(desk.model.mode, Mode::Legal));
    desk.keys("+");
    assert!(matches!(desk.model.mode, Mode::Step));
    let desk = desk.killed_and_reopened(Seconds(60.0));
    assert!(!matches!(desk.model.mode, Mode::Legal));
}

#[test]
fn a_killer_item_blocks_until_answered() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    let card = desk.model.session.card();
    assert!(card.items[0].blocks());
    desk.keys("++++");
    assert_eq!(desk.model.session.at, 0);
    assert!(desk.model.session.card().blocker().is_some());
    desk.answer_card();
    assert!(desk.model.session.card().blocker().is_none());
}

#[test]
fn a_killer_item_is_passed_over_only_with_a_reason_and_stays_in_view() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    desk.keys("*6");
    assert!(
        matches!(desk.model.mode, Mode::Reason { .. }),
        "{:?}",
        desk.model.mode
    );
    desk.key(Key::Enter);
    assert!(
        matches!(desk.model.mode, Mode::Reason { .. }),
        "an empty reason is not taken"
    );
    desk.keys("old stock, mark read last week\n");
    let owed = &desk.model.session.owed;
    assert_eq!(owed.len(), 1);
    assert!(owed[0].overridden);
    assert_eq!(owed[0].reason, "old stock, mark read last week");
    assert!(matches!(
        desk.journal.last().unwrap().event,
        Event::Caution {
            how: Resolution::Overridden(_),
            ..
        }
    ));
    desk.answer_card();
    assert!(desk.shows("OWED 1"), "{}", desk.screen(80, 24));
}

#[test]
fn a_killer_item_cannot_be_put_off() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+*5");
    assert!(matches!(desk.model.mode, Mode::Step));
    assert!(desk.shows("cannot be put off"), "{}", desk.screen(80, 24));
}

#[test]
fn space_takes_the_piece_into_the_fire_and_out_and_counts_the_heat() {
    let mut desk = at_first_weld();
    desk.answer_card();
    desk.keys("+");
    assert_eq!(desk.model.session.fire.0, Fire::In);
    assert!(desk.shows("FIRE in"));
    desk.wait(Seconds(60.0));
    assert!(desk.shows("SOAK LEFT (est.)"), "{}", desk.screen(80, 24));
    desk.keys("+");
    assert_eq!(desk.model.session.fire.0, Fire::Out);
    assert_eq!(desk.model.session.step.heats, 1);
    desk.wait(Seconds(42.0));
    assert!(desk.shows("to 1150 C"), "{}", desk.screen(80, 24));
}

#[test]
fn soak_over_rings_once_and_says_so() {
    let mut desk = at_first_weld();
    desk.answer_card();
    desk.keys("+");
    let need = desk.model.soak().unwrap().best;
    let soak = desk.model.session.current().unwrap().soak.unwrap();
    assert!(need > soak.0, "the section takes time to be hot through");
    desk.wait(Seconds(need - 2.0));
    assert_eq!(desk.bells, 0);
    desk.wait(Seconds(3.0));
    desk.wait(Seconds(30.0));
    assert_eq!(desk.bells, 1);
    assert!(desk.shows("SOAK DONE"), "{}", desk.screen(80, 24));
}

#[test]
fn everything_can_be_taken_back_to_the_beginning_and_brought_again() {
    let mut desk = at_first_weld();
    desk.answer_card();
    desk.keys("++");
    let there = desk.model.session.clone();
    let mut undone = 0;
    while desk.model.session.undo_target().is_some() {
        desk.key(Key::Backspace);
        undone += 1;
        assert!(undone < 500);
    }
    assert!(undone > 15);
    assert_eq!(desk.model.session.at, 0);
    assert!(desk.model.session.card().settled() == 0);
    for _ in 0..undone {
        desk.keys("r");
    }
    assert_eq!(desk.model.session.at, there.at);
    assert_eq!(desk.model.session.step, there.step);
    assert_eq!(desk.model.session.billet, there.billet);
    assert!(desk.model.session.redo_target().is_none());
}

#[test]
fn a_new_entry_after_undo_ends_redo() {
    let mut desk = at_first_weld();
    desk.answer_card();
    desk.keys("+");
    desk.key(Key::Backspace);
    assert!(desk.model.session.redo_target().is_some());
    desk.keys("w");
    assert!(desk.model.session.redo_target().is_none());
}

#[test]
fn a_full_disk_moves_nothing_and_the_next_press_goes_through() {
    let mut desk = at_first_weld();
    let at = desk.model.session.card().current();
    desk.disk_full = Some("no space left on the disk".to_owned());
    desk.keys("1");
    desk.key(Key::Enter);
    assert_eq!(desk.model.session.card().current(), at);
    assert!(desk.shows("NOT SAVED"), "{}", desk.screen(80, 24));
    desk.disk_full = None;
    desk.model.entry.clear();
    desk.answer_card();
    assert!(!desk.shows("NOT SAVED"));
    assert!(desk.model.session.card().current().is_none());
}

#[test]
fn a_screen_that_follows_shows_but_writes_nothing() {
    let mut desk = at_first_weld();
    desk.model.follow(true, false);
    assert!(desk.shows("FOLLOWING"), "{}", desk.screen(80, 24));
    desk.keys("+");
    let entries = desk.journal.len();
    desk.keys("1\nnwr?+*");
    assert_eq!(desk.journal.len(), entries);
    assert!(desk.shows("only shows"), "{}", desk.screen(80, 24));
}

#[test]
fn a_long_message_is_not_cut() {
    let mut desk = at_first_weld();
    let why = "the folder may not be written; copy the plan and its journal to a folder of your own, \
               then open the copy and go on from the same step";
    desk.disk_full = Some(why.to_owned());
    desk.keys("1\n");
    let screen = desk.screen(80, 24);
    let said: String = screen.split_whitespace().collect();
    let wanted: String = why.split_whitespace().collect();
    assert!(said.contains(&wanted), "{screen}");
}

#[test]
fn a_number_pad_without_its_lock_is_told() {
    let mut desk = at_first_weld();
    let entries = desk.journal.len();
    desk.key(Key::PadUnlocked);
    assert!(desk.shows("NUM LOCK"), "{}", desk.screen(80, 24));
    assert_eq!(desk.journal.len(), entries);
}

#[test]
fn the_job_resumes_on_the_same_item_with_the_same_values() {
    let mut desk = at_first_weld();
    desk.keys("5\n");
    let before = desk.model.session.clone();
    let mut desk = desk.killed_and_reopened(Seconds(120.0));
    assert!(matches!(desk.model.mode, Mode::Resume));
    assert!(desk.shows("YOU STOPPED HERE"));
    desk.keys("+");
    assert_eq!(desk.model.session.card(), before.card());
    assert_eq!(desk.model.session.step.answers, before.step.answers);
}

#[test]
fn after_a_night_killer_items_are_asked_again_and_daily_ones_are_due() {
    let mut desk = at_first_weld();
    desk.answer_card();
    desk.keys("+");
    let mut desk = desk.killed_and_reopened(Seconds(14.0 * 3600.0));
    assert!(desk.shows("14 h ago"), "{}", desk.screen(80, 24));
    desk.keys("+");
    assert!(desk.model.session.card().blocker().is_some());
    assert_eq!(
        desk.model.session.fire.0,
        Fire::Cold,
        "a piece does not stay hot over night"
    );
}

#[test]
fn timers_go_on_over_a_restart_by_the_wall_clock() {
    let mut desk = at_first_weld();
    desk.answer_card();
    desk.keys("+");
    desk.wait(Seconds(60.0));
    let mut desk = desk.killed_and_reopened(Seconds(90.0));
    desk.keys("+");
    let in_fire = desk.model.session.fire_for(desk.now);
    assert!((in_fire.0 - 151.0).abs() < 3.0, "{in_fire:?}");
}

#[test]
fn a_clock_that_jumped_is_said() {
    let mut desk = at_first_weld();
    desk.key(Key::Up);
    let mono_ms = u64::try_from(desk.now.0).unwrap() + 1000;
    let at = desk.now.plus(Seconds(2401.0));
    desk.send(anvilside::ui::Msg::Tick { at, mono_ms });
    assert!(desk.shows("clock went forward"), "{}", desk.screen(80, 24));
}

#[test]
fn pasted_text_confirms_nothing() {
    let mut desk = at_first_weld();
    let entries = desk.journal.len();
    desk.send(anvilside::ui::Msg::Paste("qqqq\n+++ 1\n".to_owned()));
    assert_eq!(desk.journal.len(), entries);
    assert!(matches!(desk.model.mode, Mode::Step));
}

#[test]
fn a_held_key_acts_once() {
    let mut desk = at_first_weld();
    desk.answer_card();
    let entries = desk.journal.len();
    desk.key(Key::Char('+'));
    for _ in 0..300 {
        desk.now = desk.now.plus(Seconds(0.033));
        desk.press_now(Key::Char('+'));
    }
    assert_eq!(desk.journal.len(), entries + 1);
}

#[test]
fn ctrl_c_and_the_menu_leave_with_everything_on_disk() {
    let mut desk = at_first_weld();
    desk.keys("*97");
    assert!(matches!(desk.model.mode, Mode::Leave));
    desk.key(Key::Enter);
    assert!(desk.quit);
    assert!(matches!(desk.journal.last().unwrap().event, Event::Closed));
    let folded = Session::fold(desk.journal).unwrap();
    assert_eq!(folded.step, desk.model.session.step);
}

#[test]
fn random_keys_never_break_the_journal() {
    let keys = "0123456789+-*/.\n<rmfsbdonwq?h";
    for seed in 0..6u64 {
        let mut desk = Desk::sample("kitchen-pair");
        desk.foresees = false;
        let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        for _ in 0..1500 {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            let at = usize::try_from(state % keys.len() as u64).unwrap();
            desk.keys(&keys[at..=at]);
            if desk.quit {
                desk.quit = false;
                desk = desk.killed_and_reopened(Seconds(5.0));
            }
            if state.is_multiple_of(97) {
                desk.wait(Seconds(700.0));
            }
        }
        let folded = Session::fold(desk.journal.clone()).unwrap();
        assert_eq!(folded.at, desk.model.session.at, "seed {seed}");
        assert_eq!(folded.step, desk.model.session.step, "seed {seed}");
        assert_eq!(folded.billet, desk.model.session.billet, "seed {seed}");
        assert_eq!(folded.owed, desk.model.session.owed, "seed {seed}");
    }
}

#[test]
fn a_miscount_of_pieces_is_not_taken() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    desk.finish_step();
    assert_eq!(desk.model.session.current().unwrap().kind().word(), "stack");
    let entries = desk.journal.len();
    desk.keys("8\n");
    assert_eq!(desk.journal.len(), entries);
    assert!(
        desk.shows("8 counted, 9 expected"),
        "{}",
        desk.screen(80, 24)
    );
    desk.keys("9\n");
    assert_eq!(desk.journal.len(), entries + 1);
}

#[test]
fn the_record_holds_readings_losses_reasons_and_the_words_on_local_rules() {
    let mut desk = at_first_weld();
    desk.finish_step();
    desk.answer_card();
    desk.keys("14.2\n40.5\n338\n");
    desk.keys("nhammer die chipped\n");
    desk.key(Key::Enter);
    // No heat was logged: asked why, once.
    desk.keys("+1");
    let record = desk.model.session.record();
    for words in [
        "local codes",
        "thickness 14.2 mm cold",
        "scale 7.2 cm3 (measured)",
        "hammer die chipped",
        "NOT FINISHED",
        "Metal in: 201.6 cm3",
        "Nothing is owed",
    ] {
        assert!(record.contains(words), "no '{words}' in:\n{record}");
    }
    assert_eq!(record, Session::fold(desk.journal).unwrap().record());
}

#[test]
fn a_part_is_asked_for_in_its_own_sizes() {
    let mut desk = Desk::sample("turned-w-petty");
    desk.foresees = false;
    desk.keys("+");
    while desk
        .model
        .session
        .current()
        .is_some_and(|step| step.id.0 != "forge-4")
    {
        desk.finish_step();
    }
    desk.answer_card();
    // The plan's bevels are 30 wide and 4 thick; the blank they come from was 32 x 18.
    let screen = desk.screen(80, 24);
    assert!(screen.contains("THICKNESS of the bevels"), "{screen}");
    assert!(screen.contains("SIZES bevels 1 of 2"), "{screen}");
    assert!(screen.contains("▶thickness 4 mm"), "{screen}");
    // What the metal makes of it: 42.0 mm of the blank's 45 mm are left, less bolster and tang.
    assert!(screen.contains("length    ~"), "{screen}");
    assert!(screen.contains("END VIEW blank 32 x 18 mm"), "{screen}");
    desk.keys("4.2");
    assert!(desk.shows("wanted 4 mm"), "{}", desk.screen(80, 24));
    assert!(!desk.shows("off, read it again"));
    desk.keys("\n");
    assert!(desk.shows("+0.2 mm"), "{}", desk.screen(80, 24));
    let parts = &desk.model.session.live.billet.blade.parts;
    let bevels = parts.last().unwrap();
    assert!((bevels.sizes.thickness.unwrap().0 - 4.2).abs() < 1e-9);
    // From here on a piece can only be weighed.
    desk.finish_step();
    while desk
        .model
        .session
        .current()
        .is_some_and(|step| step.id.0 != "rough-grind-1")
    {
        desk.finish_step();
    }
    desk.answer_card();
    assert!(desk.shows("▶mass"), "{}", desk.screen(80, 24));
    let screen = desk.screen(80, 24);
    let mut rows = screen
        .lines()
        .map(|line| line.trim_start_matches(['▶', ' ']));
    assert!(!rows.any(|row| row.starts_with("thickness")), "{screen}");
}
