//! Every way out hands the terminal back.

use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::terminal::{Bench, Terminal, cpu_ticks, has_ended, signal, soon};

const SAMPLE: &str = "kitchen-pair";
/// On the first screen of a fresh job.
const FIRST: &str = "READ THIS ONCE";

fn begun(bench: &Bench) -> Terminal {
    let terminal = Terminal::start(bench.work(&[]));
    terminal.wait(FIRST);
    terminal
}

fn last_line(bench: &Bench) -> String {
    bench
        .journal()
        .lines()
        .last()
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn leaving_by_a_key_hands_the_terminal_back() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = begun(&bench);
    assert!(terminal.look(|s| s.alternate_screen() && s.hide_cursor() && s.bracketed_paste()));
    terminal.keys("\x03");
    terminal.ended_with(0);
    assert!(terminal.is_handed_back());
    assert!(!terminal.shows(FIRST), "the screen is left behind");
    assert!(
        last_line(&bench).ends_with("\"closed\""),
        "{}",
        last_line(&bench)
    );
}

#[test]
fn a_request_to_end_is_followed_in_good_order() {
    for name in ["TERM", "INT", "QUIT"] {
        let bench = Bench::with_sample(SAMPLE);
        let mut terminal = begun(&bench);
        terminal.signal(name);
        terminal.ended_with(0);
        assert!(terminal.is_handed_back(), "after {name}");
        assert!(last_line(&bench).ends_with("\"closed\""), "after {name}");
    }
}

/// Set in the process that [`a_closed_window_ends_the_program_at_once`] starts.
const WINDOW: &str = "ANVILSIDE_TEST_WINDOW";

#[test]
fn be_a_window_when_told_to() {
    let Ok(script) = std::env::var(WINDOW) else {
        return;
    };
    let bench = Bench::here();
    let mut command = bench.command("sh");
    command.args(["-c", &script]);
    let terminal = Terminal::start(command);
    terminal.wait(FIRST);
    terminal.quiet();
    std::fs::File::create(bench.path("up")).unwrap();
    thread::sleep(Duration::from_secs(60));
}

#[test]
fn a_closed_window_ends_the_program_at_once() {
    let program = env!("CARGO_BIN_EXE_anvilside");
    for script in [
        // alone in its window: the signal comes
        format!("echo $$ > id; exec '{program}' work plan.toml"),
        // alone, under one that has the signal ignored
        format!("trap '' HUP; echo $$ > id; exec '{program}' work plan.toml"),
        // behind one that stays, so that no signal comes
        format!("trap '' HUP; '{program}' work plan.toml; echo $? > status"),
    ] {
        let bench = Bench::with_sample(SAMPLE);
        let mut window = Command::new(std::env::current_exe().unwrap())
            .args([
                "--exact",
                "leaving::be_a_window_when_told_to",
                "--nocapture",
            ])
            .current_dir(bench.path("."))
            .env(WINDOW, &script)
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        soon("the screen", || bench.path("up").exists());
        window.kill().unwrap();
        window.wait().unwrap();
        let begun = Instant::now();
        soon("the end", || last_line(&bench).ends_with("\"closed\""));
        if script.contains("status") {
            soon("the status", || bench.read("status") == "0\n");
        } else {
            let id = bench.read("id");
            soon("the end of the process", || has_ended(id.trim()));
        }
        let took = begun.elapsed();
        assert!(took < Duration::from_millis(1500), "{took:?}: {script}");
        assert!(!bench.names().iter().any(|name| name.contains("crash")));
    }
}

#[test]
fn a_failure_in_any_thread_hands_the_terminal_back_and_leaves_a_note() {
    for place in ["main", "worker"] {
        let bench = Bench::with_sample(SAMPLE);
        let mut terminal = Terminal::start(bench.work(&["--crash", place]));
        terminal.wait(FIRST);
        terminal.ended_with(101);
        assert!(terminal.is_handed_back(), "in {place}");
        terminal.wait("start it again to go on");
        assert!(!terminal.shows(FIRST), "no frame follows, in {place}");
        let note = std::fs::read_to_string(bench.path("plan.journal.crash-1")).unwrap();
        assert!(note.contains("failed on purpose") && note.contains(&format!("thread {place}")));
        // and goes on
        let terminal = Terminal::start(bench.work(&[]));
        terminal.wait(FIRST);
    }
}

