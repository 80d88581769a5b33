//! Made-up smiths: are they recovered, and do the bands hold what they say?
//!
//! The figures: `cargo test --lib planner::coverage -- --ignored --nocapture`

use super::chance::Chance;
use super::draft::draft;
use super::draft::tests::wish;
use super::forecast::{Start, forecast};
use super::learn::{Lessons, ShopBook, Topic, Work, learn};
use super::simulated::{Habit, Habits, Job, KITCHEN_PAIR, work};
use crate::billet::Kind;
use crate::plan::{Plan, read};
use crate::session::Session;
use crate::units::Units;

pub(super) const SEED: u64 = 20_261_125;

pub(super) fn jobs(habits: &Habits, habit: Habit, count: usize, chance: &mut Chance) -> Vec<Job> {
    jobs_of(KITCHEN_PAIR, habits, habit, count, chance)
}

pub(super) fn jobs_of(
    text: &str,
    habits: &Habits,
    habit: Habit,
    count: usize,
    chance: &mut Chance,
) -> Vec<Job> {
    let mistype = |at: usize| (at == 1).then_some(3);
    (0..count)
        .map(|at| work(text, habits, habit, usize::MAX, chance, mistype(at)))
        .collect()
}

pub(super) fn lessons(jobs: &[Job], plan: &Plan) -> Lessons {
    let sessions: Vec<&Session> = jobs.iter().map(|job| &job.session).collect();
    learn(&sessions, &ShopBook::default(), Some(plan))
}

pub(super) fn plan() -> Plan {
    read(KITCHEN_PAIR).unwrap().0
}

/// Share of smiths whose habit lies in the stated 90 % range, with one mistyped reading each.
fn recovered(smiths: u32, habit: Habit) -> [f64; 4] {
    let plan = plan();
    let mut held = [0_u32; 4];
    for smith in 0..smiths {
        let mut chance = Chance::of_sample(SEED, u64::from(smith));
        let habits = Habits::drawn(&mut chance);
        let lessons = lessons(&jobs(&habits, habit, 3, &mut chance), &plan);
        let lies = |topic: Topic, truth: f64| {
            let (low, high) = lessons.get(topic).band();
            u32::from(truth >= low && truth <= high)
        };
        held[0] += lies(
            Topic::Scale(Work::WeldAndDraw),
            1.0 - (-habits.loss.0).exp(),
        );
        held[1] += lies(Topic::Heats(Kind::Draw), habits.heats_of(Kind::Draw).exp());
        held[2] += lies(Topic::Heats(Kind::Weld), habits.heats_of(Kind::Weld).exp());
        held[3] += lies(
            Topic::Minutes(Kind::Draw),
            5.0 * habits.pace_of(Kind::Draw).exp(),
        );
    }
    held.map(|count| f64::from(count) / f64::from(smiths))
}

#[test]
fn known_smiths_are_recovered_nine_times_in_ten() {
    for habit in [Habit::Caliper, Habit::Weigh] {
        let shares = recovered(400, habit);
        // Nine in ten over all quantities; each within two standard errors of 400 tries (0.03).
        let mean = shares.iter().sum::<f64>() / 4.0;
        assert!(mean >= 0.9, "{habit:?}: {shares:?}");
        for share in shares {
            assert!(share >= 0.87, "{habit:?}: {shares:?}");
        }
        // A band that is always right is too wide to be of use.
        assert!(
            shares.iter().any(|share| *share < 1.0),
            "{habit:?}: {shares:?}"
        );
    }
}

/// One quantity's hits and tries.
#[derive(Default, Clone, Copy)]
pub(super) struct Tally {
    hits: u32,
    pub(super) tries: u32,
}

impl Tally {
    pub(super) fn add(&mut self, hit: bool) {
        self.hits += u32::from(hit);
        self.tries += 1;
    }

    pub(super) fn share(self) -> f64 {
        f64::from(self.hits) / f64::from(self.tries)
    }
}

