//! `[[tank]]`.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{CabinetAir, Cover, Pane, PaneMaterial, Tank};

use super::Assumptions;
use super::assumed::{folded, row};
use crate::fields::tank::{CABINET, LID, PANE, TANK};
use crate::names::name_of;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::reader::Reader;

/// Usual proportions, unitless: length over width and over height, as of a tank of 120 × 50 × 50 cm. Common practice, no source.
const LENGTH_OVER_WIDTH: f64 = 2.4;
/// Water height over inner height, unitless, where none is stated. Common practice, no source.
const FILLED_FRAC: f64 = 0.9;
/// A lid of which nothing is described: 4 mm thick, no insulation. Common practice, no source.
pub const USUAL_LID: Cover = Cover::Lid {
    thickness_m: 0.004,
    extra_m2_k_per_w: 0.0,
};

pub(super) fn read_all(
    tables: &[&Table],
    problems: &Problems,
    assumptions: &mut Assumptions,
) -> Result<Vec<Tank>, Reported> {
    let mut said = Vec::new();
    let read: Vec<_> = tables
        .iter()
        .map(|table| read(table, tables.len() == 1, problems, &mut said))
        .collect();
    let folded = folded(said.into_iter()).into_iter();
    assumptions.extend(folded.map(|(names, text)| format!("{}: {text}", row(&names))));
    read.into_iter().collect()
}

fn read(
    table: &Table,
    only: bool,
    problems: &Problems,
    said: &mut Vec<(String, String)>,
) -> Result<Tank, Reported> {
    let reader = Reader::open(table, &TANK, problems);
    let name = reader.text("name");
    let shape = shape(&reader);
    let cover = reader.choice("cover");
    let lid = lid(&reader, problems);
    let rock = reader.quantity("rock");
    let cabinet = cabinet(&reader, problems);
    let livestock = reader.optional_flag("livestock");
    let agitation = reader.number("agitation");
    let surroundings = reader.quantity("surroundings");
    let spread = spread(&reader);
    let length_m = shape.as_ref().map_or(1.0, |shape| shape.inside_m[0]);
    let pane = pane(&reader, length_m, problems);
    let (name, shape, (pane, thickness_assumed)) = (name?, shape?, pane?);
    if shape.assumed {
        let volume = shape.inside_m.iter().product::<f64>();
        let sides = shape
            .inside_m
            .map(|side| print(Kind::Length, side, System::Metric))
            .join(" × ");
        let volume = print(Kind::Volume, volume, System::Metric);
        said.push((
            name.clone(),
            format!("usual proportions assumed for {volume}: {sides} inside"),
        ));
    }
    if shape.height_assumed {
        let height = print(Kind::Length, shape.water_height_m, System::Metric);
        said.push((name.clone(), format!("water assumed to stand {height} high")));
    }
    if thickness_assumed {
        let thickness = print(Kind::Length, pane.thickness_m, System::Metric);
        said.push((name.clone(), format!("panes assumed {thickness} thick")));
    }
    let tank = Tank {
        name,
        length_m: shape.inside_m[0],
        width_m: shape.inside_m[1],
        height_m: shape.inside_m[2],
        water_height_m: shape.water_height_m,
        pane,
        cover: match cover? {
            "mesh" => Cover::Mesh,
            "lid" => lid?,
            _ => Cover::Open,
        },
        rock_kg: rock?,
        cabinet: cabinet?,
        livestock: livestock?.unwrap_or(only),
        agitation: agitation?,
        surroundings_offset_k: surroundings?,
        proportions_assumed: shape.assumed,
    };
    check_water(&reader, &tank)?;
    Ok(tank.differing(spread?))
}

/// How much copies differ, as a share.
fn spread(reader: &Reader<'_>) -> Result<f64, Reported> {
    let (copies, spread) = (reader.whole("copies"), reader.quantity("spread"));
    let (copies, spread) = (copies?, spread?);
    if copies < 2 && spread > 0.0 {
        let problem = Problem::new(
            "spread-of-one",
            reader.place_of("spread"),
            "`spread` needs `copies`: one tank does not differ from itself",
        )
        .label("no copies")
        .expected("`copies` of 2 or more, or no `spread`")
        .fix("copies = 8");
        return Err(reader.report(problem));
    }
    Ok(spread)
}

struct Shape {
    inside_m: [f64; 3],
    water_height_m: f64,
    assumed: bool,
    height_assumed: bool,
}

fn shape(reader: &Reader<'_>) -> Result<Shape, Reported> {
    let volume = reader.optional_quantity("volume");
    let inside = reader.optional_quantities("inside");
    let water_height = reader.optional_quantity("water_height");
    let (volume, inside, water_height) = (volume?, inside?, water_height?);
    let (inside_m, assumed) = match (volume, inside.as_deref()) {
        (Some(_), Some(_)) => {
            let problem = Problem::new(
                "volume-and-dimensions",
                reader.place_of("volume"),
                "a tank has `volume` or `inside`, not both",
            )
            .label("leave one of the two out")
            .expected("`inside` where the dimensions are known, else `volume`");
            return Err(reader.report(problem));
        }
        (Some(volume_m3), None) => (usual_proportions(volume_m3), true),
        (None, Some([length, width, height])) => ([*length, *width, *height], false),
        _ => {
            let problem = Problem::new(
                "missing-field",
                reader.place(),
                "a tank needs `inside` or `volume`",
            )
            .label("no size")
            .expected("`inside` (length, width, height), or `volume` if no dimensions are known")
            .fix("inside = [\"120 cm\", \"50 cm\", \"50 cm\"]");
            return Err(reader.report(problem));
        }
    };
    let water_height_m = water_height.unwrap_or(FILLED_FRAC * inside_m[2]);
    if water_height_m > inside_m[2] {
        let height = print(Kind::Length, inside_m[2], System::Metric);
        let problem = Problem::new(
            "out-of-range",
            reader.place_of("water_height"),
            "the water stands higher than the tank",
        )
        .label("out of range")
        .expected(format!("at most the inner height, {height}"));
        return Err(reader.report(problem));
    }
    Ok(Shape {
        inside_m,
        water_height_m,
        assumed,
        height_assumed: water_height.is_none(),
    })
}

