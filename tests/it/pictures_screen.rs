//! Keys to pictures: the real screen, keys typed, cells read.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use std::collections::BTreeSet;

use crate::common::Desk;
use anvilside::ui::glyphs::Glyphs;
use anvilside::ui::theme::Theme;
use anvilside::ui::{Key, Mode, Seen, Settings, Shades};
use ratatui::layout::Rect;
use ratatui::style::Color;

/// At the step of that id, its card still open.
fn at_step(sample: &str, id: &str) -> Desk {
    let mut desk = Desk::sample(sample);
    desk.keys("+");
    while desk
        .model
        .session
        .current()
        .is_some_and(|step| step.id.0 != id)
    {
        desk.finish_step();
    }
    desk
}

fn seen(desk: &Desk) -> (Seen, usize) {
    match &desk.model.mode {
        Mode::Picture(viewing) => (viewing.seen, viewing.place),
        other => panic!("no picture: {other:?}"),
    }
}

/// Colours of all cells between the head and the foot.
fn colours(desk: &Desk) -> BTreeSet<String> {
    let buffer = desk.buffer(120, 40);
    (3..37)
        .flat_map(|y| (0..80).map(move |x| (x, y)))
        .flat_map(|at| [buffer[at].fg, buffer[at].bg])
        .filter(|colour| *colour != Color::Reset)
        .map(|colour| format!("{colour:?}"))
        .collect()
}

#[test]
fn p_opens_and_the_number_pad_alone_goes_everywhere_and_back() {
    let mut desk = at_step("ladder-hunter", "groove-1");
    let at = desk.model.session.at;
    let written = desk.journal.len();
    desk.keys("p");
    assert_eq!(seen(&desk).1, at);
    assert!(desk.shows("END GRAIN") && desk.shows("NOW"));
    for (key, words) in [
        ("2", "SIDE"),
        ("3", "FACE"),
        ("4", "BLADE"),
        ("5", "LAYERS"),
        ("6", "LINES"),
    ] {
        desk.keys(key);
        assert!(desk.shows(words), "{words}");
    }
    desk.keys("4+");
    assert_eq!(seen(&desk).1, at + 1);
    assert!(desk.shows("AFTER THIS STEP") && desk.shows("forecast, an estimate"));
    desk.keys("9");
    assert!(desk.shows("FINISHED"));
    desk.keys("+");
    assert_eq!(seen(&desk).1, desk.model.session.plan.steps.len());
    desk.keys("8-");
    assert_eq!(seen(&desk).1, at);
    desk.keys("-");
    assert!(desk.shows("as done"));
    desk.keys("7");
    assert_eq!(seen(&desk).1, at);
    desk.keys("1/");
    assert_eq!(seen(&desk).0.word(), "side");
    desk.keys("**");
    assert_eq!(seen(&desk).0, Seen::Lines);
    desk.keys("0");
    assert_eq!(desk.model.mode, Mode::Step);
    // The menu reaches it too, and nothing was written by looking.
    desk.keys("*98\n");
    assert_eq!(desk.model.mode, Mode::Step);
    assert_eq!(desk.journal.len(), written);
}

#[test]
fn the_menu_has_a_line_for_it() {
    let mut desk = at_step("ladder-hunter", "weld-1");
    desk.keys("*9");
    assert!(desk.shows("8  Pictures"));
    desk.keys("8");
    assert_eq!(seen(&desk).0.word(), "end grain");
}

#[test]
fn the_first_place_is_the_first_stack_and_earlier_than_that_there_is_none() {
    let mut desk = at_step("ladder-hunter", "weld-1");
    desk.keys("p");
    for _ in 0..5 {
        desk.keys("-");
    }
    assert_eq!(seen(&desk).1, 0);
    assert!(desk.shows("THE FIRST STACK"));
}

#[test]
fn the_pattern_grows_from_step_to_step() {
    let mut desk = at_step("ladder-hunter", "weld-1");
    desk.model.settings.shades = Shades::True;
    desk.keys("p");
    let first = desk.screen(120, 40);
    let before = format!("{:?}", desk.buffer(120, 40));
    desk.keys("++++++++");
    assert_ne!(before, format!("{:?}", desk.buffer(120, 40)));
    assert_ne!(first, desk.screen(120, 40));
}

