//! Grey pictures: samples between pixels, and the same picture at half the size.

/// A picture in shades of grey, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grey {
    /// Pixels across.
    pub wide: usize,
    /// Pixels down.
    pub high: usize,
    /// One byte a pixel.
    pub shades: Vec<u8>,
}

/// A photograph that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its shades, the way up that the phone says.
    pub grey: Grey,
    /// CRC-32 of the file.
    pub checksum: u32,
}

impl Grey {
    /// Mean shades of so many pixels across and down of a part of the picture: from one corner to the other,
    /// pixels.
    #[must_use]
    pub fn reduced(&self, [left, top, right, bottom]: [f32; 4], wide: usize, high: usize) -> Self {
        let edge = |from: f32, to: f32, at: usize, of: usize| {
            from + (to - from) * at as f32 / of.max(1) as f32
        };
        let mut shades = Vec::with_capacity(wide * high);
        for row in 0..high {
            let rows = span(
                edge(top, bottom, row, high),
                edge(top, bottom, row + 1, high),
            );
            for column in 0..wide {
                let (a, b) = (
                    edge(left, right, column, wide),
                    edge(left, right, column + 1, wide),
                );
                let columns = span(a, b);
                let (mut sum, mut count) = (0.0, 0.0);
                for y in rows.clone() {
                    for x in columns.clone() {
                        sum += self.shade(x, y);
                        count += 1.0;
                    }
                }
                shades.push(byte(sum / f32::max(count, 1.0)));
            }
        }
        Self { wide, high, shades }
    }

    /// A strip along a line: so many pixels along it and across it, `reach` pixels to either side.
    #[must_use]
    pub fn strip(
        &self,
        from: [f32; 2],
        to: [f32; 2],
        reach: f32,
        wide: usize,
        high: usize,
    ) -> Self {
        let length = (to[0] - from[0]).hypot(to[1] - from[1]).max(1e-3);
        let on = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
        let mut shades = Vec::with_capacity(wide * high);
        for row in 0..high {
            let aside = reach * (2.0 * (row as f32 + 0.5) / high.max(1) as f32 - 1.0);
            for column in 0..wide {
                let at = length * (column as f32 + 0.5) / wide.max(1) as f32;
                let x = from[0] + on[0] * at - on[1] * aside;
                let y = from[1] + on[1] * at + on[0] * aside;
                shades.push(byte(self.sample(x, y).unwrap_or(0.0)));
            }
        }
        Self { wide, high, shades }
    }

    /// The shade at a pixel; beyond the border that of the border.
    #[must_use]
    pub fn shade(&self, x: isize, y: isize) -> f32 {
        let inside = |at: isize, size: usize| at.unsigned_abs().min(size.saturating_sub(1));
        let x = inside(x.max(0), self.wide);
        let y = inside(y.max(0), self.high);
        self.shades
            .get(y * self.wide + x)
            .map_or(0.0, |shade| f32::from(*shade))
    }

    /// The shade between pixels by the cubic of Catmull and Rom; `None` outside the picture.
    #[inline]
    pub(super) fn sample(&self, x: f32, y: f32) -> Option<f32> {
        if !(x >= 0.0 && y >= 0.0 && x <= self.wide as f32 && y <= self.high as f32) {
            return None;
        }
        let (x, y) = (x - 0.5, y - 0.5);
        let (left, above) = (floor(x), floor(y));
        let across = cubic(x - left as f32);
        let down = cubic(y - above as f32);
        let far = |at: isize, size: usize| at >= 1 && (at + 2).unsigned_abs() < size;
        let inside = far(left, self.wide) && far(above, self.high);
        let mut sum = 0.0;
        if inside {
            let from = (above - 1).unsigned_abs() * self.wide + (left - 1).unsigned_abs();
            let mut rest = self.shades.get(from..).unwrap_or(&[]);
            for weight in down {
                sum += weighed(rest.first_chunk(), across) * weight;
                rest = rest.get(self.wide..).unwrap_or(&[]);
            }
            return Some(sum);
        }
        for (row, weight) in (above - 1..).zip(down) {
            let line: f32 = (left - 1..)
                .zip(across)
                .map(|(x, w)| self.shade(x, row) * w)
                .sum();
            sum += line * weight;
        }
        Some(sum)
    }

    /// Half the size; each pixel the mean of four.
    pub(super) fn halved(&self) -> Self {
        let (wide, high) = (self.wide / 2, self.high / 2);
        let mut shades = Vec::with_capacity(wide * high);
        for pair in self.shades.chunks_exact(2 * self.wide.max(1)) {
            let (upper, lower) = pair.split_at(self.wide);
            let fours = upper.as_chunks().0.iter().zip(lower.as_chunks().0);
            for ([a, b], [c, d]) in fours {
                let sum = u16::from(*a) + u16::from(*b) + u16::from(*c) + u16::from(*d);
                shades.push(u8::try_from((sum + 2) / 4).unwrap_or(u8::MAX));
            }
        }
        Self { wide, high, shades }
    }
}

/// Four shades, each by its weight; nought beyond the picture.
#[inline]
fn weighed(shades: Option<&[u8; 4]>, [a, b, c, d]: [f32; 4]) -> f32 {
    shades.map_or(0.0, |[p, q, r, s]| {
        f32::from(*p) * a + f32::from(*q) * b + f32::from(*r) * c + f32::from(*s) * d
    })
}

/// By a cut: the library's own is a call on processors of the oldest kind that the program runs on.
#[expect(clippy::cast_possible_truncation, reason = "places in a picture")]
#[inline]
fn floor(x: f32) -> isize {
    let cut = x as isize;
    cut.saturating_sub(isize::from(cut as f32 > x))
}

/// The pixels between two places, one at least.
fn span(from: f32, to: f32) -> std::ops::Range<isize> {
    let first = floor(from);
    first..floor(to).max(first + 1)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a shade, held to its range"
)]
fn byte(shade: f32) -> u8 {
    shade.round().clamp(0.0, 255.0) as u8
}

#[inline]
fn cubic(t: f32) -> [f32; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        0.5 * (-t3 + 2.0 * t2 - t),
        0.5 * (3.0 * t3 - 5.0 * t2 + 2.0),
        0.5 * (-3.0 * t3 + 4.0 * t2 + t),
        0.5 * (t3 - t2),
    ]
}
