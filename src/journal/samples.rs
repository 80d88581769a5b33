//! Entries for the tests of this folder.

use proptest::prelude::*;

use super::{Entry, Event, Fire, Resolution, encode};
use crate::billet::Dimension;
use crate::plan::{CautionId, StepId};
use crate::units::{Celsius, Seconds, Stamp};

/// 2026-11-25T09:12:33.120Z.
const MORNING: i64 = 1_795_597_953_120;

/// An entry in the morning, one minute after the other.
pub(super) fn entry(seq: u64, event: Event) -> Entry {
    let minutes = i64::try_from(seq).unwrap();
    Entry {
        seq,
        at: Stamp(MORNING + minutes * 60_000),
        event,
    }
}

/// The file of these entries.
pub(super) fn bytes(entries: &[Entry]) -> Vec<u8> {
    let lines: String = entries.iter().map(|e| encode(e).unwrap()).collect();
    lines.into_bytes()
}

/// A morning's work of `n` entries, with text of more than one byte a character.
pub(super) fn work(n: u64) -> Vec<Entry> {
    let step = || StepId("draw-1".into());
    let event = |i: u64| match i % 5 {
        0 => Event::Plan {
            hash: 7,
            text: "[goal]\nblade = \"240 mm\" # größe\n".into(),
        },
        1 => Event::Caution {
            step: step(),
            item: CautionId("fire.extinguisher".into()),
            how: Resolution::Answered(String::new()),
        },
        2 => Event::Fire {
            step: step(),
            now: Fire::In,
        },
        3 => Event::Measured {
            step: step(),
            what: Dimension::Thickness,
            cold: 12.3,
            typed: "12,3 mm ±0.1".into(),
            hot: Some(Celsius(900.0)),
            counted: None,
        },
        _ => Event::Done { step: step() },
    };
    (1..=n).map(|seq| entry(seq, event(seq - 1))).collect()
}

fn any_event() -> impl Strategy<Value = Event> {
    let step = || "[a-z]{1,9}-[0-9]".prop_map(StepId);
    let number = || prop::num::f64::NORMAL | prop::num::f64::ZERO | prop::num::f64::SUBNORMAL;
    let what = prop::sample::select(vec![
        Dimension::Thickness,
        Dimension::Width,
        Dimension::Length,
        Dimension::Mass,
        Dimension::Bands,
    ]);
    let how = prop_oneof![
        any::<String>().prop_map(Resolution::Answered),
        any::<String>().prop_map(Resolution::Deferred),
        any::<String>().prop_map(Resolution::Overridden),
    ];
    prop_oneof![
        (any::<u32>(), any::<String>()).prop_map(|(hash, text)| Event::Plan { hash, text }),
        (any::<i32>(), any::<String>())
            .prop_map(|(offset, version)| Event::Opened { offset, version }),
        Just(Event::Closed),
        Just(Event::LegalRead),
        Just(Event::Drank),
        (step(), any::<String>(), how).prop_map(|(step, item, how)| Event::Caution {
            step,
            item: CautionId(item),
            how,
        }),
        (step(), any::<String>(), number()).prop_map(|(step, name, span)| Event::Timer {
            step,
            name,
            span: Seconds(span),
        }),
        (
            step(),
            what.clone(),
            number(),
            any::<String>(),
            prop::option::of(number())
        )
            .prop_map(|(step, what, cold, typed, hot)| Event::Measured {
                step,
                what,
                cold,
                typed,
                hot: hot.map(Celsius),
                counted: None,
            }),
        (step(), what).prop_map(|(step, what)| Event::Unmeasured { step, what }),
        (step(), any::<String>()).prop_map(|(step, text)| Event::Note { step, text }),
        any::<u64>().prop_map(|seq| Event::Undone { seq }),
    ]
}

/// Any entry that may be written.
pub(super) fn any_entry() -> impl Strategy<Value = Entry> {
    (
        1..u64::MAX,
        -62_167_219_200_000..253_402_300_800_000i64,
        any_event(),
    )
        .prop_map(|(seq, at, event)| Entry {
            seq,
            at: Stamp(at),
            event,
        })
}

/// Any journal.
pub(super) fn any_entries() -> impl Strategy<Value = Vec<Entry>> {
    prop::collection::vec(any_entry(), 0..20).prop_map(|mut entries| {
        for (entry, seq) in entries.iter_mut().zip(1..) {
            entry.seq = seq;
            // only what is there can be taken back
            if let Event::Undone { seq: of } | Event::Redone { seq: of } = &mut entry.event {
                *of %= seq;
            }
        }
        entries
    })
}