#[test]
fn shades_follow_what_the_terminal_can_show() {
    let mut desk = at_step("twist-boot", "weld-1");
    desk.keys("p9");
    let mut kinds = |settings: Settings| {
        desk.model.settings = settings;
        desk.model.settings.quiet_ms = 0;
        colours(&desk)
    };
    let of = |theme, glyphs, shades| Settings {
        theme,
        glyphs,
        shades,
        ..Settings::default()
    };
    let full = kinds(of(Theme::Terminal, Glyphs::Blocks, Shades::True));
    assert!(full.len() > 20 && full.iter().all(|c| c.starts_with("Rgb")));
    let greys = kinds(of(Theme::Terminal, Glyphs::Blocks, Shades::Greys));
    assert!(greys.len() > 4 && greys.iter().all(|c| c.starts_with("Indexed(2")));
    let few = kinds(of(Theme::Terminal, Glyphs::Blocks, Shades::Sixteen));
    assert!((2..=4).contains(&few.len()), "{few:?}");
    assert!(kinds(of(Theme::Mono, Glyphs::Blocks, Shades::True)).is_empty());
    assert!(kinds(of(Theme::Terminal, Glyphs::Ascii, Shades::True)).is_empty());
}

#[test]
fn plain_pictures_are_ascii_and_tell_dark_from_bright() {
    let mut desk = at_step("turned-w-petty", "weld-1");
    desk.model.settings.glyphs = Glyphs::Ascii;
    desk.keys("p9");
    let screen = desk.screen(80, 24);
    assert!(screen.is_ascii(), "{screen}");
    let middle: String = desk.lines(80, 24)[3..16].concat();
    let kinds: BTreeSet<char> = middle.chars().filter(|c| *c != ' ').collect();
    assert!(kinds.len() >= 3, "{kinds:?}");
    assert!(screen.contains("dense to thin"));
}

#[test]
fn the_numbers_stand_beside_the_picture() {
    let mut desk = at_step("ladder-hunter", "draw-1");
    desk.keys("p3");
    for (columns, rows) in [(80, 24), (120, 40)] {
        let screen = desk.screen(columns, rows).replace('\n', " ");
        for words in ["bands per cm", "mean slope", "straighter", "next draw"] {
            assert!(screen.contains(words), "{words} at {columns}: {screen}");
        }
    }
    desk.keys("9");
    assert!(desk.shows("no draw to come"));
}

// 121 bands on 46 mm by 210 mm, 160 cells wide at most: the whole blade has several bands to a pixel.
#[test]
fn a_picture_too_fine_for_the_screen_says_so_until_it_is_close_enough() {
    let mut desk = at_step("kitchen-pair", "draw-1");
    desk.keys("p49");
    let fine = "finer than this screen";
    assert!(
        desk.screen(80, 24).contains(". shows it closer"),
        "{}",
        desk.screen(80, 24)
    );
    desk.keys("..");
    assert!(
        !desk.screen(80, 24).contains(fine),
        "{}",
        desk.screen(80, 24)
    );
    desk.keys(".");
    assert!(desk.screen(80, 24).contains(fine));
}

#[test]
fn the_cursor_walks_the_layers() {
    let mut desk = at_step("ladder-hunter", "draw-1");
    desk.keys("p5");
    assert!(
        desk.shows("band 9 of 17 from the top"),
        "{}",
        desk.screen(80, 24)
    );
    assert!(desk.shows("% as bought") && desk.shows("under the face that is up"));
    desk.key(Key::Down);
    assert!(desk.shows("band 10 of 17 from the top"));
    desk.key(Key::Up);
    desk.key(Key::Up);
    assert!(desk.shows("band 8 of 17 from the top"));
    for _ in 0..20 {
        desk.key(Key::Up);
    }
    assert!(desk.shows("band 1 of 17 from the top"));
    assert!(!desk.shows("0.0 um"));
    // Beyond the end it stays.
    desk.key(Key::Up);
    assert!(desk.shows("band 1 of 17 from the top"));
    for _ in 0..12 {
        desk.key(Key::PageDown);
    }
    assert!(desk.shows("band 17 of 17 from the top"));
}

