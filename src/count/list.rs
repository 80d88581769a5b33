//! Sums over lists of shades, where a number that is not one stands for "outside the picture".

/// The number at a place; nought beyond the ends.
#[inline]
pub(super) fn get(list: &[f32], at: usize) -> f32 {
    list.get(at).copied().unwrap_or(0.0)
}

/// The change from a place to the next.
#[inline]
pub(super) fn change(list: &[f32], at: usize) -> f32 {
    get(list, at + 1) - get(list, at)
}

/// The whole number nearest, none below nought.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held to what a picture can have"
)]
pub(super) fn whole(number: f32) -> usize {
    number.round().clamp(0.0, 1e7) as usize
}

/// The number that this share of the list lies below.
pub(super) fn quantile(list: &[f32], share: f32) -> f32 {
    let mut sorted: Vec<f32> = list.iter().copied().filter(|v| v.is_finite()).collect();
    sorted.sort_unstable_by(f32::total_cmp);
    get(
        &sorted,
        whole(sorted.len().saturating_sub(1) as f32 * share),
    )
}

/// The mean of the numbers among them.
pub(super) fn mean(list: impl IntoIterator<Item = f32>) -> f32 {
    let (mut sum, mut count) = (0.0, 0.0);
    for value in list.into_iter().filter(|value| value.is_finite()) {
        sum += value;
        count += 1.0;
    }
    if count > 0.0 { sum / count } else { f32::NAN }
}

/// The mean over a window of rows either side.
#[expect(clippy::cast_possible_truncation, reason = "sums in f64, means in f32")]
pub(super) fn window_mean(list: &[f32], radius: usize) -> Vec<f32> {
    let mut sums = Vec::with_capacity(list.len() + 1);
    let (mut sum, mut count) = (0.0f64, 0u32);
    sums.push((sum, count));
    for value in list {
        if value.is_finite() {
            sum += f64::from(*value);
            count += 1;
        }
        sums.push((sum, count));
    }
    let all = (sum, count);
    let mut means = Vec::with_capacity(list.len());
    for at in 0..list.len() {
        let low = sums.get(at.saturating_sub(radius)).copied().unwrap_or(all);
        let top = sums.get(at + radius + 1).copied().unwrap_or(all);
        means.push(match top.1 - low.1 {
            0 => 0.0,
            count => ((top.0 - low.0) / f64::from(count)) as f32,
        });
    }
    means
}

/// The list without its slow changes, as of light.
pub(super) fn without_slow(list: &[f32], radius: usize) -> Vec<f32> {
    list.iter()
        .zip(window_mean(list, radius))
        .map(|(value, mean)| value - mean)
        .collect()
}

/// Row by row, the mean of the columns' middle three fifths: scratches and pits fall out.
pub(super) fn middle_mean(columns: &[Vec<f32>]) -> Vec<f32> {
    let rows = columns.iter().map(Vec::len).max().unwrap_or(0);
    let mut line = Vec::with_capacity(columns.len());
    (0..rows)
        .map(|row| {
            line.clear();
            line.extend(columns.iter().filter_map(|column| column.get(row)));
            line.retain(|value: &f32| value.is_finite());
            line.sort_unstable_by(f32::total_cmp);
            let cut = line.len() / 5;
            mean(
                line.get(cut..line.len() - cut)
                    .unwrap_or(&line)
                    .iter()
                    .copied(),
            )
        })
        .collect()
}

/// Row by row, the mean of all columns.
pub(super) fn column_mean(columns: &[Vec<f32>]) -> Vec<f32> {
    let rows = columns.iter().map(Vec::len).max().unwrap_or(0);
    (0..rows)
        .map(|row| mean(columns.iter().filter_map(|column| column.get(row)).copied()))
        .collect()
}

/// How alike two evened lines are between two rows: 1 the same, 0 nothing in common.
pub(super) fn likeness(a: &[f32], b: &[f32], from: usize, to: usize) -> f32 {
    let (mut aa, mut bb, mut ab) = (1e-6f32, 1e-6f32, 0.0f32);
    for (x, y) in a.iter().zip(b).take(to).skip(from) {
        if x.is_finite() && y.is_finite() {
            aa += x * x;
            bb += y * y;
            ab += x * y;
        }
    }
    ab / (aa * bb).sqrt()
}
