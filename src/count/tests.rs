//! Pictures by rule, drawn here band by band: what is counted is what was drawn.
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "shades and sizes by rule"
)]

use super::*;

/// A stack of bands of these heights, light and dark by turns, bent by a wave, on a background.
fn stack(heights: &[f32], wave: f32, background: u8) -> Grey {
    let total: f32 = heights.iter().sum();
    let (wide, high) = (200usize, total as usize + 60);
    let shade = |x: usize, y: f32| {
        let bend = wave * (x as f32 / 40.0).sin();
        let mut depth = y - 30.0 + bend;
        if !(30..170).contains(&x) || depth < 0.0 || depth >= total {
            return f32::from(background);
        }
        for (at, height) in heights.iter().enumerate() {
            if depth < *height {
                return if at % 2 == 0 { 70.0 } else { 190.0 };
            }
            depth -= height;
        }
        f32::from(background)
    };
    let places = (0..high).flat_map(|y| (0..wide).map(move |x| (x, y)));
    let shades = places
        .map(|(x, y)| {
            let fine = (0..8).map(|part| shade(x, y as f32 + (part as f32 + 0.5) / 8.0));
            (fine.sum::<f32>() / 8.0) as u8
        })
        .collect();
    Grey { wide, high, shades }
}

/// Uneven heights, the same for the same number.
fn heights(bands: usize, mean: f32) -> Vec<f32> {
    (0..bands)
        .map(|at| mean * (0.75 + 0.5 * ((at * 7919 % 101) as f32 / 100.0)))
        .collect()
}

#[test]
fn straight_and_bent_stacks_are_counted() {
    for (bands, mean, wave) in [
        (9, 14.0, 0.0),
        (31, 7.0, 3.0),
        (41, 6.0, 6.0),
        (61, 4.0, 2.0),
    ] {
        let reading = count(stack(&heights(bands, mean), wave, 240), None).unwrap();
        assert_eq!(reading.bands, bands, "{mean} px, wave {wave}: {reading:?}");
        assert!(reading.low <= bands && bands <= reading.high);
        assert!((reading.mean / mean - 1.0).abs() < 0.08, "{}", reading.mean);
        assert_eq!(reading.borders.len(), bands + 1);
    }
}

#[test]
fn a_line_by_hand_counts_the_same() {
    let photo = stack(&heights(21, 9.0), 0.0, 240);
    let bottom = photo.high as f32 - 24.0;
    let line = Line {
        from: [100.0, 24.0],
        to: [100.0, bottom],
    };
    assert_eq!(count(photo, Some(line)).unwrap().bands, 21);
}

#[test]
fn what_is_no_end_gets_no_number() {
    let plain = |shade: fn(usize, usize) -> u8| {
        let places = (0..200usize).flat_map(|y| (0..200usize).map(move |x| (x, y)));
        let shades = places.map(|(x, y)| shade(x, y)).collect();
        count(
            Grey {
                wide: 200,
                high: 200,
                shades,
            },
            None,
        )
    };
    assert_eq!(plain(|_, _| 128), Err(Refusal::Contrast));
    assert_eq!(plain(|_, _| 255), Err(Refusal::Glare));
    assert_eq!(plain(|x, _| (x / 2 + 60) as u8), Err(Refusal::Blur));
    assert!(plain(|x, y| if (x / 12 + y / 12) % 2 == 0 { 40 } else { 200 }).is_err());
    assert!(plain(|x, y| ((x * 7919 + y * 104_729) * 31 % 251) as u8).is_err());
    let small = Grey {
        wide: 3,
        high: 3,
        shades: vec![0; 9],
    };
    assert_eq!(count(small, None), Err(Refusal::Small));
    let short = Line {
        from: [1.0, 1.0],
        to: [5.0, 5.0],
    };
    let photo = stack(&heights(21, 9.0), 0.0, 240);
    assert_eq!(count(photo, Some(short)), Err(Refusal::ShortLine));
}

#[test]
fn shades_that_are_too_few_do_no_harm() {
    let broken = Grey {
        wide: 4000,
        high: 4000,
        shades: vec![7; 10],
    };
    assert!(count(broken, None).is_err());
}
