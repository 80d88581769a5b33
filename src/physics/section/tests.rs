use super::*;

fn bar(width: f64, thickness: f64) -> Section {
    Section {
        width: Mm(width),
        thickness: Mm(thickness),
    }
}

fn times(section: Section, around: &Surroundings, fine: u32) -> [f64; 3] {
    let until = Celsius(850.0);
    let matter = Matter::steel();
    let done = |now: &Moment| now.hottest <= until;
    let course = follow(section, matter, Celsius(1250.0), around, fine, until, done).unwrap();
    [
        course.mean_at(until),
        course.face_at(until),
        course.centre_at(until),
    ]
    .map(|s| s.unwrap().0)
}

#[test]
fn a_grid_four_times_finer_changes_no_time_by_a_fifth_of_a_percent() {
    let air = Surroundings::air();
    for section in [
        bar(120.0, 120.0),
        bar(3.0, 3.0),
        bar(50.0, 50.0),
        bar(40.0, 6.0),
        bar(60.0, 3.0),
    ] {
        let coarse = times(section, &air, 1);
        let fine = times(section, &air, 4);
        for (a, b) in coarse.iter().zip(&fine) {
            assert!((a / b - 1.0).abs() < 2e-3, "{section:?}: {a} against {b}");
        }
    }
    let dies = Surroundings::air().between(Contact::WORKING);
    let one = Surroundings::air().lying_on(Contact::RESTING);
    for around in [dies, one] {
        let coarse = times(bar(40.0, 20.0), &around, 1);
        let fine = times(bar(40.0, 20.0), &around, 3);
        for (a, b) in coarse.iter().zip(&fine) {
            assert!((a / b - 1.0).abs() < 4e-3, "{a} against {b}");
        }
    }
}

#[test]
fn lying_on_the_anvil_cools_faster_and_unevenly() {
    let open = times(bar(40.0, 20.0), &Surroundings::air(), 1);
    let lying = Surroundings::air().lying_on(Contact::RESTING);
    let resting = times(bar(40.0, 20.0), &lying, 1);
    assert!(resting[0] < 0.8 * open[0]);
    assert!(resting[1] > resting[0], "the upper face outlasts the mean");
}

#[test]
fn sides_may_be_swapped() {
    let flat = times(bar(40.0, 20.0), &Surroundings::air(), 1);
    let edge = times(bar(20.0, 40.0), &Surroundings::air(), 1);
    assert!((flat[0] / edge[0] - 1.0).abs() < 1e-3 && (flat[2] / edge[2] - 1.0).abs() < 1e-3);
}

#[test]
fn the_same_touch_on_opposite_faces_is_the_same_as_its_mirror() {
    let dies = Surroundings::air().between(Contact::WORKING);
    let mut skewed = dies;
    if let Some(top) = skewed.contact.top.as_mut() {
        top.conductance *= 1.0 + 1e-9;
    }
    let half = times(bar(40.0, 20.0), &dies, 1);
    let whole = times(bar(40.0, 20.0), &skewed, 1);
    for (a, b) in half.iter().zip(&whole) {
        assert!((a / b - 1.0).abs() < 1e-3, "{a} against {b}");
    }
}

#[test]
fn heat_is_neither_made_nor_lost() {
    // No loss, two halves of a course: a section in surroundings of its own temperature stays.
    let section = bar(30.0, 30.0);
    let around = Surroundings::furnace(Celsius(1000.0));
    let never = heat(section, Celsius(1000.0), Celsius(1001.0), &around);
    assert_eq!(never, Err(SectionError::Never(1001.0)));
}

#[test]
fn what_makes_no_sense_is_an_error_not_a_panic() {
    let air = Surroundings::air();
    let cases = [
        cool(bar(0.0, 10.0), Celsius(1200.0), Celsius(900.0), &air),
        cool(bar(f64::NAN, 10.0), Celsius(1200.0), Celsius(900.0), &air),
        cool(bar(1e9, 10.0), Celsius(1200.0), Celsius(900.0), &air),
        cool(bar(10.0, 10.0), Celsius(f64::NAN), Celsius(900.0), &air),
        cool(
            bar(10.0, 10.0),
            Celsius(1200.0),
            Celsius(f64::INFINITY),
            &air,
        ),
        cool(bar(10.0, 10.0), Celsius(9000.0), Celsius(900.0), &air),
        cool(
            bar(10.0, 10.0),
            Celsius(900.0),
            Celsius(800.0),
            &Surroundings {
                emissivity: f64::NAN,
                ..air
            },
        ),
        heat(bar(10.0, 10.0), Celsius(20.0), Celsius(900.0), &air),
        cool(bar(10.0, 10.0), Celsius(900.0), Celsius(20.0), &air),
    ];
    for (index, case) in cases.iter().enumerate() {
        assert!(case.is_err(), "case {index}");
    }
    assert!(
        soak(
            bar(10.0, 10.0),
            Celsius(20.0),
            Celsius(1200.0),
            Celsius(0.0)
        )
        .is_err()
    );
    assert!(
        soak(
            bar(10.0, 10.0),
            Celsius(20.0),
            Celsius(1200.0),
            Celsius(f64::NAN)
        )
        .is_err()
    );
}

#[test]
fn a_course_can_be_read_at_any_time() {
    let course = cool(
        bar(20.0, 20.0),
        Celsius(1200.0),
        Celsius(850.0),
        &Surroundings::air(),
    )
    .unwrap();
    let half = course.at(course.length() / 2.0);
    assert!(half.centre > half.mean && half.mean > half.face && half.face > half.coldest);
    assert!(course.at(Seconds(-5.0)).mean.near(Celsius(1200.0), 1e-3));
    assert!(course.at(Seconds(1e9)).hottest.near(Celsius(850.0), 8.0));
    let passed = course.mean_at(Celsius(1000.0)).unwrap();
    assert!(course.at(passed).mean.near(Celsius(1000.0), 1e-6));
    assert!(course.mean_at(Celsius(1300.0)).is_none());
}

#[test]
fn soaked_through_takes_longer_in_thicker_bars() {
    let time = |side: f64| {
        let (working, lag) = (Celsius(1150.0), Celsius(15.0));
        soak_through(
            bar(side, side),
            Celsius(20.0),
            Celsius(1250.0),
            working,
            lag,
        )
        .unwrap()
        .0
    };
    assert!(time(50.0) > 1.5 * time(25.0));
}
