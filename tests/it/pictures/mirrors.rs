//! Opposite hands and mirrored tiles in rendered pictures, pixel by pixel.

use super::*;

/// A plan of one bar of uneven layers, squared, with more steps.
fn bar(steps: &str) -> Plan {
    let text = format!(
        "title = \"Test\"\nunits = \"mm\"\n[goal]\npattern = \"twist\"\nbands = [1, 900]\n\
         [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n[steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\n\
         [shop]\nhand = true\nscale = \"0 %\"\nkerf = 1\nshortest = 1\n\
         [stack]\nwidth = 26\nlength = 160\npieces = [\"A 3 mm\", \"B 2 mm\", \"A 5 mm\", \"B 2 mm\", \"A 3 mm\", \"B 4 mm\"]\n\
         [[step]]\nkind = \"prepare\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n\
         [[step]]\nkind = \"square\"\nwidth = 20\nthickness = 20\n{steps}"
    );
    plan::read(&text)
        .unwrap_or_else(|found| panic!("{found:?}"))
        .0
}

fn picture(plan: &Plan, view: View, size: [u32; 2]) -> Picture {
    let metal = walked(plan).pop().unwrap();
    let chain = chain(&metal, Hand::ruled());
    Scene::new(chain, view, &only(plan, 1), size).render()
}

fn light(picture: &Picture, x: u32, y: u32) -> f64 {
    let pixel = picture.at(x, y).unwrap();
    assert_eq!(pixel.metal, 255, "{x} {y}");
    f64::from(pixel.light)
}

/// The rows and columns that are all metal.
fn inside(picture: &Picture) -> [std::ops::Range<u32>; 2] {
    let metal = |x: u32, y: u32| picture.at(x, y).is_some_and(|pixel| pixel.metal == 255);
    let (wide, high) = (picture.width, picture.height);
    let columns: Vec<u32> = (0..wide).filter(|x| metal(*x, high / 2)).collect();
    let rows: Vec<u32> = (0..high).filter(|y| metal(wide / 2, *y)).collect();
    [&columns, &rows].map(|all| *all.first().unwrap()..*all.last().unwrap() + 1)
}

#[test]
fn rods_of_opposite_hands_are_each_others_mirror_on_the_face() {
    let of = |hand: &str| {
        let steps = format!("[[step]]\nkind = \"twist\"\nturns = 3.4\nhand = \"{hand}\"\n");
        picture(&bar(&steps), View::Face, [600, 80])
    };
    let (right, left) = (of("right"), of("left"));
    let [columns, rows] = inside(&right);
    let (mut off, mut unlike, mut count) = (0.0_f64, 0.0_f64, 0.0);
    for y in rows.clone() {
        let across = rows.end - 1 - (y - rows.start);
        for x in columns.clone() {
            off = off.max((light(&right, x, y) - light(&left, x, across)).abs());
            unlike += (light(&right, x, y) - light(&left, x, y)).abs();
            count += 1.0;
        }
    }
    assert!(off < 0.02, "{off}");
    assert!(
        unlike / count > 0.1,
        "the hands look alike: {}",
        unlike / count
    );
}

/// Crushed on its corner, so that its end has lines both ways.
const CRUSHED: &str = "[[step]]\nkind = \"corner-crush\"\nwidth = 20\nthickness = 20\n";

#[test]
fn each_tile_shows_the_rendered_end_of_the_bar_that_it_was_cut_from() {
    let end = picture(&bar(CRUSHED), View::End, [100, 100]);
    let [across, through] = inside(&end);
    let (wide, high) = (across.end - across.start, through.end - through.start);
    for lay in ["alike", "mirrored"] {
        let steps = format!(
            "{CRUSHED}[[step]]\nkind = \"slice\"\ntiles = 5\nthickness = 7\nlay = \"{lay}\"\n[[step]]\nkind = \"weld\"\n"
        );
        let row = picture(&bar(&steps), View::Face, [500, 100]);
        let [columns, rows] = inside(&row);
        let tile = f64::from(columns.end - columns.start) / 5.0;
        let part = |place: f64, of: u32| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let at = (place * f64::from(of)) as u32;
            at.min(of - 1)
        };
        for n in 0..5_u32 {
            let (mut same, mut mirrored, mut count) = (0, 0, 0);
            for step in 0..400_u32 {
                // Places spread over the tile, away from its rim.
                let (u, v) = (
                    0.03 + 0.94 * f64::from(step % 20) / 19.0,
                    0.03 + 0.94 * f64::from(step / 20) / 19.0,
                );
                let x = columns.start
                    + part(
                        (f64::from(n) + u) * tile / (tile * 5.0),
                        columns.end - columns.start,
                    );
                let y = rows.start + part(v, rows.end - rows.start);
                let seen = light(&row, x, y) > 0.5;
                // The face up lies to the near end of the row; edge and spine stay where they were.
                let look = |u: f64| {
                    let [low, up] = [part(1.0 - v, wide), part(u, high)];
                    light(&end, across.start + low, through.start + up) > 0.5
                };
                count += 1;
                same += u32::from(seen == look(u));
                mirrored += u32::from(seen == look(1.0 - u));
            }
            // Turned over like a page, every second one shows the other face of the saw cut.
            let turned_over = lay == "mirrored" && n % 2 == 1;
            let (right, wrong) = if turned_over {
                (mirrored, same)
            } else {
                (same, mirrored)
            };
            assert!(
                right >= 396 && wrong < 330,
                "{lay} tile {n}: {right} {wrong} of {count}"
            );
        }
    }
}
