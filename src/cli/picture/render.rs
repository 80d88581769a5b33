//! Rows over threads, with a progress bar and a way to stop.

use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use crate::pattern::{MOST_PIXELS, Picture, Pixel, Scene};
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
    /// Samples along one side of a pixel.
    finer: u32,
    threads: usize,
    stop: Arc<AtomicBool>,
    clock: Clock,
    /// A terminal reads the progress.
    watched: bool,
}

impl Render {
    /// With at least so many samples a pixel.
    pub(super) fn new(samples: u32) -> std::io::Result<Self> {
        let finer = (1..=8).find(|n| n * n >= samples).unwrap_or(8);
        let threads = std::thread::available_parallelism().map_or(2, |n| n.get().clamp(1, 8));
        Ok(Self {
            finer,
            threads,
            stop: signals::interrupted()?,
            clock: Clock::start(),
            watched: std::io::stderr().is_terminal(),
        })
    }

    /// True when the smith has asked to stop.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// How much finer than the picture the scene has to be.
    pub(super) fn fine(&self, size: [u32; 2]) -> Result<[u32; 2], String> {
        let fine = size.map(|side| side.saturating_mul(self.finer));
        if fine.iter().any(|side| *side > MOST_PIXELS) {
            let [w, h] = size;
            return Err(format!(
                "{w} x {h} pixels at {} samples are too many; take fewer samples or a smaller size",
                self.finer * self.finer
            ));
        }
        Ok(fine)
    }

    /// Draws one scene of [`Render::fine`] size; `done` and `of` are for the bar.
    pub(super) fn picture(
        &self,
        scene: &Scene,
        done: usize,
        of: usize,
    ) -> Result<Picture, Stopped> {
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
        Ok(coarser(scene.picture(parts.concat()), self.finer))
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

/// Every `finer` x `finer` pixels as one.
fn coarser(fine: Picture, finer: u32) -> Picture {
    if finer <= 1 {
        return fine;
    }
    let (width, height) = (fine.width / finer, fine.height / finer);
    let mut pixels = Vec::with_capacity(width as usize * height as usize);
    for y in 0..height {
        for x in 0..width {
            let cell = (0..finer * finer)
                .filter_map(|n| fine.at(x * finer + n % finer, y * finer + n / finer));
            let (mut light, mut metal) = (0.0_f32, 0_u32);
            for pixel in cell {
                light += pixel.light * f32::from(pixel.metal);
                metal += u32::from(pixel.metal);
            }
            #[expect(clippy::cast_precision_loss, reason = "at most 64 times 255")]
            let weight = metal.max(1) as f32;
            let middle = fine.at(x * finer + finer / 2, y * finer + finer / 2);
            pixels.push(Pixel {
                light: light / weight,
                metal: u8::try_from((metal + finer * finer / 2) / (finer * finer))
                    .unwrap_or(u8::MAX),
                steel: middle.map_or(Pixel::NONE, |pixel| pixel.steel),
            });
        }
    }
    Picture {
        width,
        height,
        pixels,
        mm_per_px: fine.mm_per_px * f64::from(finer),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    #[test]
    fn coarser_pixels_are_means_by_metal() {
        let pixel = |light: f32, metal: u8| Pixel {
            light,
            metal,
            steel: 0,
        };
        let fine = Picture {
            width: 2,
            height: 2,
            pixels: vec![
                pixel(0.2, 255),
                pixel(0.6, 255),
                pixel(0.9, 0),
                pixel(0.9, 0),
            ],
            mm_per_px: Mm(0.1),
        };
        let one = coarser(fine, 2);
        assert_eq!((one.width, one.height), (1, 1));
        assert!((one.pixels[0].light - 0.4).abs() < 1e-6);
        assert_eq!(one.pixels[0].metal, 128);
        assert!((one.mm_per_px.0 - 0.2).abs() < 1e-12);
    }
}
