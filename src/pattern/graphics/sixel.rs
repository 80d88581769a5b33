//! Sixel graphics (DEC VT300 series programmer's reference, from memory): bands of six rows, one
//! pass for each colour, runs counted.

use crate::pattern::picture::Picture;
use crate::pattern::tone::screen;

/// Greys of the palette; what is off the metal stays as the screen is.
const GREYS: u16 = 16;

/// Shows a picture at the cursor at its own size in dots.
#[must_use]
pub fn sixel(picture: &Picture) -> Vec<u8> {
    // 1;1: square dots, what is not painted stays.
    let mut out = format!("\x1bP0;1;0q\"1;1;{};{}", picture.width, picture.height);
    for grey in 0..GREYS {
        let percent = grey * 100 / (GREYS - 1);
        out.push_str(&format!("#{grey};2;{percent};{percent};{percent}"));
    }
    for top in (0..picture.height).step_by(6) {
        for grey in 0..GREYS {
            let line = (0..picture.width).map(|x| bits(picture, x, top, grey));
            if let Some(painted) = runs(line) {
                out.push_str(&format!("#{grey}{painted}$"));
            }
        }
        out.push('-');
    }
    out.push_str("\x1b\\");
    out.into_bytes()
}

/// Which of six dots down from `top` are of a grey.
fn bits(picture: &Picture, x: u32, top: u32, grey: u16) -> u8 {
    (0..6_u32)
        .filter(|row| {
            picture.at(x, top + row).is_some_and(|pixel| {
                let step = (u16::from(screen(f64::from(pixel.light))) * (GREYS - 1) + 127) / 255;
                pixel.metal >= 128 && step == grey
            })
        })
        .fold(0, |bits, row| bits | (1 << row))
}

/// The line in sixel letters with runs counted; none when nothing is painted.
fn runs(line: impl Iterator<Item = u8>) -> Option<String> {
    let mut out = String::new();
    let mut last: Option<(u8, u32)> = None;
    let mut painted = false;
    for bits in line {
        painted |= bits != 0;
        last = match last {
            Some((same, count)) if same == bits => Some((same, count + 1)),
            Some(run) => {
                write_run(&mut out, run);
                Some((bits, 1))
            }
            None => Some((bits, 1)),
        };
    }
    // Nothing painted at the end of a line needs no letters.
    if let Some(run) = last.filter(|(bits, _)| *bits != 0) {
        write_run(&mut out, run);
    }
    painted.then_some(out)
}

fn write_run(out: &mut String, (bits, count): (u8, u32)) {
    let letter = char::from(63 + bits);
    if count > 3 {
        out.push_str(&format!("!{count}{letter}"));
    } else {
        for _ in 0..count {
            out.push(letter);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pattern::Pixel;
    use crate::units::Mm;

    #[test]
    fn a_white_block_is_one_run_a_band() {
        let white = Pixel {
            light: 1.0,
            metal: 255,
            steel: 0,
        };
        let picture = Picture {
            width: 10,
            height: 8,
            pixels: vec![white; 80],
            mm_per_px: Mm(1.0),
        };
        let text = String::from_utf8(sixel(&picture)).unwrap();
        assert!(text.starts_with("\x1bP0;1;0q\"1;1;10;8#0;2;0;0;0"));
        // Six dots: 63 + 63 = '~'; two dots: 63 + 3 = 'B'.
        assert!(text.ends_with("#15!10~$-#15!10B$-\x1b\\"), "{text:?}");
    }

    #[test]
    fn what_is_off_the_metal_is_not_painted() {
        let picture = Picture {
            width: 4,
            height: 6,
            pixels: vec![Pixel::default(); 24],
            mm_per_px: Mm(1.0),
        };
        let text = String::from_utf8(sixel(&picture)).unwrap();
        assert!(text.ends_with("#15;2;100;100;100-\x1b\\"));
    }
}
