//! A terminal with the real program in it: keys go in, a screen comes out.

use std::fs;
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// Longest wait for anything that must come. Generous: the machine may be busy.
const PATIENCE: Duration = Duration::from_secs(30);
/// Output has stopped when nothing came for so long.
const QUIET: Duration = Duration::from_millis(80);

/// A folder of its own for one test, with a plan in it.
pub(crate) struct Bench {
    folder: PathBuf,
    _dir: Option<tempfile::TempDir>,
}

impl Bench {
    /// With a copy of one of the project's plans as `plan.toml`.
    pub(crate) fn with_sample(name: &str) -> Self {
        let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("plans/{name}.toml"));
        let dir = tempfile::tempdir().unwrap();
        let bench = Self {
            folder: dir.path().to_owned(),
            _dir: Some(dir),
        };
        fs::copy(sample, bench.plan()).unwrap();
        bench
    }

    /// The current folder as it is.
    pub(crate) fn here() -> Self {
        Self {
            folder: std::env::current_dir().unwrap(),
            _dir: None,
        }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    pub(crate) fn plan(&self) -> PathBuf {
        self.path("plan.toml")
    }

    pub(crate) fn journal(&self) -> String {
        self.read("plan.journal")
    }

    /// A file of the folder; nothing when it is not there.
    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_default()
    }

    /// Names of the files in the folder.
    pub(crate) fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.folder).unwrap();
        let mut names: Vec<String> = entries
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// The program with these words behind its name, in this folder.
    pub(crate) fn program(&self, words: &[&str]) -> CommandBuilder {
        let mut command = self.command(env!("CARGO_BIN_EXE_anvilside"));
        command.args(words);
        command
    }

    /// The program at work on the plan.
    pub(crate) fn work(&self, words: &[&str]) -> CommandBuilder {
        let mut all = vec!["work", "plan.toml"];
        all.extend(words);
        self.program(&all)
    }

    /// Any command in this folder, with the same environment whoever runs the test.
    pub(crate) fn command(&self, name: &str) -> CommandBuilder {
        let mut command = CommandBuilder::new(name);
        command.cwd(&self.folder);
        command.env_clear();
        for (key, value) in [
            ("TERM", "xterm-256color"),
            ("LANG", "C.UTF-8"),
            ("TZ", "UTC"),
            ("PATH", "/usr/bin:/bin"),
            ("PS1", "shell> "),
        ] {
            command.env(key, value);
        }
        command.env("HOME", &self.folder);
        command.env("ANVILSIDE_STATE", self.path("state"));
        command
    }
}

/// What the terminal has shown so far.
struct Shown {
    parser: vt100::Parser,
    bytes: Vec<u8>,
    at: Instant,
}

/// A terminal and the process in it. What still runs at the end of a test is killed.
pub(crate) struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    shown: Arc<Mutex<Shown>>,
}

fn size(columns: u16, rows: u16) -> PtySize {
    PtySize {
        rows,
        cols: columns,
        pixel_width: 0,
        pixel_height: 0,
    }
}

fn some(n: u16) -> NonZeroU16 {
    NonZeroU16::new(n).unwrap()
}

impl Terminal {
    /// Starts a command at 80 by 24.
    pub(crate) fn start(command: CommandBuilder) -> Self {
        Self::start_at(command, 80, 24)
    }

    pub(crate) fn start_at(command: CommandBuilder, columns: u16, rows: u16) -> Self {
        let pty = native_pty_system().openpty(size(columns, rows)).unwrap();
        let child = pty.slave.spawn_command(command).unwrap();
        // else the reader would never see the end
        drop(pty.slave);
        let mut reader = pty.master.try_clone_reader().unwrap();
        let keys = pty.master.take_writer().unwrap();
        let shown = Arc::new(Mutex::new(Shown {
            parser: vt100::Parser::new(some(rows), some(columns), 0),
            bytes: Vec::new(),
            at: Instant::now(),
        }));
        let into = Arc::clone(&shown);
        thread::spawn(move || {
            let mut buffer = [0; 65536];
            while let Ok(n @ 1..) = reader.read(&mut buffer) {
                let mut shown = into.lock().unwrap();
                shown.parser.process(&buffer[..n]);
                shown.bytes.extend_from_slice(&buffer[..n]);
                shown.at = Instant::now();
            }
        });
        Self {
            child,
            master: pty.master,
            keys,
            shown,
        }
    }

    /// Something of the screen.
    pub(crate) fn look<T>(&self, look: impl FnOnce(&vt100::Screen) -> T) -> T {
        look(self.shown.lock().unwrap().parser.screen())
    }

