//! Where a law holds, and the sentence for a value outside.

/// The values of one input for which a law is stated.
///
/// ```
/// # use anvilside::physics::Range;
/// const CARBON: Range = Range {
///     law: "hot flow stress",
///     name: "carbon",
///     unit: "%",
///     least: 0.0,
///     greatest: 1.2,
/// };
/// assert!(CARBON.check(0.8).is_ok());
/// let refused = CARBON.check(2.5).map_err(|e| e.to_string());
/// assert_eq!(
///     refused,
///     Err("carbon 2.5 % is outside 0 to 1.2 %, where hot flow stress holds".to_owned())
/// );
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The law, as it reads in a sentence.
    pub law: &'static str,
    /// The input, as it reads in a sentence.
    pub name: &'static str,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
    /// Least value for which the law is stated.
    pub least: f64,
    /// Greatest value for which the law is stated.
    pub greatest: f64,
}

/// An input outside the range of a law.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{} {} is outside {} to {}, where {} holds",
    range.name, with_unit(*value, range.unit), plain(range.least),
    with_unit(range.greatest, range.unit), range.law)]
pub struct OutOfRange {
    /// The range that was left.
    pub range: Range,
    /// The value given.
    pub value: f64,
}

impl Range {
    /// The value itself when it is finite and inside.
    ///
    /// # Errors
    /// [`OutOfRange`], which names the input, the value, the range and the law.
    pub fn check(&self, value: f64) -> Result<f64, OutOfRange> {
        if value.is_finite() && value >= self.least && value <= self.greatest {
            Ok(value)
        } else {
            Err(OutOfRange {
                range: *self,
                value,
            })
        }
    }

    /// The nearest value inside; the least for what is not a number.
    #[must_use]
    pub fn clamp(&self, value: f64) -> f64 {
        value.max(self.least).min(self.greatest)
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    let number = plain(value);
    if unit.is_empty() {
        number
    } else {
        format!("{number} {unit}")
    }
}

fn plain(value: f64) -> String {
    let text = format!("{value:.4}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::Range;

    const RATE: Range = Range {
        law: "this law",
        name: "strain rate",
        unit: "",
        least: 0.1,
        greatest: 100.0,
    };

    #[test]
    fn what_is_not_a_number_is_outside() {
        assert!(RATE.check(f64::NAN).is_err());
        assert!(RATE.check(f64::INFINITY).is_err());
        assert!((RATE.clamp(f64::NAN) - 0.1).abs() < 1e-12);
    }

    #[test]
    fn the_sentence_has_no_unit_for_a_plain_number() {
        let sentence = RATE.check(300.0).map_err(|e| e.to_string());
        assert_eq!(
            sentence,
            Err("strain rate 300 is outside 0.1 to 100, where this law holds".to_owned())
        );
    }
}