#[test]
fn stopped_by_a_key_and_brought_back_by_the_shell() {
    let bench = Bench::with_sample(SAMPLE);
    let mut command = bench.command("sh");
    command.arg("-i");
    let mut terminal = Terminal::start(command);
    terminal.wait("shell>");
    let program = env!("CARGO_BIN_EXE_anvilside");
    terminal.keys(&format!("'{program}' work plan.toml\n"));
    terminal.wait(FIRST);
    terminal.quiet();
    let before = terminal.text();
    for resize in [false, true] {
        terminal.keys("\x1a");
        terminal.until("the shell's own screen", |s| !s.alternate_screen());
        terminal.keys("echo back in the $0\n");
        terminal.wait("back in the sh");
        if resize {
            terminal.resize(100, 30);
        }
        terminal.keys("fg\n");
        terminal.wait(FIRST);
        terminal.quiet();
        if !resize {
            assert_eq!(terminal.text(), before);
        }
        assert!(terminal.look(|s| s.alternate_screen() && s.hide_cursor() && s.bracketed_paste()));
    }
    let wide = |line: &str| line.chars().count() > 90;
    let text = terminal.text();
    assert!(
        text.lines().any(wide),
        "not drawn for the new size:\n{text}"
    );
    terminal.keys("\x03");
    terminal.until("the shell's own screen", |s| !s.alternate_screen());
    terminal.keys("exit\n");
    terminal.ended();
}

#[test]
fn a_stop_from_outside_is_survived() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = begun(&bench);
    terminal.quiet();
    let before = terminal.text();
    terminal.signal("STOP");
    // what a shell may do meanwhile
    let drawn = terminal.bytes().len();
    terminal.signal("CONT");
    terminal.poll("a new frame", || terminal.bytes().len() > drawn + 500);
    terminal.quiet();
    assert_eq!(terminal.text(), before);
    terminal.keys("\x03");
    terminal.ended_with(0);
    assert!(terminal.is_handed_back());
}

#[test]
fn nothing_is_stopped_where_nobody_could_bring_it_back() {
    let bench = Bench::with_sample(SAMPLE);
    let mut terminal = begun(&bench);
    terminal.keys("\x1a");
    terminal.signal("TSTP");
    terminal.quiet();
    terminal.keys("\x03");
    terminal.ended_with(0);
}

#[test]
fn without_a_terminal_it_says_so() {
    let bench = Bench::with_sample(SAMPLE);
    let output = Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(["work", "plan.toml"])
        .current_dir(bench.path("."))
        .env("ANVILSIDE_STATE", bench.path("state"))
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    let text = String::from_utf8(output.stderr).unwrap();
    assert!(text.contains("needs a terminal"), "{text}");
    assert!(output.stdout.is_empty());
    assert_eq!(bench.names(), ["plan.toml"], "something is left behind");
}

#[test]
fn an_idle_screen_costs_nothing() {
    let bench = Bench::with_sample(SAMPLE);
    let terminal = begun(&bench);
    // what is worked beside the drawing is done
    let settled = std::cell::Cell::new((0, Instant::now()));
    terminal.poll("a settled screen", || {
        let bytes = terminal.bytes().len();
        if settled.get().0 != bytes {
            settled.set((bytes, Instant::now()));
        }
        settled.get().1.elapsed() > Duration::from_secs(2)
    });
    let (ticks, bytes) = (cpu_ticks(terminal.id()), terminal.bytes().len());
    thread::sleep(Duration::from_secs(4));
    assert_eq!(terminal.bytes().len(), bytes, "nothing is drawn");
    let used = cpu_ticks(terminal.id()) - ticks;
    assert!(used <= 1, "{used} ticks of 10 ms");
    signal(terminal.id(), "TERM");
}