    /// The screen's text.
    pub(crate) fn text(&self) -> String {
        self.look(vt100::Screen::contents)
    }

    /// True when the text is on the screen, whatever lines it is broken over.
    pub(crate) fn shows(&self, text: &str) -> bool {
        self.text().contains(text)
    }

    /// Bytes sent by the program since the start.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        self.shown.lock().unwrap().bytes.clone()
    }

    /// Waits until the screen is as wanted; stops the test with the screen when it does not come.
    pub(crate) fn until(&self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) {
        self.poll(what, || self.look(&wanted));
    }

    /// Waits for a text on the screen.
    pub(crate) fn wait(&self, text: &str) {
        self.poll(&format!("{text:?} on the screen"), || self.shows(text));
    }

    /// Waits for anything.
    pub(crate) fn poll(&self, what: &str, done: impl Fn() -> bool) {
        let begun = Instant::now();
        while !done() {
            let text = self.text();
            assert!(
                begun.elapsed() < PATIENCE,
                "waited in vain for {what}; the screen:\n{text}"
            );
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Waits until nothing more comes.
    pub(crate) fn quiet(&self) {
        self.poll("quiet", || self.shown.lock().unwrap().at.elapsed() > QUIET);
    }

    /// Types.
    pub(crate) fn keys(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    pub(crate) fn resize(&self, columns: u16, rows: u16) {
        // the screen first: what the program draws afterwards is meant for the new size
        let mut shown = self.shown.lock().unwrap();
        shown
            .parser
            .screen_mut()
            .set_size(some(rows), some(columns));
        self.master.resize(size(columns, rows)).unwrap();
    }

    /// True while the terminal is as a shell wants it: line by line, with echo, ordinary screen, cursor
    /// and paste.
    pub(crate) fn is_handed_back(&self) -> bool {
        // The last bytes may still be on their way here when the program has ended.
        let begun = Instant::now();
        while !self.is_ordinary() {
            if begun.elapsed() > Duration::from_secs(3) {
                return false;
            }
            thread::sleep(Duration::from_millis(5));
        }
        true
    }

    fn is_ordinary(&self) -> bool {
        let modes = self.master.get_termios().unwrap();
        let modes = format!("{:?}", modes.local_flags);
        let cooked = ["ICANON", "ECHO", "ISIG"].iter().all(|m| modes.contains(m));
        cooked && self.look(|s| !s.alternate_screen() && !s.hide_cursor() && !s.bracketed_paste())
    }

    pub(crate) fn id(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// Sends a signal, as `TERM`, to the process that was started.
    pub(crate) fn signal(&self, name: &str) {
        signal(self.id(), name);
    }

    /// The exit status, soon.
    pub(crate) fn ended(&mut self) -> ExitStatus {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status;
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "it does not end:\n{}",
                self.text()
            );
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Waits for the end and for the last of the output.
    pub(crate) fn ended_with(&mut self, code: u32) {
        let status = self.ended();
        self.quiet();
        assert_eq!(
            (status.exit_code(), status.signal()),
            (code, None),
            "the screen:\n{}",
            self.text()
        );
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // it may have ended already
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Waits for anything that must come.
pub(crate) fn soon(what: &str, done: impl Fn() -> bool) {
    let begun = Instant::now();
    while !done() {
        assert!(begun.elapsed() < PATIENCE, "waited in vain for {what}");
        thread::sleep(Duration::from_millis(5));
    }
}

/// Sends a signal to a process.
pub(crate) fn signal(process: u32, name: &str) {
    let sent = Command::new("kill")
        .args([format!("-{name}"), process.to_string()])
        .status()
        .unwrap();
    assert!(sent.success());
}

/// Clock ticks of CPU that a process has used: fields 14 and 15 of `/proc/<pid>/stat`, see proc(5).
pub(crate) fn cpu_ticks(process: u32) -> u64 {
    let stat = fs::read_to_string(format!("/proc/{process}/stat")).unwrap();
    let (_, behind) = stat.rsplit_once(')').unwrap();
    let fields: Vec<&str> = behind.split_ascii_whitespace().collect();
    fields[11].parse::<u64>().unwrap() + fields[12].parse::<u64>().unwrap()
}

/// True when the process is gone, or waits for a parent to take note of it.
pub(crate) fn has_ended(process: &str) -> bool {
    fs::read_to_string(format!("/proc/{process}/stat")).map_or(true, |stat| stat.contains(") Z "))
}
