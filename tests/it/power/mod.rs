//! Whatever happens to the power, the disk or the process, what was acknowledged is there afterwards.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test stops at the first thing that is not as it should be"
)]

mod memory;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use anvilside::billet::Dimension;
use anvilside::journal::{Entry, Event, Fire, encode};
use anvilside::plan::StepId;
use anvilside::shell::disk::RealDisk;
use anvilside::shell::lock::Locking;
use anvilside::shell::replace::replace;
use anvilside::shell::{Mode, Opened, Store, Trouble, read_entries};
use anvilside::units::Stamp;
use memory::MemoryDisk;

const PLAN: &str = "jobs/knife.toml";

fn journal() -> PathBuf {
    PathBuf::from("jobs/knife.journal")
}

fn entry(seq: u64) -> Entry {
    let step = StepId(format!("draw-{}", seq / 3 + 1));
    let event = match seq % 3 {
        0 => Event::Done { step },
        1 => Event::Fire {
            step,
            now: Fire::Out,
        },
        _ => Event::Measured {
            step,
            what: Dimension::Length,
            cold: 151.25,
            typed: "151,25 mm ± 0.1".into(),
            hot: None,
            counted: None,
        },
    };
    Entry {
        seq,
        at: Stamp(1_795_597_953_120 + i64::try_from(seq).unwrap() * 61_000),
        event,
    }
}

fn entries(n: u64) -> Vec<Entry> {
    (1..=n).map(entry).collect()
}

fn bytes(entries: &[Entry]) -> Vec<u8> {
    let lines: String = entries.iter().map(|e| encode(e).unwrap()).collect();
    lines.into_bytes()
}

fn open(disk: &MemoryDisk) -> Opened {
    Store::open_on(Box::new(disk.clone()), Path::new(PLAN), Locking::Lock).unwrap()
}

/// A plan in a folder of its own on the computer's disk.
fn real_plan() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let plan = dir.path().join("knife.toml");
    (dir, plan)
}

fn put(path: &Path, bytes: &[u8]) {
    use std::io::Write as _;
    fs::File::create(path).unwrap().write_all(bytes).unwrap();
}

#[test]
fn a_journal_cut_at_every_byte_opens_is_mended_and_goes_on() {
    let all = entries(9);
    let whole = bytes(&all);
    for cut in 0..=whole.len() {
        let head = &whole[..cut];
        let lines = head.iter().filter(|&&b| b == b'\n').count();
        let torn = !head.is_empty() && !head.ends_with(b"\n");
        let disk = MemoryDisk::with(&journal(), head);
        let mut opened = open(&disk);
        assert_eq!(opened.mode, Mode::Writable);
        assert_eq!(opened.entries, all[..lines], "cut at {cut}");
        let off = cut - bytes(&all[..lines]).len();
        let copy = torn.then(|| (PathBuf::from("jobs/knife.journal.torn-1"), off));
        assert_eq!(opened.repaired, copy, "cut at {cut}");
        if let Some((copy, _)) = copy {
            assert_eq!(disk.bytes(&copy).unwrap(), head, "cut at {cut}");
        }
        assert_eq!(disk.bytes(&journal()).unwrap(), bytes(&all[..lines]));

        let next = entry(lines as u64 + 1);
        opened.store.append(&next).unwrap();
        let again = open(&disk);
        assert_eq!(again.repaired, None);
        assert_eq!(again.entries.len(), lines + 1);
        assert_eq!(again.entries.last(), Some(&next));
    }
}

#[test]
fn a_journal_cut_on_the_computers_own_disk_is_mended_with_a_copy_kept() {
    let all = entries(3);
    let whole = bytes(&all);
    let (dir, plan) = real_plan();
    let path = dir.path().join("knife.journal");
    for (n, cut) in [(1, whole.len() - 1), (2, whole.len() - 40)] {
        put(&path, &whole[..cut]);
        let mut opened = Store::open(&plan).unwrap();
        let copy = dir.path().join(format!("knife.journal.torn-{n}"));
        let (kept, _) = opened.repaired.clone().unwrap();
        assert_eq!(kept, copy);
        assert_eq!(fs::read(&copy).unwrap(), &whole[..cut]);
        opened.store.append(&entry(3)).unwrap();
        drop(opened);
        assert_eq!(read_entries(&plan).unwrap(), all);
    }
}