#[test]
fn a_plan_that_cannot_be_begun_leaves_nothing_behind() {
    let bench = Bench::with_sample(SAMPLE);
    std::fs::write(bench.path("odd.toml"), "title = 3\n").unwrap();
    for name in ["typo.toml", "odd.toml"] {
        let mut terminal = Terminal::start(bench.program(&["work", name]));
        terminal.ended_with(1);
        terminal.wait(name);
        assert_eq!(bench.names(), ["odd.toml", "plan.toml"]);
    }
}

/// A terminal that takes no more bytes: nobody reads what it is sent.
struct Stuck {
    child: Box<dyn portable_pty::Child + Send + Sync>,
    keys: Box<dyn std::io::Write + Send>,
    _master: Box<dyn portable_pty::MasterPty + Send>,
}

fn stuck(bench: &Bench) -> Stuck {
    use std::io::Write;
    let size = portable_pty::PtySize {
        rows: 60,
        cols: 200,
        pixel_width: 0,
        pixel_height: 0,
    };
    let pty = portable_pty::native_pty_system().openpty(size).unwrap();
    let mut command = bench.work(&["--graphics", "blocks"]);
    command.env("TERM", "xterm-256color");
    let child = pty.slave.spawn_command(command).unwrap();
    drop(pty.slave);
    let mut keys = pty.master.take_writer().unwrap();
    soon("the journal", || bench.journal().lines().count() >= 2);
    // drawn anew again and again until nothing more goes out
    for _ in 0..60 {
        keys.write_all(b"\x0c").unwrap();
        thread::sleep(Duration::from_millis(20));
    }
    Stuck {
        child,
        keys,
        _master: pty.master,
    }
}

#[test]
fn a_terminal_that_takes_nothing_holds_nobody() {
    use std::io::Write;
    for way in ["TERM", "HUP", "key"] {
        let bench = Bench::with_sample(SAMPLE);
        let mut stuck = stuck(&bench);
        let id = stuck.child.process_id().unwrap();
        assert!(stuck.child.try_wait().unwrap().is_none());
        let begun = Instant::now();
        match way {
            "key" => stuck.keys.write_all(b"\x03").unwrap(),
            name => signal(id, name),
        }
        soon("the end", || has_ended(&id.to_string()));
        let took = begun.elapsed();
        // 800 ms where the machine has time
        assert!(took < Duration::from_millis(2500), "{took:?} after {way}");
        stuck.child.wait().unwrap();
        assert!(last_line(&bench).ends_with("\"closed\""), "after {way}");
    }
}

#[test]
fn a_terminal_of_any_size_is_drawn_and_left() {
    use std::io::{Read, Write};
    for (rows, cols) in [(u16::MAX, u16::MAX), (1000, 20_000)] {
        let bench = Bench::with_sample(SAMPLE);
        let size = portable_pty::PtySize {
            rows,
            cols,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pty = portable_pty::native_pty_system().openpty(size).unwrap();
        let mut command = bench.work(&["--graphics", "blocks"]);
        command.env("TERM", "xterm-256color");
        let mut child = pty.slave.spawn_command(command).unwrap();
        drop(pty.slave);
        let mut from = pty.master.try_clone_reader().unwrap();
        thread::spawn(move || std::io::copy(&mut from.by_ref(), &mut std::io::sink()));
        soon("the journal", || bench.journal().lines().count() >= 2);
        thread::sleep(Duration::from_millis(500));
        let id = child.process_id().unwrap();
        let status = std::fs::read_to_string(format!("/proc/{id}/status")).unwrap();
        let peak = status
            .lines()
            .find(|line| line.starts_with("VmHWM"))
            .unwrap();
        let kilobytes: u64 = peak.split_whitespace().nth(1).unwrap().parse().unwrap();
        // a whole screen of that size would take gigabytes
        assert!(kilobytes < 128 << 10, "{cols} x {rows}: {kilobytes} kB");
        pty.master
            .take_writer()
            .unwrap()
            .write_all(b"\x03")
            .unwrap();
        assert!(child.wait().unwrap().success(), "{cols} x {rows}");
    }
}