#[test]
fn every_size_draws_and_fire_stays_in_view() {
    let mut desk = at_step("turned-w-petty", "weld-1");
    desk.answer_card();
    desk.keys("+p");
    for digit in ["1", "2", "3", "4", "5", "6"] {
        desk.keys(digit);
        for (columns, rows) in [(40, 12), (60, 15), (80, 24), (120, 40), (200, 60)] {
            let screen = desk.screen(columns, rows);
            assert!(screen.contains("FIRE in"), "{columns} x {rows}: {screen}");
        }
    }
}

#[test]
fn the_end_view_of_bent_layers_shows_steels_and_the_frame_its_letters() {
    let mut desk = at_step("turned-w-petty", "draw-3");
    let screen = desk.screen(80, 24);
    assert!(!screen.contains("~~~"), "{screen}");
    assert!(screen.contains("END VIEW"));
    desk.model.settings.shades = Shades::True;
    let screen = desk.screen(80, 24);
    assert!(screen.contains("bright to dark"), "{screen}");
    assert!(screen.contains('^'));
}

#[test]
fn a_sharp_picture_lies_on_blank_cells() {
    let mut desk = at_step("ladder-hunter", "draw-1");
    desk.keys("p");
    let screen = Rect::new(0, 0, 80, 24);
    assert_eq!(desk.model.plate(screen), None, "not asked for");
    let blocks = desk.lines(80, 24);
    desk.model.settings.sharp = Some([8, 16]);
    let plate = desk.model.plate(screen).unwrap();
    let area = plate.area;
    assert_eq!(plate.size, [8 * 80, 16 * u32::from(area.height)]);
    let mut covered = 0;
    for (y, (now, before)) in (0..).zip(desk.lines(80, 24).iter().zip(&blocks)) {
        if area.rows().any(|row| row.y == y) {
            assert_eq!(now.trim(), "", "row {y}");
            covered += before.trim().len();
        } else {
            // Sharp pixels are finer: what cells cannot show they may.
            let before = before.split("   finer than").next().unwrap();
            assert_eq!(now.trim_end(), before.trim_end(), "row {y}");
        }
    }
    assert!(covered > 100, "the cells showed something before");
    let picture = plate.render(plate.size);
    assert_eq!([picture.width, picture.height], plate.size);
    assert!(picture.pixels.iter().any(|pixel| pixel.metal > 0));
    // the same while nothing changes, another for another sight or size
    assert_eq!(desk.model.plate(screen), Some(plate.clone()));
    assert_ne!(
        desk.model.plate(Rect::new(0, 0, 120, 40)),
        Some(plate.clone())
    );
    desk.keys("2");
    assert_ne!(desk.model.plate(screen), Some(plate));
    desk.keys("5");
    assert_eq!(desk.model.plate(screen), None, "layers are cells");
    desk.keys("1");
    assert_eq!(desk.model.plate(Rect::new(0, 0, 10, 3)), None, "no room");
    desk.model.settings.theme = Theme::Mono;
    assert_eq!(desk.model.plate(screen), None, "letters");
    desk.model.settings.theme = Theme::Terminal;
    desk.keys("0");
    assert_eq!(desk.model.plate(screen), None, "back at work");
}

#[test]
fn the_lines_are_told_step_by_step() {
    let mut desk = at_step("turned-w-petty", "draw-1");
    desk.keys("p6");
    let screen = desk.screen(80, 24);
    for words in [
        "TAKES (-), ADDS (+)",
        "SLOPE deg BANDS/CM",
        "Crush on the corner",
        "+ bands x",
        "x straighter",
        "next draw, step 4",
    ] {
        assert!(screen.contains(words), "{words}: {screen}");
    }
    assert!(!screen.contains("at this length"), "it is the length now");
    // A draw leaves slopes at (t1/t0)/(L1/L0): the affine law, worked here from the sizes on the screen.
    let size = |place: usize| {
        let metal = desk.model.session.metal_at(place).unwrap();
        let bar = &metal.bar;
        [bar.thickness.0, bar.length.0]
    };
    let ([t0, l0], [t1, l1]) = (size(3), size(4));
    let times = (t0 / t1) * (l1 / l0);
    let words = format!("- {times:.1} x straighter");
    assert!(screen.contains(&words), "{words}: {screen}");
    desk.keys("+");
    let words = format!("at this length the lines of now are {times:.1} x straighter");
    assert!(desk.shows(&words), "{words}: {}", desk.screen(80, 24));
    // On a wide screen the list stands beside every picture.
    desk.keys("3");
    assert!(desk.screen(120, 40).contains("LINES ON THE FACE, FORECAST"));
}