#[test]
fn a_disk_that_fills_at_every_byte_keeps_what_was_acknowledged() {
    let all = entries(5);
    let whole = bytes(&all);
    for room in 0..=whole.len() {
        let disk = MemoryDisk::default();
        let mut store = open(&disk).store;
        disk.set_room(Some(room));
        let mut done = 0;
        let refused = all.iter().find_map(|e| {
            let result = store.append(e);
            done += usize::from(result.is_ok());
            result.err()
        });
        assert_eq!(refused.is_some(), room < whole.len());
        if let Some(refused) = refused {
            let text = refused.to_string();
            assert!(
                text.contains("disk is full") && text.contains("knife.journal"),
                "{text}"
            );
        }
        // what was written in part is gone again
        assert_eq!(
            disk.bytes(&journal()).unwrap(),
            bytes(&all[..done]),
            "room {room}"
        );
        assert_eq!(open(&disk).repaired, None);

        disk.set_room(None);
        for e in &all[done..] {
            store.append(e).unwrap();
        }
        assert_eq!(disk.bytes(&journal()).unwrap(), whole, "room {room}");
    }
}

#[test]
fn a_write_that_cannot_even_be_cut_off_is_cut_before_the_next() {
    let all = entries(3);
    let disk = MemoryDisk::default();
    let mut store = open(&disk).store;
    store.append(&all[0]).unwrap();
    disk.set_room(Some(20));
    disk.set_rigid(true);
    store.append(&all[1]).unwrap_err();
    assert_eq!(
        disk.bytes(&journal()).unwrap().len(),
        bytes(&all[..1]).len() + 20
    );
    disk.set_room(None);
    // still no cut: nothing may be glued to the torn line
    store.append(&all[1]).unwrap_err();
    disk.set_rigid(false);
    store.append(&all[1]).unwrap();
    store.append(&all[2]).unwrap();
    assert_eq!(disk.bytes(&journal()).unwrap(), bytes(&all));
}

#[test]
fn a_sync_that_fails_is_no_acknowledgement() {
    let all = entries(4);
    for works in 0..7_usize {
        let disk = MemoryDisk::default();
        let mut store = open(&disk).store;
        disk.set_syncs(Some(works));
        let done = all.iter().take_while(|e| store.append(e).is_ok()).count();
        // the first makes the file, and its folder is synced too
        assert_eq!(done, works.saturating_sub(1).min(4));
        disk.set_syncs(None);
        for e in &all[done..] {
            store.append(e).unwrap();
        }
        assert_eq!(open(&disk).entries, all);
    }
}

#[test]
fn the_power_may_fail_between_any_two_syncs() {
    let all = entries(4);
    // `works` syncs are done; then the power fails in the middle of what follows
    for (works, rigid) in (0..12).flat_map(|works| [(works, false), (works, true)]) {
        let disk = MemoryDisk::default();
        disk.set_syncs(Some(works));
        disk.set_rigid(rigid);
        let mut store = open(&disk).store;
        let done = all.iter().take_while(|e| store.append(e).is_ok()).count();
        for after in disk.after_power_cut() {
            check_after(&after, &all, done);
        }
    }
    // and while a line is being written that was not yet synced
    for room in 0..bytes(&all).len() {
        let disk = MemoryDisk::default();
        let mut store = open(&disk).store;
        disk.set_room(Some(room));
        disk.set_rigid(true);
        let done = all.iter().take_while(|e| store.append(e).is_ok()).count();
        for after in disk.after_power_cut() {
            check_after(&after, &all, done);
        }
    }
}

fn check_after(after: &MemoryDisk, all: &[Entry], done: usize) {
    let mut opened = open(after);
    let found = opened.entries.len();
    assert!(found == done || found == done + 1, "{found} of {done}");
    assert_eq!(opened.entries, all[..found]);
    assert_eq!(opened.mode, Mode::Writable);
    for e in &all[found..] {
        opened.store.append(e).unwrap();
    }
    assert_eq!(open(after).entries, all);
}

#[test]
fn a_torn_journal_on_a_full_disk_waits_for_room_and_loses_nothing() {
    let all = entries(3);
    let whole = bytes(&all);
    let torn = &whole[..whole.len() - 7];
    for room in 0..torn.len() {
        let disk = MemoryDisk::with(&journal(), torn);
        disk.set_room(Some(room));
        let mut opened = open(&disk);
        assert_eq!(opened.entries, all[..2]);
        let Mode::Refused(why) = opened.mode else {
            panic!("the copy cannot have been written");
        };
        assert!(why.contains("disk is full"), "{why}");
        assert_eq!(
            disk.bytes(&journal()).unwrap(),
            torn,
            "no cut without a copy"
        );
        assert_eq!(disk.names(), [journal()], "no half copy is left");
        opened.store.append(&all[2]).unwrap_err();

        disk.set_room(None);
        opened.store.append(&all[2]).unwrap();
        assert_eq!(opened.store.mode(), Mode::Writable);
        assert_eq!(disk.bytes(&journal()).unwrap(), whole);
        assert_eq!(
            disk.bytes(Path::new("jobs/knife.journal.torn-1")).unwrap(),
            torn
        );
    }
}

