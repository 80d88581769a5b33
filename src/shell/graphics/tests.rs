//! Answers of terminals, whole, cut short and made up.

use super::*;

fn of(text: &str) -> Answers {
    Answers::read(text.as_bytes())
}

#[test]
fn nothing_and_keys_say_nothing() {
    for text in ["", "12\r q", "\x1b[A", "\x1bOP", "\x1b[?u", "\x1b[0n"] {
        assert_eq!(of(text), Answers::default(), "{text:?}");
    }
}

// VT330/VT340 programmer's reference, primary device attributes: 4 is sixel (from memory).
#[test]
fn the_attributes_tell_of_sixel() {
    let with = of("\x1b[?62;4;22c");
    assert!(with.sixel && with.attributes == 1 && !with.kitty && !with.inline);
    // the class of a VT132, not the attribute
    assert!(!of("\x1b[?4;6c").sixel);
    assert!(!of("\x1b[?62;14;22c").sixel);
    assert_eq!(of("\x1b[?6c\x1b[?6c").attributes, 2);
}

#[test]
fn a_kitty_answer_counts_when_it_is_a_yes() {
    let all = of("7\x1b_Gi=31;OK\x1b\\\x1b[6;16;8t\x1b[?62c");
    assert!(all.kitty && !all.cut);
    assert_eq!((all.cell, all.attributes), (Some([8, 16]), 1));
    assert!(!of("\x1b_Gi=31;ENOTSUPPORTED:no\x1b\\").kitty);
    assert!(!of("\x1b_Gi=32;OK\x1b\\").kitty);
}

#[test]
fn inline_pictures_tell_their_cells_in_points() {
    let all = of("\x1b]1337;ReportCellSize=14.5;6.0;2.0\x1b\\\x1b[?62c");
    assert!(all.inline && !all.cut);
    assert_eq!(all.cell, Some([12, 29]));
    assert_eq!(
        of("\x1b]1337;ReportCellSize=17;8\x07").cell,
        Some([8, 17]),
        "without a scale"
    );
    let odd = of("\x1b]1337;ReportCellSize=1e99;-4;NaN\x07");
    assert!(odd.inline && odd.cell.is_none());
}

#[test]
fn an_answer_cut_short_is_known_wherever_it_is_cut() {
    for whole in [
        "\x1b_Gi=31;OK\x1b\\",
        "\x1b[6;16;8t",
        "\x1b[?62;4c",
        "\x1b]1337;ReportCellSize=17;8\x1b\\",
    ] {
        assert!(!of(whole).cut, "{whole:?}");
        for end in 1..whole.len() {
            assert!(of(whole.get(..end).unwrap()).cut, "{whole:?} to {end}");
        }
    }
}

#[test]
fn no_garbage_is_taken_for_a_size() {
    for text in [
        "\x1b[6;0;0t",
        "\x1b[6;16t",
        "\x1b[6;99999999;8t",
        "\x1b[6;-16;8t",
        "\x1b[8;24;80t",
        "\x1b[6;16;8x",
    ] {
        assert_eq!(of(text).cell, None, "{text:?}");
    }
    // no bytes stop it
    let mut seed = 1_u32;
    for _ in 0..2000 {
        let bytes: Vec<u8> = (0..40)
            .map(|_| {
                seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let letters = b"\x1b[]_?;64ct\x07\\GiOK\xff";
                letters[(seed >> 16) as usize % letters.len()]
            })
            .collect();
        let found = Answers::read(&bytes);
        assert!(!found.kitty || bytes.windows(2).any(|w| w == b"OK"));
    }
}

#[test]
fn the_best_that_is_said_is_taken_and_a_wish_goes_ahead() {
    let mut answers = Answers {
        sixel: true,
        ..Answers::default()
    };
    let got = |wish: Wish, answers: &Answers| wish.settled(answers).map(|g| g.protocol);
    assert_eq!(got(Wish::Ask, &Answers::default()), None);
    assert_eq!(got(Wish::Ask, &answers), Some(Protocol::Sixel));
    answers.inline = true;
    assert_eq!(got(Wish::Ask, &answers), Some(Protocol::Inline));
    answers.kitty = true;
    assert_eq!(got(Wish::Ask, &answers), Some(Protocol::Kitty));
    assert_eq!(got(Wish::Blocks, &answers), None);
    let only = Wish::Only(Protocol::Sixel);
    assert_eq!(got(only, &Answers::default()), Some(Protocol::Sixel));
}

#[test]
fn who_may_be_asked() {
    let with = |name: &str, value: &str| {
        Wish::may_ask(|asked| match asked {
            _ if asked == name => Some(value.to_owned()),
            "TERM" => Some("xterm-256color".to_owned()),
            _ => None,
        })
    };
    assert!(with("LANG", "C"));
    assert!(with("TMUX", ""));
    for (name, value) in [
        ("SSH_CONNECTION", "10.0.0.2 50000 10.0.0.1 22"),
        ("SSH_TTY", "/dev/pts/1"),
        ("TMUX", "socket,1,0"),
        ("STY", "1.pts-0"),
        ("TERM", "linux"),
        ("TERM", "dumb"),
        ("TERM", ""),
        ("TERM", "screen.xterm-256color"),
        ("TERM", "tmux-256color"),
    ] {
        assert!(!with(name, value), "{name}={value}");
    }
}