#[test]
fn the_moves_of_every_place_begin_those_of_the_end() {
    for sample in [
        "kitchen-pair",
        "turned-w-petty",
        "ladder-hunter",
        "three-layer",
        "twist-boot",
        "raindrop-belt-knife",
        "feather-chef",
    ] {
        let desk = Desk::sample(sample);
        let session = &desk.model.session;
        let last = session.last_place();
        assert_eq!(last, session.plan.steps.len(), "{sample}");
        let end = session.metal_at(last).unwrap().history.clone();
        for place in 0..=last {
            let metal = session.metal_at(place).unwrap();
            assert!(end.starts_with(&metal.history), "{sample} at {place}");
        }
    }
}

#[test]
fn closer_shows_less_of_the_metal_and_says_how_much() {
    let mut desk = at_step("turned-w-petty", "weld-1");
    desk.model.settings.shades = Shades::True;
    desk.keys("p4");
    let whole = desk.screen(80, 24);
    assert!(
        whole.contains("│ 50 mm") && !whole.contains("closer, about"),
        "{whole}"
    );
    let shades = colours(&desk).len();
    desk.keys(".");
    assert!(desk.shows("4 x closer") && desk.shows("│ 10 mm"));
    assert!(colours(&desk).len() > shades, "bands come out of the grey");
    desk.keys(",");
    assert!(desk.shows("16 x closer"));
    desk.keys(".");
    assert_eq!(desk.screen(80, 24), whole);
    desk.keys("5.");
    assert!(desk.shows("only pictures 1 to 4"));
}

#[test]
fn bent_layers_are_read_on_a_line_through_the_bar() {
    let mut desk = at_step("turned-w-petty", "weld-1");
    desk.keys("p");
    for _ in 0..15 {
        desk.keys("+");
    }
    desk.keys("5");
    let place = seen(&desk).1;
    let screen = desk.screen(80, 24);
    assert!(screen.contains("on this line"), "{screen}");
    assert!(screen.contains("a quarter of the width"), "{screen}");
    for _ in 0..200 {
        desk.key(Key::Down);
    }
    // the lowest band ends at the lower face
    let thick = desk.model.session.metal_at(place).unwrap().bar.thickness;
    let lines = desk.lines(80, 24);
    let row = lines.iter().find(|line| line.starts_with('▶')).unwrap();
    let mm = |text: &str| -> f64 { text.trim().parse().unwrap() };
    let (size, at) = row.split_once(" mm  at ").unwrap();
    let size = mm(size.rsplit(' ').next().unwrap());
    let at = mm(at.split(" mm").next().unwrap());
    assert!((at + size / 2.0 - thick.0).abs() < 0.1, "{row} {thick:?}");
}

#[test]
fn a_ladder_comes_when_its_grooves_are_pressed_flat() {
    let mut desk = at_step("ladder-hunter", "weld-1");
    desk.keys("p69");
    let lines = desk.lines(80, 24);
    let row = |words: &str| lines.iter().find(|line| line.contains(words));
    assert!(row("Cut the ladder").is_none(), "{lines:?}");
    let flat = row("Forge the ladder").expect("the step that closes the grooves");
    assert!(
        flat.contains("+ bands x") && flat.contains("slope x"),
        "{flat}"
    );
}

#[test]
fn a_forged_blade_is_what_is_looked_at_first() {
    let mut desk = at_step("twist-boot", "rough-grind-1");
    desk.keys("p");
    assert_eq!(seen(&desk).0.word(), "blade");
}
