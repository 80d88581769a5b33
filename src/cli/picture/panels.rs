//! Which pictures go on a sheet, and their words.

use std::path::Path;

pub(super) use super::job::{At, Job};
use super::numbers::Figures;
use super::render::Render;
use crate::billet::{Kind, Move, Stage};
use crate::pattern::Panel;
use crate::plan::Step;
use crate::session::{Aspect, Subject, When};
use crate::units::show;

/// A picture on its way to a sheet, with the numbers that go with it.
pub(super) type Drawn = (Panel, Figures);

/// What `--compare` names: another step of the plan, or another plan at its usual place.
pub(super) fn other(
    word: &str,
    plan: &Path,
    job: &Job,
    at: At,
) -> Result<(Option<Job>, At), String> {
    if let Some(there) = At::find(word, job) {
        return Ok((None, there));
    }
    let path = Path::new(word);
    if !path.exists() {
        return At::read(word, job)
            .map(|there| (None, there))
            .map_err(|why| {
                format!(
                    "{why}; nor is it a plan file beside {}",
                    crate::shell::paths::show(plan)
                )
            });
    }
    let mut second = Job::open(path, job.seed)?;
    // Another plan may lack some of the steels; it takes the tones of those that it has.
    second.tones.clone_from(&job.tones);
    let finished = at.0 == job.steps();
    let there = if finished {
        At(second.steps())
    } else {
        At::usual(&second)
    };
    Ok((Some(second), there))
}

/// One picture.
pub(super) fn single(
    job: &Job,
    at: At,
    aspect: Aspect,
    size: Option<[u32; 2]>,
    render: &Render,
) -> Result<Drawn, String> {
    refuse_too_many(size, 1)?;
    let subject = job.subject(at)?;
    let size = size.unwrap_or_else(|| usual_size(&subject, aspect, 1600, 1000));
    panel(job, at, &subject, aspect, size, render, (0, 1))
}

/// Two pictures in the same view.
pub(super) fn pair(
    left: (&Job, At),
    right: (&Job, At),
    aspect: Aspect,
    size: Option<[u32; 2]>,
    render: &Render,
) -> Result<(Drawn, Drawn), String> {
    refuse_too_many(size, 2)?;
    let draw = |(job, at): (&Job, At), done: usize| {
        let subject = job.subject(at)?;
        let size = size.unwrap_or_else(|| usual_size(&subject, aspect, 900, 700));
        let mut made = panel(job, at, &subject, aspect, size, render, (done, 2))?;
        made.0.caption.insert(0, job.title().to_owned());
        made.1.head.insert_str(0, &format!("{}: ", job.title()));
        Ok::<_, String>(made)
    };
    Ok((draw(left, 0)?, draw(right, 1)?))
}

/// Most pixels of all pictures of a file together: more than that is memory that a shop's machine does not
/// have.
const MOST_IN_ALL: u64 = 120_000_000;

/// Refuses, before anything is drawn, what would not fit.
fn refuse_too_many(size: Option<[u32; 2]>, pictures: usize) -> Result<(), String> {
    let [width, height] = size.unwrap_or_default().map(u64::from);
    let all = width * height * u64::try_from(pictures).unwrap_or(u64::MAX);
    if all <= MOST_IN_ALL {
        return Ok(());
    }
    let count = match pictures {
        1 => "the picture has".to_owned(),
        more => format!("{more} pictures have"),
    };
    Err(format!(
        "{count} {} million pixels, and {} million are the most; take a smaller --size",
        all.div_ceil(1_000_000),
        MOST_IN_ALL / 1_000_000
    ))
}

/// Every step that changes what is seen; where no view is asked for, the one that shows it best.
pub(super) fn sheet(
    job: &Job,
    view: Option<Aspect>,
    size: Option<[u32; 2]>,
    render: &Render,
) -> Result<Vec<Drawn>, String> {
    let steps = &job.session.plan.steps;
    let last = job.steps();
    // A plan that cannot be followed to its end has no sheet.
    job.subject(At(last))?;
    let kind = |at: usize| steps.get(at).map(Step::kind);
    // A cut is shown on the bar before it, with its lines; every other step by what it leaves.
    let shown: Vec<(usize, At)> = (0..last)
        .filter_map(|at| match kind(at) {
            _ if at + 1 == last => Some((at, At(last))),
            Some(Kind::Cut) => Some((at, At(at))),
            Some(Kind::Stack) => Some((at, At(at + 1))),
            Some(kind) => {
                (kind.row().pictured && !is_same(job, at + 1)).then_some((at, At(at + 1)))
            }
            None => None,
        })
        .collect();
    let of = shown.len();
    refuse_too_many(size, of)?;
    let mut panels = Vec::with_capacity(of);
    for (done, (at, place)) in shown.into_iter().enumerate() {
        let subject = job.subject(place)?;
        let best = if place == At(last) || subject.billet.stage >= Stage::Ground {
            Aspect::Blade
        } else {
            best(kind(at).unwrap_or(Kind::Stack), &subject)
        };
        let aspect = view.unwrap_or(best);
        let size = size.unwrap_or_else(|| usual_size(&subject, aspect, 340, 240));
        let (mut made, figures) = panel(job, place, &subject, aspect, size, render, (done, of))?;
        // Steels and seed are said once.
        let own = 2 + usize::from(figures.caption().is_some());
        made.caption.truncate(if done == 0 { own + 2 } else { own });
        if let Some(step) = steps.get(at).filter(|_| place != At(last)) {
            made.caption
                .insert(0, format!("{}. {}", at + 1, step.name()));
        }
        panels.push((made, figures));
    }
    Ok(panels)
}

