//! How far apart two words are, for "did you mean".

/// Damerau-Levenshtein distance (optimal string alignment): insertions, deletions, substitutions
/// and swaps of neighbours each cost one.
///
/// ```
/// # use anvilside::units::near::distance;
/// assert_eq!(distance("thicknes", "thickness"), 1);
/// assert_eq!(distance("lenght", "length"), 1);
/// ```
#[must_use]
pub fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().take(64).collect();
    let b: Vec<char> = b.chars().take(64).collect();
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let get = |line: &[usize], at: usize| line.get(at).copied().unwrap_or(usize::MAX / 2);
            let mut best = (get(&above, j) + usize::from(ca != cb))
                .min(get(&above, j + 1) + 1)
                .min(get(&row, j) + 1);
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(cb) && b.get(j - 1) == Some(ca);
            if swapped {
                best = best.min(get(&before, j - 1) + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut above, row);
    }
    above.last().copied().unwrap_or(0)
}

/// The candidate nearest to `wanted`, when it is near enough to be a slip of the finger.
#[must_use]
pub fn nearest<'a>(wanted: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = wanted.to_lowercase();
    candidates
        .into_iter()
        .map(|name| (distance(&name.to_lowercase(), &wanted), name))
        .min()
        .filter(|(far, name)| *far <= 1 + name.chars().count() / 3)
        .map(|(_, name)| name)
}
