//! Block digits, readable from two metres: 7 dots tall, drawn two dots to a row.

use super::glyphs::Glyphs;

/// Dots in height of every glyph.
pub const DOTS: usize = 7;

/// The rows of one glyph, top first; `#` is a dot.
fn glyph(c: char) -> [&'static str; DOTS] {
    match c {
        '0' => ["####", "#..#", "#..#", "#..#", "#..#", "#..#", "####"],
        '1' => [".#.", "##.", ".#.", ".#.", ".#.", ".#.", "###"],
        '2' => ["####", "...#", "...#", "####", "#...", "#...", "####"],
        '3' => ["####", "...#", "...#", ".###", "...#", "...#", "####"],
        '4' => ["#..#", "#..#", "#..#", "####", "...#", "...#", "...#"],
        '5' => ["####", "#...", "#...", "####", "...#", "...#", "####"],
        '6' => ["####", "#...", "#...", "####", "#..#", "#..#", "####"],
        '7' => ["####", "...#", "...#", "..#.", ".#..", ".#..", ".#.."],
        '8' => ["####", "#..#", "#..#", ".##.", "#..#", "#..#", "####"],
        '9' => ["####", "#..#", "#..#", "####", "...#", "...#", "####"],
        '.' => [".", ".", ".", ".", ".", ".", "#"],
        ',' => ["..", "..", "..", "..", "..", ".#", "#."],
        ':' => [".", ".", "#", ".", ".", "#", "."],
        '/' => ["...#", "...#", "..#.", "..#.", ".#..", ".#..", "#..."],
        '-' => ["...", "...", "...", "###", "...", "...", "..."],
        '+' => ["...", "...", ".#.", "###", ".#.", "...", "..."],
        'x' => ["....", "....", "#..#", ".##.", ".##.", "#..#", "...."],
        'm' => [
            ".....", ".....", "##.#.", "#.#.#", "#.#.#", "#.#.#", "#.#.#",
        ],
        'i' => ["#", ".", "#", "#", "#", "#", "#"],
        'n' => ["....", "....", "###.", "#..#", "#..#", "#..#", "#..#"],
        'C' => ["####", "#...", "#...", "#...", "#...", "#...", "####"],
        'F' => ["####", "#...", "#...", "###.", "#...", "#...", "#..."],
        'k' => ["#...", "#...", "#..#", "#.#.", "##..", "#.#.", "#..#"],
        'g' => ["....", "....", "####", "#..#", "####", "...#", "####"],
        'l' => ["#.", "#.", "#.", "#.", "#.", "#.", "##"],
        'b' => ["#...", "#...", "####", "#..#", "#..#", "#..#", "####"],
        's' => ["....", "....", "####", "#...", "####", "...#", "####"],
        'h' => ["#...", "#...", "####", "#..#", "#..#", "#..#", "#..#"],
        't' => [".#.", ".#.", "###", ".#.", ".#.", ".#.", ".##"],
        'u' => ["....", "....", "#..#", "#..#", "#..#", "#..#", "####"],
        'r' => ["...", "...", "#.#", "##.", "#..", "#..", "#.."],
        'p' => ["....", "....", "####", "#..#", "####", "#...", "#..."],
        'e' => ["....", "....", "####", "#..#", "####", "#...", "####"],
        'c' => ["...", "...", "###", "#..", "#..", "#..", "###"],
        _ => ["..", "..", "..", "..", "..", "..", ".."],
    }
}

/// Columns of the text at a scale.
#[must_use]
pub fn width(text: &str, scale: usize) -> usize {
    let dots: usize = text
        .chars()
        .map(|c| glyph(c).first().map_or(0, |row| row.len()) + 1)
        .sum();
    dots.saturating_sub(1) * scale
}

/// Rows of any text at a scale.
#[must_use]
pub fn height(scale: usize) -> usize {
    (DOTS * scale).div_ceil(2)
}

/// The largest scale at which the text fits into so many columns and rows; none when not even the
/// smallest does.
#[must_use]
pub fn fitting(text: &str, columns: usize, rows: usize) -> Option<usize> {
    (1..=12)
        .rev()
        .find(|scale| width(text, *scale) <= columns && height(*scale) <= rows)
}

/// The text as rows of cells, two dots to a row.
#[must_use]
pub fn rows(text: &str, scale: usize, glyphs: Glyphs) -> Vec<String> {
    let [upper, lower, whole] = glyphs.dots();
    let line = |dot: usize| -> Vec<bool> {
        let mut out = Vec::new();
        if dot >= DOTS * scale {
            return vec![false; width(text, scale)];
        }
        for (at, c) in text.chars().enumerate() {
            if at > 0 {
                out.extend(std::iter::repeat_n(false, scale));
            }
            let row = glyph(c).get(dot / scale).copied().unwrap_or("");
            for on in row.chars().map(|d| d == '#') {
                out.extend(std::iter::repeat_n(on, scale));
            }
        }
        out
    };
    (0..height(scale))
        .map(|row| {
            line(row * 2)
                .into_iter()
                .zip(line(row * 2 + 1))
                .map(|pair| match pair {
                    (true, true) => whole,
                    (true, false) => upper,
                    (false, true) => lower,
                    (false, false) => ' ',
                })
                .collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_with_unit_is_four_rows_tall_and_fits_half_a_screen() {
        let rows = rows("14.5 mm", 1, Glyphs::Blocks);
        assert_eq!(rows.len(), 4);
        assert!(
            rows.iter()
                .all(|row| row.chars().count() == width("14.5 mm", 1))
        );
        assert!(width("345.5 mm", 1) <= 46);
    }

    #[test]
    fn digits_are_all_different_and_all_of_one_height() {
        let mut seen = std::collections::BTreeSet::new();
        for c in "0123456789./-:,+x".chars() {
            let shape = glyph(c);
            let wide = shape[0].len();
            assert!(shape.iter().all(|row| row.len() == wide), "{c}");
            assert!(seen.insert(shape), "{c}");
        }
    }

    #[test]
    fn the_largest_scale_that_fits_is_found() {
        assert_eq!(fitting("14", 80, 24), Some(6));
        assert_eq!(fitting("14", 4, 24), None);
        assert_eq!(height(2), 7);
    }
}
