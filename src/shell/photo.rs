//! Photographs from the disk as shades of grey: bounded in bytes, pixels and time, turned as the phone held it.

use std::io::{Cursor, ErrorKind};
use std::path::Path;

use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use super::disk::{Disk, RealDisk};
use super::trouble::PhotoFault::{self, Short};
use super::trouble::Trouble;
use crate::count::{Grey, Photo};

/// Largest file that is read: a phone's largest are a tenth of it.
const MOST_BYTES: u64 = 64 << 20;
/// Most pixels that are decoded; a grey picture of so many takes 50 MB.
const MOST_PIXELS: usize = 50_000_000;
/// Most pixels where all of the picture must be held several times over while it is decoded.
const MOST_WHOLE: usize = 24_000_000;
/// Longest side.
const LONGEST: usize = 16_384;

/// Reads a photograph.
///
/// # Errors
/// [`Trouble`].
pub fn read(path: &Path) -> Result<Photo, Trouble> {
    let no_photo = |why| Trouble::Photo {
        path: path.to_owned(),
        why,
    };
    let bytes = match RealDisk.read(path, MOST_BYTES) {
        Ok(Some(bytes)) => bytes,
        Ok(None) => return Err(Trouble::read(path)(ErrorKind::NotFound.into())),
        Err(why) if why.kind() == ErrorKind::FileTooLarge => {
            return Err(no_photo(PhotoFault::TooLarge(MOST_BYTES >> 20)));
        }
        Err(why) => return Err(Trouble::read(path)(why)),
    };
    Ok(Photo {
        grey: decode(&bytes).map_err(no_photo)?,
        checksum: crc32fast::hash(&bytes),
    })
}

/// The shades of a file's bytes.
fn decode(bytes: &[u8]) -> Result<Grey, PhotoFault> {
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        jpeg(bytes)
    } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        png(bytes)
    } else if bytes.get(4..8) == Some(b"ftyp") {
        Err(PhotoFault::OtherKind)
    } else {
        Err(PhotoFault::NoPhoto)
    }
}

fn fits(wide: usize, high: usize, most: usize) -> Result<(), PhotoFault> {
    let pixels = wide.saturating_mul(high);
    if wide == 0 || high == 0 || wide > LONGEST || high > LONGEST || pixels > most {
        let millions = most / 1_000_000;
        return Err(PhotoFault::Pixels {
            wide,
            high,
            millions,
        });
    }
    Ok(())
}

fn jpeg(bytes: &[u8]) -> Result<Grey, PhotoFault> {
    let options = DecoderOptions::default()
        .set_max_width(LONGEST)
        .set_max_height(LONGEST)
        .jpeg_set_out_colorspace(ColorSpace::Luma);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(|_| Short)?;
    let info = decoder.info().ok_or(Short)?;
    let (wide, high) = (usize::from(info.width), usize::from(info.height));
    let baseline = format!("{:?}", info.sof).contains("Baseline");
    fits(wide, high, if baseline { MOST_PIXELS } else { MOST_WHOLE })?;
    if !ends(bytes) {
        return Err(Short);
    }
    let shades = decoder.decode().map_err(|_| Short)?;
    let turn = decoder.exif().map_or(1, |exif| orientation(exif));
    turned(Grey { wide, high, shades }, turn)
}

/// True when the end marker comes after the start of the picture's own data.
fn ends(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some([0xff, marker, high, low]) = bytes.get(at..at + 4) {
        if *marker == 0xda {
            let rest = bytes.get(at..).unwrap_or(&[]);
            return rest.windows(2).any(|two| two == [0xff, 0xd9]);
        }
        at += 2 + usize::from(u16::from_be_bytes([*high, *low]));
    }
    false
}

fn png(bytes: &[u8]) -> Result<Grey, PhotoFault> {
    let limits = png::Limits { bytes: 64 << 20 };
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), limits);
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().map_err(|_| Short)?;
    let info = reader.info();
    let (wide, high) = (info.width as usize, info.height as usize);
    let turn = info
        .exif_metadata
        .as_ref()
        .map_or(1, |exif| orientation(exif));
    let whole = info.interlaced;
    fits(wide, high, if whole { MOST_WHOLE } else { MOST_PIXELS })?;
    let samples = reader.output_color_type().0.samples();
    let mut shades = Vec::with_capacity(wide * high);
    if whole {
        let mut all = vec![0; reader.output_buffer_size().ok_or(Short)?];
        reader.next_frame(&mut all).map_err(|_| Short)?;
        shades.extend(all.chunks_exact(samples).map(luma));
    } else {
        while let Some(row) = reader.next_row().map_err(|_| Short)? {
            shades.extend(row.data().chunks_exact(samples).map(luma));
        }
    }
    turned(Grey { wide, high, shades }, turn)
}

