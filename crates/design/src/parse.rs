//! Text to checked wire types: every fault at once.

use crate::as_built::AsBuilt;
use crate::check::Walk;
use crate::convert;
use crate::fault::{Fault, figure};
use crate::job::Job;
use crate::json;
use crate::rules::{Rules, as_built, asks, layouts, moves, tolerance, vehicle};
use crate::shape::{Kind, Shape};
use crate::stands::{self, pointer};
use crate::tables;
use crate::vehicle::Vehicle;
use kinematics::{Linkage, Target};
use mechanics::check_cable;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Reads and checks a vehicle file. Beyond its form, the machine must assemble in its design pose.
///
/// # Errors
/// Every fault of the document, each with a JSON pointer, the value and what is allowed.
pub fn parse_vehicle(text: &str) -> Result<Vehicle, Vec<Fault>> {
    let mut faults = Vec::new();
    let value = json::read(text, &mut faults);
    if let Some(value) = &value {
        shape(value, &tables::vehicle::VEHICLE, &mut faults);
        vehicle::check(value, "", &mut faults);
    }
    let vehicle: Vehicle = finish(value, faults)?;
    assembles(&vehicle, "").map(|()| vehicle)
}

/// Reads and checks a job file. What needs the machine's poses (holds that have a solution, goals
/// that something changes) is looked at by [`crate::Compiled::new`].
///
/// # Errors
/// Every fault of the document, each with a JSON pointer, the value and what is allowed.
pub fn parse_job(text: &str) -> Result<Job, Vec<Fault>> {
    let mut faults = Vec::new();
    let value = json::read(text, &mut faults);
    if let Some(value) = &value {
        shape(value, &tables::job::JOB, &mut faults);
        if let Some(inner) = value.get("vehicle") {
            vehicle::check(inner, "/vehicle", &mut faults);
        }
        let mut rules = Rules {
            value,
            base: "",
            faults: &mut faults,
        };
        moves::check(&mut rules);
        asks::check(&mut rules);
        tolerance::check(&mut rules);
        layouts::check(value, &mut faults);
    }
    let job: Job = finish(value, faults)?;
    assembles(&job.vehicle, "/vehicle")?;
    for (i, layout) in job.layouts.iter().enumerate() {
        assembles(&layout.vehicle, &format!("/layouts/{i}/vehicle"))?;
    }
    Ok(job)
}

/// Reads and checks what a fit of a machine as built is asked by.
///
/// # Errors
/// Every fault of the document, each with a JSON pointer, the value and what is allowed.
pub fn parse_as_built(text: &str) -> Result<AsBuilt, Vec<Fault>> {
    let mut faults = Vec::new();
    let value = json::read(text, &mut faults);
    if let Some(value) = &value {
        shape(value, &tables::as_built::AS_BUILT, &mut faults);
        if let Some(inner) = value.get("vehicle") {
            vehicle::check(inner, "/vehicle", &mut faults);
        }
        as_built::check(&mut Rules {
            value,
            base: "",
            faults: &mut faults,
        });
    }
    let asked: AsBuilt = finish(value, faults)?;
    assembles(&asked.vehicle, "/vehicle").map(|()| asked)
}

fn shape(value: &Value, shape: &'static Shape, faults: &mut Vec<Fault>) {
    Walk::new(faults, "").value(value, &Kind::Object(shape));
}

fn finish<T: DeserializeOwned>(value: Option<Value>, faults: Vec<Fault>) -> Result<T, Vec<Fault>> {
    match value {
        Some(value) if faults.is_empty() => serde_json::from_value(value).map_err(|error| {
            vec![Fault {
                pointer: String::new(),
                message: format!("the document could not be read: {error}"),
                value: String::new(),
                allowed: String::new(),
            }]
        }),
        _ => Err(faults),
    }
}

/// The machine assembles in its design pose.
pub(crate) fn assembles(vehicle: &Vehicle, base: &str) -> Result<(), Vec<Fault>> {
    match Linkage::new(&convert::machine(vehicle)) {
        Ok(linkage) => {
            cables(vehicle, &linkage, base)?;
            apart(vehicle, &linkage, base)
        }
        Err(fault) => Err(vec![Fault {
            pointer: format!("{base}{}", pointer(vehicle, &fault)),
            message: format!("the machine does not assemble in its design pose: {fault}"),
            value: String::new(),
            allowed: "a machine that stands on the ground, away from every dead centre".into(),
        }]),
    }
}

/// No box stands in the way of what it does not carry in the design pose.
fn apart(vehicle: &Vehicle, linkage: &Linkage, base: &str) -> Result<(), Vec<Fault>> {
    let Some(body) = convert::body(vehicle) else {
        return Ok(());
    };
    let names = convert::box_names(vehicle);
    let boxes: &[crate::BoxInput] = vehicle.shapes.as_ref().map_or(&[], |s| &s.boxes);
    let centre = |i: usize| format!("a box about {:?} mm", boxes[i].centre_mm);
    let fault = |(index, part, gap): (usize, mechanics::Part, f64)| {
        let (i, name) = &names[index];
        let part = convert::part_name(part, vehicle);
        Fault {
            pointer: format!("{base}/shapes/boxes/{i}"),
            message: format!(
                "the box {name} and the {part} overlap by {} mm in the design pose (lean 0°, steer 0°)",
                figure(libm::round(-10.0 * gap) / 10.0)
            ),
            value: centre(*i),
            allowed: "a box clear of everything that its field carries does not name".into(),
        }
    };
    let faults: Vec<Fault> = mechanics::boxes_in_the_way(linkage, &body)
        .into_iter()
        .map(fault)
        .collect();
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults),
    }
}

/// Poses in which cables must have a path: lean and crank, degrees.
const CABLED: [[f64; 2]; 5] = [
    [0.0, 0.0],
    [8.0, 0.0],
    [-8.0, 0.0],
    [0.0, 20.0],
    [0.0, -20.0],
];

/// The cables run clear through the design pose and some around it.
fn cables(vehicle: &Vehicle, linkage: &Linkage, base: &str) -> Result<(), Vec<Fault>> {
    let Some(drive) = vehicle.steering.cable().map(convert::cable) else {
        return Ok(());
    };
    for [lean_deg, steer_deg] in CABLED {
        let target = Target {
            lean: lean_deg.to_radians(),
            steer: steer_deg.to_radians(),
            mean_travel: None,
        };
        // What the linkage does not reach is no matter of the cables.
        let Ok(pose) = linkage.pose(&target) else {
            continue;
        };
        let design = lean_deg == 0.0 && steer_deg == 0.0;
        if let Some(fault) = check_cable(linkage, &drive, &pose, design) {
            let (place, what) = stands::cable(vehicle, &fault);
            let at = match design {
                true => "in the design pose".to_owned(),
                false => format!("leaned {lean_deg}° with the crank at {steer_deg}°"),
            };
            return Err(vec![Fault {
                pointer: format!("{base}{place}"),
                message: format!("{what} {at}"),
                value: String::new(),
                allowed: "each sheave touched from outside, on its given side".into(),
            }]);
        }
    }
    Ok(())
}
