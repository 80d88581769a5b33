use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::{Draft, Heard, Wanted, file_name};
use crate::planner::draft::{Drafted, Form, NoPlan, Progress, draft, outlook};
use crate::planner::learn::{ShopBook, learn};
use crate::ui::glyphs::Glyphs;
use crate::ui::{Effect, Key, Msg, Press, Settings};
use crate::units::Stamp;

/// A screen and its clock.
struct Desk {
    draft: Draft,
    now: u64,
}

impl Desk {
    fn new(pairs: &[(&str, &str)]) -> Self {
        let mut form = Form::default();
        for (key, text) in pairs {
            form.put(key, text).unwrap();
        }
        Self {
            draft: Draft::new(form, Settings::default()),
            now: 0,
        }
    }

    fn key(&mut self, key: Key) -> Vec<Effect> {
        self.now += 1000;
        self.draft.update(Msg::Key(Press {
            key,
            repeat: false,
            at: Stamp(0),
            mono_ms: self.now,
        }))
    }

    fn keys(&mut self, text: &str) -> Vec<Effect> {
        let each = text.chars().map(|c| match c {
            '\n' => Key::Enter,
            '<' => Key::Backspace,
            c => Key::Char(c),
        });
        each.collect::<Vec<_>>()
            .into_iter()
            .flat_map(|key| self.key(key))
            .collect()
    }

    fn screen(&self, columns: u16, rows: u16) -> String {
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        terminal.draw(|frame| self.draft.draw(frame)).unwrap();
        let cells = terminal.backend().buffer().content();
        let rows: Vec<String> = cells
            .chunks(usize::from(columns.max(1)))
            .map(|row| row.iter().map(ratatui::buffer::Cell::symbol).collect())
            .collect();
        rows.join("\n")
    }

    fn shows(&self, words: &str) -> bool {
        self.screen(80, 24).contains(words)
    }

    /// Answers a search as the shell would.
    fn answer(&mut self, effects: &[Effect]) {
        for effect in effects {
            if let Effect::Draft(Wanted::Search(number, wish)) = effect {
                let lessons = learn(&[], &ShopBook::default(), None);
                let found = draft(wish, &lessons, &|_| true).map(|offers| Drafted {
                    wish: (**wish).clone(),
                    offers: offers
                        .into_iter()
                        .map(|offer| {
                            let seen = outlook(&offer, &lessons);
                            (offer, seen)
                        })
                        .collect(),
                    candidates: 28_000_000,
                    journals: 2,
                });
                let heard = Heard::Ended(*number, Box::new(found));
                self.draft.update(Msg::Draft(heard));
            }
        }
    }
}

const RACK: (&str, &str) = ("steel", "1084=6mm x 40mm; 15N20=3mm x 40mm");

#[test]
fn a_wish_is_typed_searched_and_saved_with_the_number_pad() {
    let mut desk = Desk::new(&[RACK]);
    assert!(desk.shows("? to be written"));
    // What is missing is said, and marked.
    assert!(desk.keys("+").is_empty() && desk.shows("length: is missing"));
    desk.keys("150\n32\n");
    assert_eq!(
        (
            desk.draft.form.text("length"),
            desk.draft.form.text("width")
        ),
        ("150", "32")
    );
    let effects = desk.keys("+");
    desk.answer(&effects);
    assert!(desk.shows("PLANS of 28 million candidates"));
    assert!(desk.shows("learnt from 2 journals"));
    desk.keys("1");
    assert!(desk.shows("PLAN 1:") && desk.shows("WHY"));
    desk.keys("+");
    assert!(desk.shows("random-pattern-blade-150-mm.toml"));
    let effects = desk.keys("\n");
    let Some(Effect::Draft(Wanted::Save { name, text })) = effects.first() else {
        panic!("{effects:?}");
    };
    assert_eq!(name, "random-pattern-blade-150-mm.toml");
    assert!(crate::plan::check(text).found.is_empty());
    desk.draft.update(Msg::Draft(Heard::Saved(Err(
        "it is there already".to_owned()
    ))));
    assert!(desk.shows("it is there already"));
    desk.draft
        .update(Msg::Draft(Heard::Saved(Ok("a.toml".to_owned()))));
    assert!(desk.shows("WRITTEN"));
    assert_eq!(desk.keys("+"), [Effect::Quit]);
    assert!(desk.draft.work);
}

