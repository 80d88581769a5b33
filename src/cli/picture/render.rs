//! Rows over threads, with a progress bar and a way to stop.

use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use crate::pattern::{Picture, Pixel, Scene};
use crate::shell::clock::Clock;
use crate::shell::signals;

/// Rows that one thread takes at a time.
const BLOCK: u32 = 16;
/// A progress bar is shown for work that lasts longer than this.
const SOON_MS: u64 = 400;
/// Letters of the bar.
const WIDE: usize = 40;

/// The work was broken off.
#[derive(Debug, thiserror::Error)]
#[error("stopped; nothing was written")]
pub(super) struct Stopped;

/// Makes pictures out of scenes.
#[derive(Debug)]
pub(super) struct Render {
    samples: u32,
    threads: usize,
    stop: Arc<AtomicBool>,
    clock: Clock,
    /// A terminal reads the progress.
    watched: bool,
}

impl Render {
    /// With at least so many samples in a pixel that something breaks off in.
    pub(super) fn new(samples: u32) -> std::io::Result<Self> {
        let threads = std::thread::available_parallelism().map_or(2, |n| n.get().clamp(1, 8));
        Ok(Self {
            samples,
            threads,
            stop: signals::interrupted()?,
            clock: Clock::start(),
            watched: std::io::stderr().is_terminal(),
        })
    }

    /// Beside other work: no progress bar, and no signal stops it.
    pub(super) fn beside(samples: u32) -> Self {
        Self {
            samples,
            threads: 1,
            stop: Arc::default(),
            clock: Clock::start(),
            watched: false,
        }
    }

    /// True when the smith has asked to stop.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// Draws one scene; `done` and `of` are for the bar.
    pub(super) fn picture(&self, scene: Scene, done: usize, of: usize) -> Result<Picture, Stopped> {
        let scene = &scene.with_samples(self.samples);
        let [_, height] = scene.size();
        let blocks = height.div_ceil(BLOCK);
        let next = AtomicU32::new(0);
        let (to, from) = channel();
        let mut parts: Vec<Vec<Pixel>> = (0..blocks).map(|_| Vec::new()).collect();
        std::thread::scope(|threads| {
            for _ in 0..self.threads {
                let (to, next) = (to.clone(), &next);
                threads.spawn(move || {
                    while !self.is_stopped() {
                        let block = next.fetch_add(1, Ordering::Relaxed);
                        if block >= blocks {
                            return;
                        }
                        let top = block * BLOCK;
                        let rows = scene.render_rows(top..(top + BLOCK).min(height));
                        // nobody listens once the work was broken off
                        let _ = to.send((block, rows));
                    }
                });
            }
            drop(to);
            let mut here = 0_usize;
            loop {
                match from.recv_timeout(Duration::from_millis(100)) {
                    Ok((block, rows)) => {
                        if let Some(part) = parts.get_mut(block as usize) {
                            *part = rows;
                        }
                        here += 1;
                    }
                    Err(RecvTimeoutError::Timeout) => {}
                    Err(RecvTimeoutError::Disconnected) => break,
                }
                self.show(done, here, blocks as usize, of);
            }
        });
        if self.is_stopped() {
            return Err(Stopped);
        }
        // Each part is let go as soon as it is in.
        let mut pixels = Vec::with_capacity(parts.iter().map(Vec::len).sum());
        for part in parts {
            pixels.extend(part);
        }
        Ok(scene.picture(pixels))
    }

    fn show(&self, done: usize, here: usize, blocks: usize, of: usize) {
        if !self.watched || self.clock.elapsed_ms() < SOON_MS {
            return;
        }
        let whole = of.max(1) * blocks.max(1);
        let so_far = (done * blocks.max(1) + here).min(whole);
        let full = WIDE * so_far / whole;
        let bar = "#".repeat(full) + &".".repeat(WIDE - full);
        let mut to = std::io::stderr().lock();
        // a bar that cannot be shown is no reason to stop
        let _ = write!(to, "\r[{bar}] {:>3} %", 100 * so_far / whole);
        let _ = to.flush();
    }

    /// Takes the bar away.
    pub(super) fn end(&self) {
        if self.watched && self.clock.elapsed_ms() >= SOON_MS {
            let mut to = std::io::stderr().lock();
            let _ = write!(to, "\r{:width$}\r", "", width = WIDE + 10);
            let _ = to.flush();
        }
    }
}
