use proptest::prelude::*;

use super::*;
use crate::ui::Key;

/// What terminals answer or report, asked or not. Forms from the ECMA-48 and xterm control sequences,
/// the DEC VT510 programmer's manual, the kitty graphics and keyboard protocols and OSC 1337 (from memory).
pub(in crate::shell::keyboard) const ANSWERS: &[(&str, &[u8])] = &[
    ("primary attributes", b"\x1b[?62;4;22c"),
    ("primary attributes, short", b"\x1b[?6c"),
    ("secondary attributes", b"\x1b[>41;354;0c"),
    ("tertiary attributes", b"\x1bP!|7E565445\x1b\\"),
    ("status", b"\x1b[0n"),
    ("printer status", b"\x1b[?13n"),
    ("cursor", b"\x1b[12;40R"),
    ("cursor and page", b"\x1b[?12;40;1R"),
    ("mode", b"\x1b[?2026;2$y"),
    ("mode of the standard", b"\x1b[4;2$y"),
    ("name and version", b"\x1bP>|some terminal(380)\x1b\\"),
    (
        "colour of the palette",
        b"\x1b]4;7;rgb:ffff/ffff/ffff\x1b\\",
    ),
    ("text colour, BEL", b"\x1b]10;rgb:0000/0000/0000\x07"),
    ("ground colour, ST", b"\x1b]11;rgb:1e1e/1e1e/2e2e\x1b\\"),
    ("ground colour, BEL", b"\x1b]11;rgb:1e1e/1e1e/2e2e\x07"),
    ("clipboard", b"\x1b]52;c;cXF5eSsrKyAxMg==\x1b\\"),
    ("setting", b"\x1bP1$r0;1m\x1b\\"),
    ("setting refused", b"\x1bP0$r\x1b\\"),
    ("capability", b"\x1bP1+r436f=323536\x1b\\"),
    ("keyboard flags", b"\x1b[?1u"),
    ("kitty picture", b"\x1b_Gi=31;OK\x1b\\"),
    (
        "kitty picture refused",
        b"\x1b_Gi=31;ENOENT:no such thing\x1b\\",
    ),
    (
        "inline cell size",
        b"\x1b]1337;ReportCellSize=17.0;8.0;2.0\x1b\\",
    ),
    ("cell size", b"\x1b[6;16;8t"),
    ("text area", b"\x1b[8;24;80t"),
    ("size report", b"\x1b[48;24;80;384;640t"),
    ("sixel geometry", b"\x1b[?2;0;1000;1000S"),
    ("colour scheme", b"\x1b[?997;1n"),
    ("window title", "\u{1b}]lÜber yes\u{1b}\\".as_bytes()),
    ("focus", b"\x1b[I"),
    ("focus lost", b"\x1b[O"),
    ("mouse", b"\x1b[M !+"),
    ("mouse, as characters", b"\x1b[M \xc4\xa0\xc4\xb1"),
    ("mouse, decimal", b"\x1b[32;11;12M"),
    ("mouse, marked", b"\x1b[<0;11;12M"),
    ("mouse, marked, up", b"\x1b[<0;11;12m"),
    ("in one-byte controls", b"\x9b?62;22c"),
];

/// Beginnings that nothing follows.
pub(in crate::shell::keyboard) const UNFINISHED: &[&[u8]] = &[
    b"\x1b[?",
    b"\x1b[",
    b"\x1b[1;",
    b"\x1b[<",
    b"\x1b[>",
    b"\x1bO",
    b"\x1b]11;rgb:",
    b"\x1bP",
    b"\x1b_G",
    b"\x1b[M",
    b"\x1b[[",
    b"\xc3",
    b"\x1b[200~",
    b"\x1b[200~12q\r",
];

fn keys(decoder: &mut Decoder, bytes: &[u8], at: u64) -> Vec<(KeyCode, KeyModifiers)> {
    let found = decoder.take(bytes, at);
    only_keys(found)
}

fn only_keys(found: Vec<Token>) -> Vec<(KeyCode, KeyModifiers)> {
    let key = |token| match token {
        Token::Key {
            code, modifiers, ..
        } => Some((code, modifiers)),
        Token::Paste(_) => None,
    };
    found.into_iter().filter_map(key).collect()
}

fn plain(c: char) -> (KeyCode, KeyModifiers) {
    (KeyCode::Char(c), KeyModifiers::NONE)
}