#[test]
fn a_folder_that_may_not_be_written_shows_the_job_and_waits() {
    let all = entries(3);
    let disk = MemoryDisk::with(&journal(), &bytes(&all[..2]));
    disk.set_closed(true);
    let mut opened = open(&disk);
    assert_eq!(opened.entries, all[..2]);
    let Mode::Refused(why) = opened.mode else {
        panic!("the lock cannot have been taken");
    };
    assert!(why.contains("not allowed"), "{why}");
    opened.store.append(&all[2]).unwrap_err();
    disk.set_closed(false);
    opened.store.append(&all[2]).unwrap();
    assert_eq!(disk.bytes(&journal()).unwrap(), bytes(&all));
}

#[test]
fn damage_is_named_by_file_and_line_and_nothing_is_touched() {
    let (dir, plan) = real_plan();
    let path = dir.path().join("knife.journal");
    let mut bad = bytes(&entries(5));
    let third = bytes(&entries(2)).len();
    bad[third + 30] ^= 1;
    put(&path, &bad);
    for error in [
        Store::open(&plan).unwrap_err(),
        read_entries(&plan).unwrap_err(),
    ] {
        let text = error.to_string();
        assert!(text.contains("knife.journal, line 3:"), "{text}");
        assert!(text.contains("Nothing was changed"), "{text}");
    }
    assert_eq!(fs::read(&path).unwrap(), bad);
    let mut names: Vec<_> = fs::read_dir(dir.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    names.sort();
    assert_eq!(names, ["knife.journal", "knife.lock"]);
}

#[test]
fn two_copies_one_records_the_other_shows_and_says_so() {
    let (_dir, plan) = real_plan();
    let mut first = Store::open(&plan).unwrap();
    first.store.append(&entry(1)).unwrap();
    let mut second = Store::open(&plan).unwrap();
    assert_eq!(second.entries, entries(1));
    let Mode::ReadOnly(why) = &second.mode else {
        panic!("two copies may write");
    };
    assert!(why.contains("another copy"), "{why}");
    assert!(matches!(second.store.append(&entry(2)), Err(Trouble::Busy)));
    drop(first);
    // nothing was recorded in between: the second may go on
    second.store.append(&entry(2)).unwrap();
    assert_eq!(read_entries(&plan).unwrap(), entries(2));
}

#[test]
fn a_copy_that_fell_behind_does_not_write_over_the_other() {
    let (_dir, plan) = real_plan();
    let mut first = Store::open(&plan).unwrap();
    let mut second = Store::open(&plan).unwrap();
    first.store.append(&entry(1)).unwrap();
    drop(first);
    assert!(matches!(
        second.store.append(&entry(1)),
        Err(Trouble::MovedOn)
    ));
    assert_eq!(read_entries(&plan).unwrap(), entries(1));
}

#[test]
fn a_second_copy_does_not_mend_what_the_first_is_writing() {
    let (dir, plan) = real_plan();
    let path = dir.path().join("knife.journal");
    let first = Store::open(&plan).unwrap();
    let torn = &bytes(&entries(2))[..100];
    put(&path, torn);
    let second = Store::open(&plan).unwrap();
    assert_eq!(second.repaired, None);
    assert_eq!(fs::read(&path).unwrap(), torn);
    drop(first);
}

#[test]
fn a_journal_changed_or_taken_away_meanwhile_is_noticed() {
    let (dir, plan) = real_plan();
    let path = dir.path().join("knife.journal");
    let mut store = Store::open(&plan).unwrap().store;
    store.append(&entry(1)).unwrap();

    let whole = fs::read(&path).unwrap();
    put(&path, &bytes(&entries(2)));
    assert!(matches!(
        store.append(&entry(2)),
        Err(Trouble::Changed { .. })
    ));
    put(&path, b"");
    assert!(matches!(
        store.append(&entry(2)),
        Err(Trouble::Changed { .. })
    ));
    assert_eq!(fs::read(&path).unwrap(), b"");

    // put back as it was: work goes on
    put(&path, &whole);
    store.append(&entry(2)).unwrap();
    assert_eq!(read_entries(&plan).unwrap(), entries(2));

    // an unlinked file would take records into nowhere
    replace(&RealDisk, &path, &bytes(&entries(2))).unwrap();
    let refused = store.append(&entry(3));
    if cfg!(unix) {
        assert!(matches!(refused, Err(Trouble::Changed { .. })));
    }
    fs::remove_file(&path).unwrap();
    assert!(matches!(
        store.append(&entry(3)),
        Err(Trouble::Changed { .. })
    ));
}

#[test]
fn records_out_of_order_are_refused() {
    let disk = MemoryDisk::default();
    let mut store = open(&disk).store;
    assert_eq!(store.next_seq(), 1);
    for wrong in [0, 2, u64::MAX] {
        assert!(matches!(
            store.append(&Entry {
                seq: wrong,
                ..entry(1)
            }),
            Err(Trouble::Order { due: 1, .. })
        ));
    }
    store.append(&entry(1)).unwrap();
    assert_eq!(store.next_seq(), 2);
    assert!(store.append(&entry(1)).is_err());
}

#[test]
fn records_written_together_are_all_there_or_none() {
    let all = entries(6);
    let (head, tail) = (bytes(&all[..2]).len(), bytes(&all).len());
    for room in 0..=tail - head {
        let disk = MemoryDisk::default();
        let mut store = open(&disk).store;
        store.append_all(&all[..2]).unwrap();
        disk.set_room(Some(room));
        let done = store.append_all(&all[2..]).is_ok();
        assert_eq!(done, room == tail - head);
        let expected = if done { 6 } else { 2 };
        assert_eq!(open(&disk).entries, all[..expected]);
        assert_eq!(store.next_seq(), expected as u64 + 1);
    }
    let mut store = open(&MemoryDisk::default()).store;
    let gap = [entry(1), entry(3)];
    assert!(matches!(
        store.append_all(&gap),
        Err(Trouble::Order { given: 3, due: 2 })
    ));
    assert_eq!(store.next_seq(), 1);
}

#[test]
fn what_is_not_a_plan_or_a_plain_file_is_refused() {
    let (dir, plan) = real_plan();
    fs::create_dir(dir.path().join("knife.journal")).unwrap();
    let text = Store::open(&plan).unwrap_err().to_string();
    assert!(text.contains("is a folder"), "{text}");
    for name in ["a.journal", "a.lock"] {
        let path = dir.path().join(name);
        assert!(matches!(Store::open(&path), Err(Trouble::NotAPlan { .. })));
    }
}

#[test]
fn a_file_replaced_on_a_failing_disk_is_the_old_or_the_new_one() {
    let path = Path::new("state/recent");
    let (old, new) = (b"old text".as_slice(), b"new and longer text".as_slice());
    for room in 0..=new.len() {
        let disk = MemoryDisk::with(path, old);
        disk.set_room(Some(room));
        let result = replace(&disk, path, new);
        assert_eq!(result.is_ok(), room == new.len());
        let expected = if result.is_ok() { new } else { old };
        assert_eq!(disk.bytes(path).unwrap(), expected);
        assert_eq!(disk.names(), [path], "nothing is left beside it");
    }
    for works in 0..=2 {
        let disk = MemoryDisk::with(path, old);
        disk.set_syncs(Some(works));
        let done = replace(&disk, path, new).is_ok();
        assert_eq!(done, works == 2);
        for after in disk.after_power_cut() {
            let found = after.bytes(path).unwrap();
            assert!(
                found == new || (!done && found == old),
                "{found:?} after {works} syncs"
            );
        }
    }
}

/// Set in the process that [`the_lock_goes_with_the_process`] starts.
const HOLD: &str = "ANVILSIDE_TEST_HOLD";

#[test]
fn hold_the_lock_when_told_to() {
    let Some(plan) = std::env::var_os(HOLD) else {
        return;
    };
    let mut opened = Store::open(Path::new(&plan)).unwrap();
    opened.store.append(&entry(1)).unwrap();
    thread::sleep(Duration::from_secs(60));
}

#[test]
fn the_lock_goes_with_the_process() {
    let (_dir, plan) = real_plan();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "power::hold_the_lock_when_told_to",
            "--nocapture",
        ])
        .env(HOLD, &plan)
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let recorded = (0..500).any(|_| {
        thread::sleep(Duration::from_millis(10));
        read_entries(&plan).unwrap() == entries(1)
    });
    assert!(recorded, "the child did not start");
    assert!(matches!(
        Store::open(&plan).unwrap().mode,
        Mode::ReadOnly(_)
    ));
    // SIGKILL: no handler, no destructor
    child.kill().unwrap();
    child.wait().unwrap();
    let mut after = Store::open(&plan).unwrap();
    assert_eq!(after.mode, Mode::Writable);
    after.store.append(&entry(2)).unwrap();
    assert_eq!(read_entries(&plan).unwrap(), entries(2));
}
