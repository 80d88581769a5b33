//! Looking: an etched end, the measures at the end of a day.

use super::blade::remeasure;
use super::work::Work;
use crate::billet::{Loss, Refusal, Stage};

/// How far a count may be from the model before it is worth a word.
const NEAR: f64 = 0.03;

/// Etches an end. A count corrects the model from here on; the nominal count stays.
pub(super) fn inspect(work: &mut Work<'_>, expected: Option<u64>) -> Result<(), Refusal> {
    remeasure(work, Loss::Trim)?;
    let modelled = work.was.bands();
    #[expect(clippy::cast_precision_loss, reason = "compared to a few percent")]
    let off = |count: u64| (count as f64 / modelled.max(1) as f64 - 1.0).abs() > NEAR;
    if let Some(counted) = work.reading.bands {
        let plain = work.was.modelled_bands();
        #[expect(
            clippy::cast_precision_loss,
            reason = "a count by eye is far below 2^53"
        )]
        let plain = plain.max(1) as f64;
        let (bands, doubt) = work.was.counted(counted, work.reading.between);
        work.now.count_factor = bands / plain;
        work.now.count_doubt = doubt;
        if off(counted) {
            let text = format!(
                "{counted} bands counted where the model has {modelled}: the count is taken from here on; count twice when it matters"
            );
            work.warn(Some("bands"), text);
        }
    } else if let Some(wanted) = expected
        && off(wanted)
    {
        let text = format!(
            "{wanted} bands expected, the model has {modelled}: like faces merge in a seam, and scale and flat grinds take whole bands"
        );
        work.warn(Some("bands"), text);
    }
    Ok(())
}

/// Cools down. What is measured at the end of the day corrects the sizes; what is missing is scale.
pub(super) fn end_day(work: &mut Work<'_>) -> Result<(), Refusal> {
    if work.was.stage == Stage::Pile {
        work.warn(
            None,
            "the seams are open over night and will scale inside: weld it before you stop"
                .to_owned(),
        );
    }
    if work.was.stage == Stage::Hard {
        work.warn(
            None,
            "a hard blade left over night can crack by itself: temper it before you stop"
                .to_owned(),
        );
    }
    if work.was.stage == Stage::Loose {
        return Ok(());
    }
    remeasure(work, Loss::Scale)
}