/// Pictures in a row.
pub(super) fn columns(panels: usize) -> usize {
    panels.clamp(1, 4)
}

/// Nothing was done to the shape by the step before a place.
fn is_same(job: &Job, place: usize) -> bool {
    let moves = |at: usize| job.session.metal_at(at).map(|metal| metal.history.len());
    moves(place) == moves(place.saturating_sub(1))
}

/// Where the work of a step is seen.
pub(super) fn best(kind: Kind, subject: &Subject) -> Aspect {
    let own = subject.billet.history.iter();
    let joined = own.clone().flat_map(|done| &done.joined);
    let all = own.chain(joined.flat_map(|bar| &bar.history));
    let figured = all.into_iter().any(|done| {
        matches!(
            done.made.kind(),
            Kind::Groove | Kind::Dimple | Kind::Twist | Kind::Split | Kind::Slice | Kind::Unfold
        )
    });
    match kind {
        Kind::Cut => Aspect::Side,
        Kind::Wrap => Aspect::Face,
        Kind::Forge => Aspect::Blade,
        _ if figured => Aspect::Face,
        _ => Aspect::End,
    }
}

/// A size of the view's own shape within bounds.
pub(super) fn usual_size(subject: &Subject, aspect: Aspect, wide: u32, high: u32) -> [u32; 2] {
    let [across, up] = subject.extent(aspect).map(|mm| mm.0.max(1e-6));
    let (w, h) = (f64::from(wide), f64::from(high));
    let scale = (w / across).min(h / up);
    // A margin of its own lies around the metal.
    let side = |mm: f64, most: u32| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "held to the bounds after"
        )]
        let px = (mm * scale * 1.03).ceil() as u32;
        px.clamp(24, most)
    };
    [side(across, wide), side(up, high)]
}

/// Where the next step cuts, as shares of the length: on views along the bar.
fn cuts(job: &Job, At(place): At, aspect: Aspect) -> Vec<f64> {
    let along = matches!(aspect, Aspect::Side | Aspect::Face);
    let next = job.session.plan.steps.get(place).filter(|_| along);
    match next.map(|step| &step.made) {
        Some(Move::Cut { pieces, .. }) if *pieces <= 100 => {
            // The metal takes the middle 96 of a hundred parts of the picture.
            (1..*pieces)
                .map(|n| 0.02 + 0.96 * f64::from(n) / f64::from(*pieces))
                .collect()
        }
        _ => Vec::new(),
    }
}

fn panel(
    job: &Job,
    at: At,
    subject: &Subject,
    aspect: Aspect,
    size: [u32; 2],
    render: &Render,
    (done, of): (usize, usize),
) -> Result<Drawn, String> {
    let scene = subject.scene(aspect, size);
    let picture = render
        .picture(scene, done, of)
        .map_err(|why| why.to_string())?;
    let mut caption = words(job, at, subject, aspect);
    let figures = Figures::of(
        job,
        at,
        subject,
        aspect,
        caption.first().cloned().unwrap_or_default(),
    );
    if let Some(line) = figures.caption() {
        caption.insert(2, line);
    }
    let panel = Panel {
        picture,
        caption,
        cuts: cuts(job, at, aspect),
    };
    Ok((panel, figures))
}

/// What is seen, how big it is, and how sure that is.
fn words(job: &Job, At(place): At, subject: &Subject, aspect: Aspect) -> Vec<String> {
    let plan = &job.session.plan;
    let billet = &subject.billet;
    let bar = &billet.bar;
    let when = match subject.when {
        When::Past => "as done",
        When::Now if job.begun => "now",
        When::Now => "as stacked",
        When::Ahead => "forecast",
    };
    let step = match plan.steps.get(place.wrapping_sub(1)) {
        _ if place == job.steps() => "finished".to_owned(),
        Some(step) => format!("after {}", step.id),
        None => "before the first step".to_owned(),
    };
    let size = plan.units.size(bar.width, bar.thickness, bar.length);
    let what = if aspect == Aspect::Blade {
        let blade = &plan.goal.blade;
        let units = plan.units;
        format!(
            "blade {} long, {} wide",
            units.length(blade.length),
            units.length(blade.width)
        )
    } else {
        format!("bar {size}")
    };
    let steels: Vec<String> = plan
        .steels
        .iter()
        .map(|steel| format!("{} {}", steel.letter, steel.steel.grade))
        .collect();
    vec![
        format!("{}, {step}, {when}", aspect.word()),
        format!("{what}, {} bands", show::count(billet.bands())),
        steels.join(", "),
        format!("seed {}; an estimate of the figure", job.seed),
    ]
}