/// A key pressed by itself must act, whatever was before.
fn acts(decoder: &mut Decoder, at: u64, what: &str) {
    for (n, c) in ['4', ' ', '+'].into_iter().enumerate() {
        let at = at + 150 * n as u64;
        let mut found = only_keys(decoder.late(at));
        found.extend(keys(decoder, &[c as u8], at));
        assert_eq!(found, [plain(c)], "{what}: {c:?}");
    }
    assert_eq!(decoder.due(), None);
}

#[test]
fn no_answer_is_a_key() {
    for (what, answer) in ANSWERS {
        let mut decoder = Decoder::default();
        assert_eq!(keys(&mut decoder, answer, 0), [], "{what}");
        acts(&mut decoder, 10, what);
        // many of them, and keys typed between
        let mut bytes = Vec::new();
        for c in b"40.5" {
            bytes.extend_from_slice(answer);
            bytes.push(*c);
        }
        assert_eq!(
            keys(&mut decoder, &bytes, 5000),
            "40.5".chars().map(plain).collect::<Vec<_>>()
        );
    }
}

#[test]
fn an_answer_in_two_pieces_is_no_key_however_long_the_pause() {
    for (what, answer) in ANSWERS {
        for cut in 1..answer.len() {
            for pause in [0, 20, 90, 120, 400, 1500] {
                let what = format!("{what} cut at {cut}, {pause} ms");
                let mut decoder = Decoder::default();
                let mut found = keys(&mut decoder, &answer[..cut], 1000);
                found.extend(only_keys(decoder.late(1000 + pause)));
                // the next one may be close behind it
                let next: &[u8] = if cut % 2 == 0 { b"\x1b[I" } else { b"" };
                let rest = [&answer[cut..], next].concat();
                found.extend(keys(&mut decoder, &rest, 1000 + pause));
                found.extend(only_keys(decoder.late(5000)));
                // an ESC that stays alone for so long is the key of that name, which settles nothing
                let alone = cut == 1 && answer[0] == 0x1b && pause >= UNFINISHED_MS;
                let wanted = if alone {
                    vec![(KeyCode::Esc, KeyModifiers::NONE)]
                } else {
                    Vec::new()
                };
                assert_eq!(found, wanted, "{what}");
                acts(&mut decoder, 6000, &what);
            }
        }
    }
}

#[test]
fn an_answer_byte_by_byte_is_no_key() {
    for (what, answer) in ANSWERS {
        let mut decoder = Decoder::default();
        for (n, byte) in answer.iter().enumerate() {
            let found = keys(&mut decoder, &[*byte], n as u64);
            assert_eq!(found, [], "{what} at {n}");
        }
        acts(&mut decoder, 300, what);
    }
}

#[test]
fn an_answer_cut_off_for_good_leaves_the_keyboard_working() {
    for (what, answer) in ANSWERS {
        for cut in 1..answer.len() {
            let mut decoder = Decoder::default();
            decoder.take(&answer[..cut], 0);
            let due = decoder.due().unwrap_or(0);
            assert!(due <= UNFINISHED_MS);
            decoder.late(due);
            if answer.starts_with(b"\x1b[M")
                && matches!(decoder.dropped, Some((State::Mouse(1), _)))
            {
                // the last of three may be any key, and is given up once for that
                assert_eq!(keys(&mut decoder, b"4", due), []);
            }
            acts(&mut decoder, due + 1, &format!("{what} cut at {cut}"));
        }
    }
    for bytes in UNFINISHED {
        let mut decoder = Decoder::default();
        decoder.take(bytes, 0);
        decoder.late(UNFINISHED_MS);
        acts(&mut decoder, UNFINISHED_MS + 1, &format!("{bytes:?}"));
    }
}

#[test]
fn ctrl_c_is_heard_in_the_middle_of_anything() {
    let wanted = [(KeyCode::Char('c'), KeyModifiers::CONTROL)];
    let cuts = ANSWERS
        .iter()
        .flat_map(|(_, answer)| (1..answer.len()).map(|cut| &answer[..cut]));
    for begun in cuts.chain(UNFINISHED.iter().copied()) {
        let mut decoder = Decoder::default();
        decoder.take(begun, 0);
        assert_eq!(keys(&mut decoder, b"\x03", 1), wanted, "{begun:?}");
        acts(&mut decoder, 200, "behind Ctrl-C");
    }
}

