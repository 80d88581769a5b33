//! A bar of one temperature all through, second by second.

/// Mean specific heat of EN 1993-1-2:2005 3.4.1.2, J/kg/K.
fn specific_heat(at: f64) -> f64 {
    match at {
        at if at > 900.0 => 650.0,
        at if at > 735.0 => 545.0 + 17_820.0 / (at - 731.0),
        at if at > 600.0 => 666.0 + 13_002.0 / (738.0 - at),
        at => 425.0 + 0.773 * at - 1.69e-3 * at * at + 2.22e-6 * at.powi(3),
    }
}

/// Seconds for a bar of that section, mm, from one temperature to another, C, with so much of its outline open
/// to walls and gas at `around` C, of that emissivity and film, W/m2/K.
pub(crate) fn lumped(
    [width, thick]: [f64; 2],
    open: f64,
    [from, to]: [f64; 2],
    around: f64,
    [emissivity, film]: [f64; 2],
) -> f64 {
    let fourth = |celsius: f64| (celsius + 273.15_f64).powi(4);
    let per_area = 7850.0 * width * thick / 1000.0 / open;
    let (mut at, mut seconds) = (from, 0.0);
    while (at - to) * (from - to).signum() > 0.0 && seconds < 1e5 {
        let radiated = emissivity * 5.670_374e-8 * (fourth(around) - fourth(at));
        at += 0.25 * (radiated + film * (around - at)) / (per_area * specific_heat(at));
        seconds += 0.25;
    }
    seconds
}
