//! Forming: stress, spread, force, blows, heats, cuts, volumes, margins.

use crate::oracle::spittel::spittel_c45;
use anvilside::physics::blade_volume::{self, Bevel, Blade, Bolster};
use anvilside::physics::draw_plan::{plan_draw, squeezes};
use anvilside::physics::frame_margin::{self, Unsure, Wedge};
use anvilside::physics::hammer::{self, Hammer};
use anvilside::physics::heats;
use anvilside::physics::{
    Bar, Bite, OutOfRange, Pressing, Spread, Working, flat_pass, flow_stress, press_force,
    pressure_factor, shida, spread_coefficient, stops_at, widest_bar,
};
use anvilside::units::{Celsius, Density, Fraction, Grams, Joules, Kilonewtons, Mm, Mm2, Mm3};

use crate::checks::row::{Answer, Function, Input};

type Given = Result<Answer, String>;

pub(crate) fn laws() -> Vec<(&'static str, Function)> {
    vec![
        ("flow-stress.shida-mpa", shida_mpa),
        ("flow-stress.rate-exponent", rate_exponent),
        ("flow-stress.high-mpa", high_mpa),
        ("flow-stress.mpa", mpa),
        ("spittel.mpa", spittel_mpa),
        ("spittel.shida-over-it", shida_over_spittel),
        ("draw-out.coefficient", coefficient),
        ("draw-out.flat-width-mm", flat_width),
        ("draw-out.flat-length-mm", flat_length),
        ("fish-mouth.measure-mm", fish_mouth),
        ("draw-plan.flat-log", flat_log),
        ("draw-plan.edge-log", edge_log),
        ("draw-plan.length-ratio", length_ratio),
        ("draw-plan.bites", plan_bites),
        ("press-force.factor", factor),
        ("press-force.kn", force_kn),
        ("press-force.widest-mm", widest_mm),
        ("press-force.stops-mm", stops_mm),
        ("press-force.us-tons-kn", us_tons),
        ("hammer.energy-j", energy),
        ("hammer.strain", blow_strain),
        ("hammer.off-mm", blow_off),
        ("hammer.verdict", verdict),
        ("heats.ratio", ratio_heats),
        ("blade-volume.taper-mm3", taper),
        ("blade-volume.prismatoid-mm3", prismatoid),
        ("blade-volume.section", section),
        ("blade-volume.blade-mm3", blade),
        ("blade-volume.bolster-mm3", bolster),
        ("blade-volume.mass-g", mass),
        ("frame-margin.forged-mm", forged),
        ("frame-margin.ground-mm", ground_margin),
        ("frame-margin.chance", chance),
        ("frame-margin.near-mm", near_line),
        ("frame-margin.far-mm", far_line),
        ("frame-margin.greatest-off-mm", greatest_off),
    ]
}

fn say<T>(result: Result<T, OutOfRange>) -> Result<T, String> {
    result.map_err(|e| e.to_string())
}

fn mm(input: &Input<'_>, name: &str) -> Result<Mm, String> {
    input.number(name).map(Mm)
}

fn working(input: &Input<'_>) -> Result<Working, String> {
    Ok(Working {
        temperature: Celsius(input.number("celsius")?),
        strain: input.number("strain")?,
        rate: input.number("rate")?,
    })
}

fn shida_mpa(input: &Input<'_>) -> Given {
    Ok(say(shida(input.number("c")?, working(input)?))?.0.0.into())
}

fn rate_exponent(input: &Input<'_>) -> Given {
    Ok(say(shida(input.number("c")?, working(input)?))?.1.into())
}

fn high_mpa(input: &Input<'_>) -> Given {
    Ok(say(flow_stress(&input.metal()?, working(input)?))?
        .high
        .into())
}

/// Either end of the range, or the best.
fn mpa(input: &Input<'_>) -> Given {
    let stress = say(flow_stress(&input.metal()?, working(input)?))?;
    Ok(match input.word_or("end", "best")? {
        "low" => stress.low,
        "high" => stress.high,
        _ => stress.best,
    }
    .into())
}

fn spittel_mpa(input: &Input<'_>) -> Given {
    Ok(spittel_c45(working(input)?).into())
}

fn shida_over_spittel(input: &Input<'_>) -> Given {
    let at = working(input)?;
    Ok((say(shida(0.45, at))?.0.0 / spittel_c45(at)).into())
}

fn coefficient(input: &Input<'_>) -> Given {
    let s = say(spread_coefficient(
        mm(input, "bite_mm")?,
        mm(input, "width_mm")?,
    ))?;
    Ok(s.best.into())
}

