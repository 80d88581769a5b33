//! The pictures of a record's page: the blade, and what the main steps left.

use super::panels::{At, Job, best, usual_size};
use super::render::Render;
use crate::billet::Kind;
use crate::planner::record_page::{PagePicture, PagePictures};
use crate::session::{Aspect, Session, Subject, When};
use crate::units::show;

/// Steps after which the metal looks another way.
const MAIN: [Kind; 16] = [
    Kind::Stack,
    Kind::Restack,
    Kind::Fold,
    Kind::Frame,
    Kind::Join,
    Kind::Jacket,
    Kind::Wrap,
    Kind::Slice,
    Kind::Unfold,
    Kind::CornerCrush,
    Kind::Twist,
    Kind::Groove,
    Kind::Dimple,
    Kind::Split,
    Kind::Inspect,
    Kind::RoughGrind,
];
/// The number that the hammer's unevenness is guessed from; `picture` draws with the same by default.
const SEED: u64 = 1;
/// Samples of a pixel, as `picture` takes by default.
const SAMPLES: u32 = 4;

/// The pictures; those that cannot be drawn are left out.
///
/// # Errors
/// Why nothing is to be written: it was stopped, or a picture cannot be encoded.
pub(in crate::cli) fn for_page(session: &Session, beside: bool) -> Result<PagePictures, String> {
    let job = Job {
        session: session.clone(),
        begun: session.has_begun(),
        seed: SEED,
        tones: Vec::new(),
    };
    let render = if beside {
        Render::beside(SAMPLES)
    } else {
        Render::new(SAMPLES).map_err(|why| why.to_string())?
    };
    let steps = job.steps();
    // What is done is shown as it was done; a plan that is not begun, as it is foreseen.
    let until = if job.begun { session.at } else { steps };
    let main: Vec<usize> = (0..until)
        .filter(|at| {
            let kind = session.plan.steps.get(*at).map(crate::plan::Step::kind);
            // The finished blade stands at the head already.
            let told = kind == Some(Kind::RoughGrind) && session.is_finished();
            kind.is_some_and(|kind| MAIN.contains(&kind)) && !told
        })
        .collect();
    let of = main.len() + 1;
    let mut made = PagePictures::default();
    if let Ok(subject) = job.subject(At(steps)) {
        let size = usual_size(&subject, Aspect::Blade, 1500, 600);
        let finished = session.is_finished();
        let head = if finished {
            "The finished blade"
        } else {
            "The blade as it is foreseen"
        };
        let bands = show::counted(show::count(subject.billet.bands()), "band");
        let caption = format!("{head}: {bands}; the figure is an estimate");
        made.blade = Some(one(
            &render,
            &subject,
            Aspect::Blade,
            size,
            caption,
            (0, of),
        )?);
    }
    for (n, at) in main.into_iter().enumerate() {
        let Some((step, subject)) = session.plan.steps.get(at).zip(job.subject(At(at + 1)).ok())
        else {
            continue;
        };
        let aspect = match step.kind() {
            Kind::RoughGrind => Aspect::Blade,
            kind => best(kind, &subject),
        };
        let size = usual_size(&subject, aspect, 480, 320);
        let caption = format!(
            "{}. {}: {}, {}, {}",
            at + 1,
            step.name(),
            aspect.word(),
            show::counted(show::count(subject.billet.bands()), "band"),
            when(subject.when, job.begun)
        );
        made.steps
            .push(one(&render, &subject, aspect, size, caption, (n + 1, of))?);
    }
    render.end();
    Ok(made)
}

fn when(when: When, begun: bool) -> &'static str {
    match when {
        When::Past => "as done",
        When::Now if begun => "as it is now",
        When::Now | When::Ahead => "forecast",
    }
}

fn one(
    render: &Render,
    subject: &Subject,
    aspect: Aspect,
    size: [u32; 2],
    caption: String,
    bar: (usize, usize),
) -> Result<PagePicture, String> {
    let (done, of) = bar;
    let picture = render
        .picture(subject.scene(aspect, size), done, of)
        .map_err(|why| why.to_string())?;
    Ok(PagePicture {
        long: picture.width > 3 * picture.height,
        caption,
        png: picture.png_clear().map_err(|why| why.to_string())?,
        size: [picture.width, picture.height],
    })
}