/// The shade of grey, grey and alpha, or colours: the weights of ITU-R BT.601 (from memory).
fn luma(samples: &[u8]) -> u8 {
    match samples {
        [red, green, blue, ..] => {
            let [red, green, blue] = [red, green, blue].map(|colour| u32::from(*colour));
            u8::try_from((299 * red + 587 * green + 114 * blue + 500) / 1000).unwrap_or(u8::MAX)
        }
        [grey, ..] => *grey,
        [] => 0,
    }
}

/// Tag 274 of the first directory of a TIFF header, as CIPA DC-008 (Exif) has it (from memory): 1 to 8.
fn orientation(exif: &[u8]) -> u8 {
    let exif = exif.strip_prefix(b"Exif\0\0").unwrap_or(exif);
    let little = exif.starts_with(b"II");
    let short = |at: usize| {
        let two: [u8; 2] = exif.get(at..at + 2)?.try_into().ok()?;
        Some(if little {
            u16::from_le_bytes(two)
        } else {
            u16::from_be_bytes(two)
        })
    };
    let long = |at: usize| {
        let four: [u8; 4] = exif.get(at..at + 4)?.try_into().ok()?;
        usize::try_from(if little {
            u32::from_le_bytes(four)
        } else {
            u32::from_be_bytes(four)
        })
        .ok()
    };
    let found = || {
        let first = long(4)?;
        let rows = usize::from(short(first)?);
        let row = (0..rows)
            .map(|row| first + 2 + 12 * row)
            .find(|row| short(*row) == Some(274))?;
        u8::try_from(short(row + 8)?).ok()
    };
    found().filter(|turn| (1..=8).contains(turn)).unwrap_or(1)
}

/// The picture the way up that its orientation says.
fn turned(grey: Grey, turn: u8) -> Result<Grey, PhotoFault> {
    let Grey { wide, high, shades } = grey;
    if shades.len() != wide * high {
        return Err(Short);
    }
    if turn == 1 {
        return Ok(Grey { wide, high, shades });
    }
    let (across, down) = if turn >= 5 {
        (high, wide)
    } else {
        (wide, high)
    };
    let from = |x: usize, y: usize| match turn {
        2 => (wide - 1 - x, y),
        3 => (wide - 1 - x, high - 1 - y),
        4 => (x, high - 1 - y),
        5 => (y, x),
        6 => (y, high - 1 - x),
        7 => (wide - 1 - y, high - 1 - x),
        _ => (wide - 1 - y, x),
    };
    let places = (0..down).flat_map(|y| (0..across).map(move |x| (x, y)));
    let out = places.map(|(x, y)| {
        let (x, y) = from(x, y);
        shades.get(y * wide + x).copied().unwrap_or(0)
    });
    Ok(Grey {
        wide: across,
        high: down,
        shades: out.collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exif(turn: u8) -> Vec<u8> {
        let mut out = b"Exif\0\0MM\0*\0\0\0\x08\0\x01".to_vec();
        out.extend([1, 18, 0, 3, 0, 0, 0, 1, 0, turn, 0, 0, 0, 0, 0, 0]);
        out
    }

    #[test]
    fn orientations_turn_the_corner_as_the_standard_says() {
        // CIPA DC-008, from memory: where row 0, column 0 of the file lies in the picture seen
        let corners = [
            (1, 0),
            (2, 2),
            (3, 5),
            (4, 3),
            (5, 0),
            (6, 1),
            (7, 5),
            (8, 4),
        ];
        for (turn, place) in corners {
            assert_eq!(orientation(&exif(turn)), turn);
            let grey = Grey {
                wide: 3,
                high: 2,
                shades: vec![9, 1, 2, 3, 4, 5],
            };
            let seen = turned(grey, turn).unwrap();
            assert_eq!(
                seen.shades.iter().position(|s| *s == 9),
                Some(place),
                "{turn}"
            );
            assert_eq!(seen.wide, if turn >= 5 { 2 } else { 3 });
        }
        assert_eq!(orientation(b"II"), 1);
        assert_eq!(orientation(&exif(77)), 1);
    }

    #[test]
    fn hostile_files_are_refused_in_words() {
        let mut bomb =
            b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\xff\xff\xff\x7f\xff\xff\xff\x7f\x08\0\0\0\0".to_vec();
        let crc = crc32fast::hash(&bomb[12..]);
        bomb.extend(crc.to_be_bytes());
        for bytes in [
            &b"\xff\xd8\xff"[..],
            &b"\xff\xd8\xff\xe0\0\x10JFIF\0"[..],
            &b"GIF89a"[..],
            &b"\0\0\0\x18ftypheic"[..],
            &bomb,
            &b""[..],
        ] {
            let why = decode(bytes).unwrap_err().to_string();
            assert!(why.len() > 20, "{why}");
        }
    }
}