fn bar(input: &Input<'_>) -> Result<Bar, String> {
    Ok(Bar {
        height: mm(input, "height_mm")?,
        width: mm(input, "width_mm")?,
        length: mm(input, "length_mm")?,
    })
}

fn flat(input: &Input<'_>) -> Result<Bar, String> {
    say(flat_pass(
        bar(input)?,
        mm(input, "to_mm")?,
        mm(input, "bite_mm")?,
    ))
}

fn flat_width(input: &Input<'_>) -> Given {
    Ok(flat(input)?.width.0.into())
}

fn flat_length(input: &Input<'_>) -> Given {
    Ok(flat(input)?.length.0.into())
}

fn fish_mouth(input: &Input<'_>) -> Given {
    let before = Mm(input.number_or("before_mm", 0.0)?);
    let (from, to) = (input.number("from_mm")?, input.number("to_mm")?);
    anvilside::physics::fish_mouth::measure(before, Mm(from), Mm(to), input.number("longer")?)
        .map(|mm| mm.0.into())
        .map_err(|e| e.to_string())
}

fn squeezed(input: &Input<'_>) -> Result<anvilside::physics::draw_plan::Squeezes, String> {
    let from = Bar {
        height: mm(input, "height_mm")?,
        width: mm(input, "width_mm")?,
        length: Mm(1.0),
    };
    let to = Bar {
        height: mm(input, "to_height_mm")?,
        width: mm(input, "to_width_mm")?,
        length: Mm(1.0),
    };
    Ok(squeezes(
        from,
        to,
        input.number("flat_spread")?,
        input.number("edge_spread")?,
    ))
}

fn flat_log(input: &Input<'_>) -> Given {
    Ok(squeezed(input)?.flat.into())
}

fn edge_log(input: &Input<'_>) -> Given {
    Ok(squeezed(input)?.edge.into())
}

fn length_ratio(input: &Input<'_>) -> Given {
    Ok(squeezed(input)?.longer.into())
}

fn plan(input: &Input<'_>) -> Result<anvilside::physics::draw_plan::DrawPlan, String> {
    plan_draw(
        bar(input)?,
        mm(input, "to_height_mm")?,
        mm(input, "to_width_mm")?,
        mm(input, "bite_mm")?,
        input.number("squeeze")?,
    )
    .map_err(|e| e.to_string())
}

fn plan_bites(input: &Input<'_>) -> Given {
    Ok(plan(input)?.bites.into())
}

fn bite(input: &Input<'_>) -> Result<Bite, String> {
    Ok(Bite {
        bite: mm(input, "bite_mm")?,
        width: mm(input, "width_mm")?,
        height: mm(input, "height_mm")?,
    })
}

fn pressing(input: &Input<'_>) -> Result<Pressing, String> {
    Ok(Pressing {
        metal: input.metal()?,
        temperature: Celsius(input.number("celsius")?),
        strain: input.number("strain")?,
        rate: input.number("rate")?,
    })
}

fn factor(input: &Input<'_>) -> Given {
    Ok(say(pressure_factor(bite(input)?))?.into())
}

fn force_kn(input: &Input<'_>) -> Given {
    Ok(say(press_force(bite(input)?, &pressing(input)?))?
        .best
        .into())
}

fn tons(input: &Input<'_>) -> Result<Kilonewtons, String> {
    input.number("us_tons").map(Kilonewtons::from_us_tons)
}

fn widest_mm(input: &Input<'_>) -> Given {
    let (bite, height) = (mm(input, "bite_mm")?, mm(input, "height_mm")?);
    Ok(
        say(widest_bar(tons(input)?, bite, height, &pressing(input)?))?
            .best
            .into(),
    )
}

fn stops_mm(input: &Input<'_>) -> Given {
    Ok(
        say(stops_at(tons(input)?, bite(input)?, &pressing(input)?))?
            .best
            .into(),
    )
}

fn us_tons(input: &Input<'_>) -> Given {
    Ok(tons(input)?.0.into())
}

fn shop_hammer(input: &Input<'_>) -> Result<Hammer, String> {
    Ok(Hammer {
        ram: Grams::from_pounds(input.number("pounds")?),
        speed: input.number("m_per_s")?,
        efficiency: Fraction(input.number_or("efficiency", 0.7)?),
    })
}

fn energy(input: &Input<'_>) -> Given {
    Ok(say(shop_hammer(input)?.energy())?.0.into())
}

fn given_strain(input: &Input<'_>) -> Result<f64, String> {
    let useful = say(shop_hammer(input)?.useful())?;
    Ok(hammer::blow_strain(
        Joules(useful.0),
        bite(input)?,
        input.number("flow_mpa")?,
    ))
}