/// Mass, length, bands, heats, minutes: each forecast against what really came.
fn coverage(billets: u32, samples: u32) -> [Tally; 5] {
    let plan = plan();
    let mut tally = [Tally::default(); 5];
    for number in 0..billets {
        let mut chance = Chance::of_sample(SEED ^ 0xC0FFEE, u64::from(number));
        let habits = Habits::drawn(&mut chance);
        let habit = [Habit::Caliper, Habit::Weigh, Habit::Mixed][number as usize % 3];
        // Some come with a history, some without; some are forecast from the stack, some after a draw.
        let before = jobs(&habits, habit, (number % 3) as usize, &mut chance);
        let lessons = lessons(&before, &plan);
        let done = [0, 4, 11][(number / 3) as usize % 3];
        let job = work(KITCHEN_PAIR, &habits, habit, done, &mut chance, None);
        tallied(&job, done, &lessons, u64::from(number), samples, &mut tally);
    }
    tally
}

/// One forecast after `done` steps against what really came.
fn tallied(
    job: &Job,
    done: usize,
    lessons: &Lessons,
    seed: u64,
    samples: u32,
    tally: &mut [Tally; 5],
) {
    let seen = forecast(&Start::of_session(&job.session), lessons, seed, samples);
    let (mut heats, mut minutes) = (0.0, 0.0);
    for ((row, truth), spent) in seen
        .steps
        .iter()
        .zip(job.truth.iter().skip(done))
        .zip(job.spent.iter().skip(done))
    {
        heats += spent.0;
        minutes += spent.1;
        if row.kind == Kind::Draw {
            tally[0].add(row.mass.holds(truth.mass().0));
            tally[1].add(row.length.holds(truth.bar.length.0));
            #[expect(clippy::cast_precision_loss, reason = "hundreds of bands")]
            tally[2].add(row.bands.holds(truth.bands() as f64));
        }
    }
    tally[3].add(seen.heats.holds(heats));
    tally[4].add(seen.minutes.holds(minutes));
}

#[test]
fn nine_in_ten_lie_in_the_nine_in_ten_band() {
    let [mass, length, bands, heats, minutes] = coverage(180, 200);
    for (what, tally) in [
        ("mass", mass),
        ("length", length),
        ("heats", heats),
        ("minutes", minutes),
    ] {
        let share = tally.share();
        // A little wide for these smiths, so that they hold for those the forecast was not made for: see `KINDS`.
        assert!((0.85..=0.97).contains(&share), "{what}: {share}");
    }
    // Counts are whole numbers: a band of 9 to 9 holds more than nine in ten.
    assert!(bands.share() >= 0.85, "bands: {}", bands.share());
}

/// Kinds of smith that the forecast was not made for.
const KINDS: [&str; 7] = [
    "as the book has them",
    "scale off the outside",
    "two deviations off",
    "yields that drift",
    "welds that fail",
    "hot read as cold",
    "one in fifty mistyped",
];

fn smith(kind: usize, chance: &mut Chance) -> Habits {
    let mut habits = match kind {
        2 => Habits::off(chance, 2.0),
        _ => Habits::drawn(chance),
    };
    let ways = &mut habits.ways;
    match kind {
        // 0.033 mm a side and trip makes 4 % of a pile of 78 mm drawn to 14, worked by hand.
        1 => ways.outside = 0.033 * chance.around(0.0, 0.25).exp(),
        3 => ways.drift = if chance.share() < 0.5 { -1.0 } else { 1.0 },
        4 => ways.failed = 0.15,
        // EN 1993-1-2: 1.2 % at 900 C.
        5 => ways.hot = 0.012,
        6 => ways.mistyped = 0.02,
        _ => {}
    }
    habits
}

/// The sample plans, those of several bars among them, and two that were drafted, each with its name.
fn plans() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    all.sort();
    let nothing = learn(&[], &ShopBook::default(), None);
    let offers = draft(&wish(), &nothing, &|_| true).unwrap();
    all.push(("first drafted".to_owned(), offers[0].text.clone()));
    all.push((
        "last drafted".to_owned(),
        offers.last().unwrap().text.clone(),
    ));
    all
}

/// Fewest tries of each figure on each plan in the long run: a share of 90 % of so many reads as less than 86 for
/// one in twenty by chance.
const LEAST_TRIES: u32 = 150;
/// Most smiths that a plan is worked by, however few of its draws are still to come.
const MOST_BILLETS: u32 = 540;