#[test]
fn keys_are_known_however_the_terminal_sends_them() {
    let none = KeyModifiers::NONE;
    for (bytes, wanted) in [
        (&b"\x1b[A"[..], Some((KeyCode::Up, none))),
        (b"\x1bOB", Some((KeyCode::Down, none))),
        (b"\x1b[1;2C", Some((KeyCode::Right, KeyModifiers::SHIFT))),
        (b"\x1bOM", Some((KeyCode::Enter, none))),
        (b"\x1bOP", Some((KeyCode::F(1), none))),
        (b"\x1b[11~", Some((KeyCode::F(1), none))),
        (b"\x1b[[A", Some((KeyCode::F(1), none))),
        (b"\x1b[5~", Some((KeyCode::PageUp, none))),
        (b"\x1b[3~", Some((KeyCode::Home, none))),
        (b"\x1b[H", Some((KeyCode::Home, none))),
        (b"\x1bOq", Some(plain('1'))),
        (b"\x1bOk", Some(plain('+'))),
        (b"\x1bOn", Some(plain('.'))),
        (
            b"\x1b[99;5u",
            Some((KeyCode::Char('c'), KeyModifiers::CONTROL)),
        ),
        (b"\x1b[57404u", Some(plain('5'))),
        (b"\x1b[1;1:3A", None),
        (b"\x1b[15~", None),
        (b"\x1bq", None),
        (b"\r", Some((KeyCode::Enter, none))),
        (b"\x7f", Some((KeyCode::Backspace, none))),
        (b"\x08", Some((KeyCode::Char('h'), KeyModifiers::CONTROL))),
        ("ш".as_bytes(), Some(plain('ш'))),
        ("℃".as_bytes(), Some(plain('℃'))),
        (b"\xff", None),
        ("\u{9b}".as_bytes(), None),
    ] {
        let found = keys(&mut Decoder::default(), bytes, 0);
        assert_eq!(found, Vec::from_iter(wanted), "{bytes:?}");
    }
    // every key that a pressed number pad may send means something to the screen
    for byte in b'j'..=b'y' {
        let found = keys(&mut Decoder::default(), &[0x1b, b'O', byte], 0);
        let (code, modifiers) = found[0];
        let input = crate::shell::input::pressed(code, modifiers, false);
        assert!(matches!(
            input,
            Some(crate::shell::input::Input::Key {
                key: Key::Char(_),
                ..
            })
        ));
    }
}

#[test]
fn a_lone_escape_is_that_key_after_a_moment() {
    let mut decoder = Decoder::default();
    assert_eq!(decoder.take(b"\x1b", 0), []);
    assert_eq!(decoder.due(), Some(UNFINISHED_MS));
    assert_eq!(decoder.late(UNFINISHED_MS - 1), []);
    let found = only_keys(decoder.late(UNFINISHED_MS));
    assert_eq!(found, [(KeyCode::Esc, KeyModifiers::NONE)]);
}

#[test]
fn pasted_text_is_one_whole_and_bounded() {
    let mut decoder = Decoder::default();
    let paste = |text: &str| vec![Token::Paste(text.to_owned())];
    assert_eq!(
        decoder.take(b"\x1b[200~a\x1b[Ab\r\x1b[201~", 0),
        paste("a\u{1b}[Ab\r")
    );
    // in pieces, while it keeps coming
    let mut found = decoder.take(b"\x1b[200~0123456789", 1000);
    found.extend(decoder.take(b"0123456789", 1080));
    found.extend(decoder.take(b"\x1b[201~", 1160));
    assert_eq!(found, paste("01234567890123456789"));
    // a megabyte
    let mut found = decoder.take(b"\x1b[200~", 2000);
    for n in 0..256 {
        found.extend(decoder.take(&[b'x'; 4096], 2000 + n));
    }
    found.extend(decoder.take(b"\x1b[201~", 2300));
    assert_eq!(found, paste(&"x".repeat(PASTE)));
    // the rest of one that paused for too long
    decoder.take(b"\x1b[200~abcdefgh", 3000);
    assert_eq!(decoder.late(3100), paste("abcdefgh"));
    let found = decoder.take(b"qqy\r++\x1b[201~", 3500);
    assert_eq!(found, paste("qqy\r++"));
    acts(&mut decoder, 3600, "behind a paste");
}

proptest! {
    #[test]
    fn any_bytes_in_any_pieces_leave_the_keyboard_working(
        pieces in proptest::collection::vec(
            (proptest::collection::vec(any::<u8>(), 0..40), 0_u64..300), 0..12),
    ) {
        let mut decoder = Decoder::default();
        let mut at = 0;
        for (bytes, pause) in pieces {
            at += pause;
            decoder.late(at);
            decoder.take(&bytes, at);
        }
        decoder.late(at + UNFINISHED_MS);
        prop_assert_eq!(decoder.due(), None);
        acts(&mut decoder, at + UNFINISHED_MS + REST_MS, "any bytes");
    }
}