fn blow_strain(input: &Input<'_>) -> Given {
    Ok(given_strain(input)?.into())
}

fn blow_off(input: &Input<'_>) -> Given {
    let strain = given_strain(input)?;
    Ok(hammer::taken_off(mm(input, "height_mm")?, strain).0.into())
}

fn verdict(input: &Input<'_>) -> Given {
    let at = Celsius(input.number("celsius")?);
    let blow = say(shop_hammer(input)?.blow(bite(input)?, &input.metal()?, at))?;
    Ok(blow.verdict.words().into())
}

fn ratio_heats(input: &Input<'_>) -> Given {
    let gain = Spread::exact(input.number("gain")?);
    Ok(say(heats::heats_for_ratio(input.number("ratio")?, gain))?
        .best
        .into())
}

fn pair(input: &Input<'_>, name: &str) -> Result<(Mm, Mm), String> {
    match input.list(name)?.as_slice() {
        [a, b] => Ok((Mm(*a), Mm(*b))),
        _ => Err(format!("'{name}' is not two numbers")),
    }
}

fn taper(input: &Input<'_>) -> Given {
    let (start, end) = (pair(input, "start_mm")?, pair(input, "end_mm")?);
    Ok(
        say(blade_volume::taper(mm(input, "length_mm")?, start, end))?
            .0
            .into(),
    )
}

fn prismatoid(input: &Input<'_>) -> Given {
    let area = |name: &str| input.number(name).map(Mm2);
    let (a, m, b) = (area("start_mm2")?, area("middle_mm2")?, area("end_mm2")?);
    Ok(
        say(blade_volume::prismatoid(mm(input, "length_mm")?, a, m, b))?
            .0
            .into(),
    )
}

fn section(input: &Input<'_>) -> Given {
    let share = Fraction(input.number("bevel_share")?);
    let (edge, spine) = (mm(input, "edge_mm")?, mm(input, "spine_mm")?);
    Ok(say(blade_volume::bevel_factor(share, edge, spine, Bevel::Flat))?.into())
}

fn blade(input: &Input<'_>) -> Given {
    let blade = Blade {
        length: mm(input, "length_mm")?,
        height: mm(input, "height_mm")?,
        spine: mm(input, "spine_mm")?,
        tip_spine: mm(input, "tip_mm")?,
        curve: input.number("curve")?,
        section: input.number("section")?,
    };
    Ok(say(blade.volume())?.0.into())
}

fn bolster(input: &Input<'_>) -> Given {
    let shape = match input.word("shape")? {
        "ellipse" => Bolster::Ellipse,
        "octagon" => Bolster::Octagon,
        "block" => Bolster::Block,
        other => return Err(format!("no bolster is called '{other}'")),
    };
    let (w, t, l) = (
        mm(input, "width_mm")?,
        mm(input, "thickness_mm")?,
        mm(input, "length_mm")?,
    );
    Ok(say(shape.volume(w, t, l))?.0.into())
}

fn mass(input: &Input<'_>) -> Given {
    let density = Density(input.number("density")?);
    Ok(Mm3(input.number("mm3")?).mass(density).0.into())
}

fn wedge(input: &Input<'_>) -> Result<Wedge, String> {
    Ok(Wedge {
        height: mm(input, "height_mm")?,
        spine: mm(input, "spine_mm")?,
        edge: mm(input, "edge_mm")?,
    })
}

fn forged(input: &Input<'_>) -> Given {
    let share = Fraction(input.number("share")?);
    Ok(say(wedge(input)?.margin(share))?.forged.0.into())
}

fn ground_margin(input: &Input<'_>) -> Given {
    let share = Fraction(input.number("share")?);
    Ok(say(wedge(input)?.margin(share))?.ground.0.into())
}

fn chance(input: &Input<'_>) -> Given {
    let unsure = Unsure {
        ground_off: mm(input, "ground_off_mm")?,
        off_centre: mm(input, "off_centre_mm")?,
        wave: mm(input, "wave_mm")?,
    };
    let (margin, least) = (mm(input, "margin_mm")?, mm(input, "least_mm")?);
    Ok(frame_margin::chance_nearer(margin, least, unsure).0.into())
}

fn core(input: &Input<'_>) -> Result<frame_margin::CoreLines, String> {
    say(wedge(input)?.core_lines(mm(input, "core_mm")?, mm(input, "off_mm")?))
}

fn near_line(input: &Input<'_>) -> Given {
    Ok(core(input)?.near.0.into())
}

fn far_line(input: &Input<'_>) -> Given {
    Ok(core(input)?.far.0.into())
}

fn greatest_off(input: &Input<'_>) -> Given {
    Ok(core(input)?.greatest_off.0.into())
}