/// Mass, length, bands, heats, minutes of one kind of smith on one plan: from the stack, after the first
/// draw and half way, with and without journals of earlier jobs. At least so many smiths, and so many tries of each.
fn coverage_of(
    kind: usize,
    (which, text): (usize, &str),
    (billets, least): (u32, u32),
    samples: u32,
) -> [Tally; 5] {
    let mut tally = [Tally::default(); 5];
    let plan = read(text).unwrap().0;
    let draws: Vec<usize> = (0..plan.steps.len())
        .filter(|at| plan.steps[*at].kind() == Kind::Draw)
        .collect();
    // A plan of few draws has few tries a smith: it is worked by more smiths.
    let few = |tally: &[Tally; 5]| tally.iter().any(|one| one.tries < least);
    for number in 0..MOST_BILLETS {
        if number >= billets && !few(&tally) {
            break;
        }
        let seed = SEED ^ ((kind as u64) << 40) ^ ((which as u64) << 32);
        let mut chance = Chance::of_sample(seed, u64::from(number));
        let habits = smith(kind, &mut chance);
        let habit = [Habit::Caliper, Habit::Weigh, Habit::Mixed][number as usize % 3];
        let before: Vec<Job> = (0..number % 3)
            .map(|_| work(text, &habits, habit, usize::MAX, &mut chance, None))
            .collect();
        let done = [0, draws[0] + 1, draws[draws.len() / 2] + 1][(number / 3) as usize % 3];
        let job = work(text, &habits, habit, done, &mut chance, None);
        // As the program does: the job's own journal teaches too.
        let sessions: Vec<&Session> = before
            .iter()
            .chain([&job])
            .map(|job| &job.session)
            .collect();
        let lessons = learn(&sessions, &ShopBook::default(), Some(&plan));
        tallied(&job, done, &lessons, u64::from(number), samples, &mut tally);
    }
    tally
}

/// One kind of smith on every plan, and the share of each figure on the plan where it is held least.
fn coverage_on(
    kind: usize,
    plans: &[(String, String)],
    billets: (u32, u32),
    samples: u32,
) -> [(Tally, f64, String); 5] {
    let mut all: [(Tally, f64, String); 5] =
        std::array::from_fn(|_| (Tally::default(), 1.0, String::new()));
    for (which, (name, text)) in plans.iter().enumerate() {
        let tally = coverage_of(kind, (which, text), billets, samples);
        for (sum, one) in all.iter_mut().zip(tally) {
            sum.0.hits += one.hits;
            sum.0.tries += one.tries;
            // A plan of few draws may leave none to come.
            if one.tries > 0 && one.share() < sum.1 {
                (sum.1, sum.2) = (one.share(), name.clone());
            }
        }
    }
    all
}

#[test]
fn ranges_hold_for_smiths_that_the_forecast_was_not_made_for() {
    let plans = plans();
    let mut narrow = Vec::new();
    for (kind, name) in KINDS.iter().enumerate() {
        let shares = coverage_on(kind, &plans, (9, 0), 120).map(|of| of.0.share());
        println!("{name}: {shares:.3?}");
        // A 90 % range that holds less than 80 % is too narrow. Of some 100 to 300 tries a share of 80 % may
        // read as 74 by chance; the long run below asks for 80.
        narrow.extend(
            shares
                .iter()
                .filter(|share| **share < 0.74)
                .map(|share| (name, *share)),
        );
    }
    assert!(narrow.is_empty(), "{narrow:?}");
}