/// Length, width and height, m, of a tank of which only the full inside volume is known.
fn usual_proportions(volume_m3: f64) -> [f64; 3] {
    // The cube root of a positive number; the loader is no part of a run, so std's serves.
    let width_m = (volume_m3 / LENGTH_OVER_WIDTH).cbrt();
    [LENGTH_OVER_WIDTH * width_m, width_m, width_m]
}

/// Usual thickness of glass by the length of the tank, m. Common practice, no source.
fn usual_thickness_m(length_m: f64) -> f64 {
    match length_m {
        length if length <= 0.5 => 0.005,
        length if length <= 0.8 => 0.006,
        length if length <= 1.0 => 0.008,
        length if length <= 1.2 => 0.010,
        length if length <= 1.6 => 0.012,
        length if length <= 2.0 => 0.015,
        _ => 0.019,
    }
}

/// The panes, and whether their thickness was assumed.
fn pane(reader: &Reader<'_>, length_m: f64, problems: &Problems) -> Result<(Pane, bool), Reported> {
    let empty = Table {
        place: reader.place().clone(),
        entries: Vec::new(),
    };
    let table = reader.optional_table("pane")?.unwrap_or(&empty);
    let reader = Reader::open(table, &PANE, problems);
    let material = reader.choice("material");
    let thickness = reader.optional_quantity("thickness");
    let (wrap, under) = (reader.quantity("wrap"), reader.quantity("under"));
    let (free_sides, free_bottom) = (reader.quantity("free_sides"), reader.quantity("free_bottom"));
    let thickness = thickness?;
    let pane = Pane {
        material: if material? == "acrylic" {
            PaneMaterial::Acrylic
        } else {
            PaneMaterial::Glass
        },
        thickness_m: thickness.unwrap_or_else(|| usual_thickness_m(length_m)),
        extra_sides_m2_k_per_w: wrap?,
        extra_bottom_m2_k_per_w: under?,
        free_sides_frac: free_sides?,
        free_bottom_frac: free_bottom?,
    };
    Ok((pane, thickness.is_none()))
}

fn lid(reader: &Reader<'_>, problems: &Problems) -> Result<Cover, Reported> {
    let Some(table) = reader.optional_table("lid")? else {
        return Ok(USUAL_LID);
    };
    let reader = Reader::open(table, &LID, problems);
    let (thickness, blanket) = (reader.quantity("thickness"), reader.quantity("blanket"));
    Ok(Cover::Lid {
        thickness_m: thickness?,
        extra_m2_k_per_w: blanket?,
    })
}

fn cabinet(reader: &Reader<'_>, problems: &Problems) -> Result<Option<CabinetAir>, Reported> {
    let empty = Table {
        place: reader.place().clone(),
        entries: Vec::new(),
    };
    let table = match reader.node("in_cabinet") {
        Some(Node {
            value: Value::Table(table),
            ..
        }) => table,
        _ if reader.flag("in_cabinet")? => &empty,
        _ => return Ok(None),
    };
    let reader = Reader::open(table, &CABINET, problems);
    let (warmer, more_humid) = (reader.quantity("warmer"), reader.quantity("more_humid"));
    Ok(Some(CabinetAir {
        warmer_k: warmer?,
        more_humid_frac: more_humid?,
    }))
}

fn check_water(reader: &Reader<'_>, tank: &Tank) -> Result<(), Reported> {
    // Rock fills at most half: beyond that the lumped model of water and rock means nothing.
    let full = tank.surface_m2() * tank.water_height_m;
    if tank.water_volume_m3() >= 0.5 * full {
        return Ok(());
    }
    let full = print(Kind::Volume, full, System::Metric);
    let problem = Problem::new(
        "too-much-rock",
        reader.place_of("rock"),
        format!("the rock fills more than half of {full}"),
    )
    .label("too much rock")
    .expected("rock that leaves at least half of the water (2 kg take up 1 L)");
    Err(reader.report(problem))
}

/// At least one tank must have livestock: only such tanks are judged.
pub(super) fn check_livestock(tables: &[&Table], tanks: Option<&[Tank]>, problems: &Problems) {
    let Some(tanks) = tanks else { return };
    if tanks.is_empty() || tanks.iter().any(|tank| tank.livestock) {
        return;
    }
    let names: Vec<&str> = tables.iter().filter_map(|table| name_of(table)).collect();
    let problem = Problem::new(
        "no-livestock",
        &tables[0].place,
        "no tank has livestock: nothing would be judged",
    )
    .label("say in which tank the livestock is")
    .expected(format!("`livestock = true` in one of {}", names.join(", ")))
    .fix("livestock = true");
    problems.add(problem);
}