#[test]
fn a_search_that_was_stopped_is_not_taken_up() {
    let mut desk = Desk::new(&[RACK, ("length", "150"), ("width", "32")]);
    let effects = desk.keys("+");
    let progress = Progress {
        done: 3,
        of: 12,
        plans: 2,
    };
    desk.draft.update(Msg::Draft(Heard::Progress(1, progress)));
    assert!(desk.shows(" 25 %") && desk.shows("2 plans so far"));
    assert_eq!(desk.keys("0"), [Effect::Draft(Wanted::Stop)]);
    desk.answer(&effects);
    assert!(desk.shows("Stopped. + searches again"));
    desk.keys("+");
    let why = vec!["no plan: the press moves 43 mm".to_owned()];
    let none = Err(NoPlan::Limits(why));
    desk.draft
        .update(Msg::Draft(Heard::Ended(3, Box::new(none))));
    assert!(desk.shows("no plan: the press moves 43 mm"));
    desk.keys("+");
    assert!(desk.shows("a plan from a wish"));
}

#[test]
fn an_item_is_changed_taken_back_and_refused() {
    let mut desk = Desk::new(&[RACK, ("length", "150"), ("width", "32")]);
    // The first item is a choice.
    desk.keys("/");
    assert_eq!(desk.draft.form.text("units"), "in");
    desk.keys("*");
    assert_eq!(desk.draft.form.text("units"), "mm");
    desk.key(Key::Down);
    desk.keys("9x\n");
    assert!(desk.shows("has the unit") || desk.shows("is not a number"));
    desk.key(Key::Esc);
    assert_eq!(desk.draft.form.text("length"), "150");
    assert!(desk.keys("<").is_empty() && desk.shows("The wish is not kept"));
    assert_eq!(desk.keys("<"), [Effect::Quit]);
    assert_eq!(desk.key(Key::Interrupt).last(), Some(&Effect::Quit));
}

#[test]
fn every_screen_is_drawn_at_any_size() {
    let mut desk = Desk::new(&[RACK, ("length", "150"), ("width", "32")]);
    let sizes = [(0, 0), (1, 1), (20, 5), (40, 12), (80, 24), (200, 60)];
    let all = |desk: &Desk| sizes.iter().for_each(|(w, h)| drop(desk.screen(*w, *h)));
    all(&desk);
    let effects = desk.keys("+");
    all(&desk);
    desk.answer(&effects);
    for keys in ["", "1", "+"] {
        desk.keys(keys);
        all(&desk);
    }
    desk.draft.settings.glyphs = Glyphs::Ascii;
    assert!(desk.screen(120, 40).replace('\n', "").is_ascii());
}

#[test]
fn a_title_makes_a_file_name() {
    assert_eq!(
        file_name("Ladder-pattern blades, 2 of 4 in"),
        "ladder-pattern-blades-2-of-4-in.toml"
    );
    assert_eq!(file_name("../..//x"), "x.toml");
    assert_eq!(file_name("ü?"), "drafted.toml");
}

#[test]
fn the_list_cuts_nothing_and_says_that_more_plans_follow() {
    let mut desk = Desk::new(&[RACK, ("length", "210"), ("width", "46")]);
    let effects = desk.keys("+");
    desk.answer(&effects);
    let offers = desk.draft.found.as_ref().unwrap().offers.clone();
    assert!(offers.len() > 3);
    let all = offers.len();
    assert!(desk.shows(&format!(" of {all}   1-9 shows a plan   UP DOWN for more")));
    let flat = |desk: &Desk| {
        let screen = desk.screen(80, 24);
        let words = screen.split_whitespace().collect::<Vec<_>>();
        words.join(" ")
    };
    for (offer, seen) in &offers {
        let text = flat(&desk);
        for line in offer.summary(seen) {
            assert!(text.contains(&line), "{line}\n{}", desk.screen(80, 24));
        }
        desk.key(Key::Down);
    }
    // Where all are in sight nothing follows.
    assert!(!desk.screen(200, 60).contains("for more"));
}

#[test]
fn inches_are_named_and_steel_to_buy_is_whole() {
    let rack = "1084=1/4x1-1/2; 15N20=1/8x1-1/2";
    let mut desk = Desk::new(&[
        ("units", "in"),
        ("steel", rack),
        ("length", "5"),
        ("width", "1"),
    ]);
    assert!(desk.shows("a plan from a wish in inches. In brackets: taken if you write nothing"));
    let effects = desk.keys("+");
    desk.answer(&effects);
    desk.keys("1");
    let (offer, _) = desk.draft.found.as_ref().unwrap().offers[0].clone();
    let mut seen = String::new();
    for _ in 0..20 {
        seen.push_str(&desk.screen(80, 24));
        desk.key(Key::Down);
    }
    let seen: Vec<&str> = seen.split_whitespace().collect();
    let seen = seen.join(" ");
    for cut in &offer.cuts {
        let words = cut.words(crate::units::Units::Inch);
        assert!(seen.contains(words.trim()), "{words}");
    }
}