#[test]
#[ignore = "long; prints the table of coverage by kind of smith"]
fn coverage_by_kind_of_smith() {
    let plans = plans();
    println!(
        "| smith | mass | length | bands | heats | minutes | tries |\n|---|---|---|---|---|---|---|"
    );
    let rows = std::thread::scope(|scope| {
        let work = |kind| {
            scope.spawn({
                let plans = &plans;
                move || coverage_on(kind, plans, (90, LEAST_TRIES), 300)
            })
        };
        let rows: Vec<_> = (0..KINDS.len()).map(work).collect();
        rows.into_iter()
            .map(|row| row.join().unwrap())
            .collect::<Vec<_>>()
    });
    let mut narrow = Vec::new();
    for (name, row) in KINDS.iter().zip(rows) {
        let shown: Vec<_> = row
            .iter()
            .map(|(all, least, plan)| {
                format!(
                    "{:.0} % ({:.0} %, {plan})",
                    all.share() * 100.0,
                    least * 100.0
                )
            })
            .collect();
        println!("| {name} | {} | {} |", shown.join(" | "), row[0].0.tries);
        narrow.extend(
            row.iter()
                .filter(|of| of.1 < 0.8)
                .map(|of| (name, of.2.clone(), of.1)),
        );
    }
    assert!(narrow.is_empty(), "{narrow:?}");
}

/// 1.3 kg typed as 3.8: the forecast goes on from what was read before, and says about what comes.
#[test]
fn a_reading_that_cannot_be_is_no_place_to_begin_from() {
    let plan = plan();
    let draws: Vec<usize> = (0..plan.steps.len())
        .filter(|at| plan.steps[*at].kind() == Kind::Draw)
        .collect();
    let habits = Habits::drawn(&mut Chance::new(SEED));
    let forecast_mass = |mistype: Option<usize>| {
        let mut chance = Chance::new(5);
        let done = draws[1] + 1;
        let job = work(
            KITCHEN_PAIR,
            &habits,
            Habit::Weigh,
            done,
            &mut chance,
            mistype,
        );
        let lessons = lessons(&[], &plan);
        let seen = forecast(&Start::of_session(&job.session), &lessons, 5, 200);
        let row = seen
            .steps
            .iter()
            .position(|row| row.kind == Kind::Draw)
            .unwrap();
        (seen.steps[row].mass, job.truth[done + row].mass().0)
    };
    let (clean, truth) = forecast_mass(None);
    let (typed, _) = forecast_mass(Some(draws[1]));
    assert!(
        clean.holds(truth) && typed.holds(truth),
        "{clean:?} {typed:?} {truth}"
    );
    assert!(typed.high - typed.low > clean.high - clean.low);
}

#[test]
fn the_band_narrows_with_each_draw_that_is_measured() {
    let plan = plan();
    let mut chance = Chance::new(SEED);
    let habits = Habits::drawn(&mut chance);
    let mut widths = Vec::new();
    for done in [0, 4, 11, 18] {
        let mut chance = Chance::new(3);
        let job = work(KITCHEN_PAIR, &habits, Habit::Weigh, done, &mut chance, None);
        let lessons = learn(&[&job.session], &ShopBook::default(), Some(&plan));
        let seen = forecast(&Start::of_session(&job.session), &lessons, 5, 300);
        let whole = seen
            .steps
            .iter()
            .find(|row| row.step.0 == "trim-3")
            .unwrap();
        widths.push(whole.mass.high - whole.mass.low);
    }
    assert!(
        widths.windows(2).all(|pair| pair[1] < 0.95 * pair[0]),
        "{widths:?}"
    );
}

#[test]
#[ignore = "prints the figures of DEVELOPERS.md"]
fn figures() {
    for habit in [Habit::Caliper, Habit::Weigh] {
        let [loss, draw, weld, minutes] = recovered(400, habit);
        println!(
            "recovered within the stated 90 % range, 400 smiths, {habit:?}: loss {:.1} %, heats per draw {:.1} %, per weld {:.1} %, minutes {:.1} %",
            loss * 100.0,
            draw * 100.0,
            weld * 100.0,
            minutes * 100.0
        );
    }
    let names = ["mass", "length", "bands", "heats", "minutes"];
    for (name, tally) in names.into_iter().zip(coverage(900, 400)) {
        println!(
            "90 % range of {name}: holds {:.1} % of {} forecasts",
            tally.share() * 100.0,
            tally.tries
        );
    }
    let mut chance = Chance::new(SEED);
    let habits = Habits::drawn(&mut chance);
    let lessons = lessons(&jobs(&habits, Habit::Mixed, 3, &mut chance), &plan());
    for one in lessons.told() {
        println!("{}", one.text(Units::Mm));
    }
}
