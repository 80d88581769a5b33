//! A count from a folder of photographs, in the real program: the picture comes while the list is open, is
//! counted beside the screen, taken, and is in the journal.

use std::fs;
use std::path::Path;

use anvilside::journal::Event;
use anvilside::shell::read_entries;

use crate::terminal::{Bench, Terminal};
use crate::whole::work_on;

#[test]
fn a_picture_copied_into_the_folder_is_offered_counted_and_taken() {
    let bench = Bench::with_sample("found-bar");
    fs::create_dir(bench.path("camera")).unwrap();
    let mut terminal = Terminal::start(bench.work(&["--key-gap", "0", "--photos", "camera"]));
    terminal.wait("READ THIS ONCE");
    // the card of the first step, an inspect step
    work_on(&bench, &mut terminal, false, |model| {
        model.session.legal_read && !model.card_asks()
    });
    terminal.keys("i");
    terminal.wait("no JPEG or PNG");
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photographs_second");
    fs::copy(data.join("s-044.jpg"), bench.path("camera/end.jpg")).unwrap();
    terminal.wait("1  end.jpg");
    terminal.keys("1");
    // 41 bands by the generator's own list (tests/data/photographs_second/truth.csv)
    terminal.wait("41 BANDS");
    terminal.keys("+");
    terminal.wait("taken: 41 bands");
    let entries = read_entries(&bench.plan()).unwrap();
    let last = entries.last().unwrap();
    let Event::Measured {
        cold,
        counted: Some(counted),
        ..
    } = &last.event
    else {
        panic!("{last:?}")
    };
    assert!((cold - 41.0).abs() < 1e-9);
    let bytes = fs::read(bench.path("camera/end.jpg")).unwrap();
    let photo = counted.photo.as_ref().unwrap();
    assert_eq!(
        (photo.file.as_str(), photo.checksum),
        ("end.jpg", crc32fast::hash(&bytes))
    );
    assert!(counted.low <= 41 && 41 <= counted.high);
    terminal.keys("\x03");
    terminal.ended_with(0);
}
