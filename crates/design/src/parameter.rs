//! Sizes, joints and directions that a job may choose, by path.

use crate::handlebar::DrivenInput;
use crate::job::Axis;
use crate::joints::PLACES;
use crate::vehicle::Vehicle;
use kinematics::V3;

/// A size of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// Diameter of a section of the stub axle.
    Diameter(usize),
    /// Fillet at the inner end of a section.
    Fillet(usize),
    /// Diameter of the boss at the stub axle's root.
    Boss,
    /// Outer diameter of the rods of the steering.
    Rods,
    /// Outer diameter of the wishbones' legs.
    Legs,
    /// Radius of the cable's sheave on the handlebar.
    Sheave,
    /// Radius of the sheaves that the cable turns.
    Driven,
}

const SECTIONS: &str = "stub_axle.sections.";
const SINGLE: [(&str, Size); 5] = [
    ("stub_axle.boss_diameter_mm", Size::Boss),
    ("rods.outer_diameter_mm", Size::Rods),
    ("wishbone_legs.outer_diameter_mm", Size::Legs),
    ("steering.handlebar.sheave.radius_mm", Size::Sheave),
    ("steering.handlebar.driven.radius_mm", Size::Driven),
];

impl Size {
    /// A size of the cable drive.
    pub(crate) fn of_cable(self) -> bool {
        matches!(self, Size::Sheave | Size::Driven)
    }

    /// The size that a path names.
    pub(crate) fn parse(path: &str) -> Option<Size> {
        if let Some((_, size)) = SINGLE.iter().find(|(own, _)| *own == path) {
            return Some(*size);
        }
        let (index, field) = path.strip_prefix(SECTIONS)?.split_once('.')?;
        let plain = index == "0" || !index.starts_with(['0', '+']);
        let index = index.parse().ok().filter(|_| plain)?;
        match field {
            "diameter_mm" => Some(Size::Diameter(index)),
            "fillet_mm" => Some(Size::Fillet(index)),
            _ => None,
        }
    }
}

/// Paths of all sizes of a vehicle with so many sections of the stub axle and these other blocks.
pub(crate) fn all(sections: usize, has: impl Fn(&str) -> bool) -> Vec<String> {
    let each = |field: &'static str| (0..sections).map(move |k| format!("{SECTIONS}{k}.{field}"));
    let single = SINGLE.iter().map(|(path, _)| (*path).to_owned());
    each("diameter_mm")
        .chain(each("fillet_mm"))
        .chain(single.filter(|path| has(&format!("/{}", path.replace('.', "/")))))
        .collect()
}

/// The size in a vehicle, mm; nothing where the vehicle does not give it.
pub(crate) fn get(vehicle: &Vehicle, path: &str) -> Option<f64> {
    let axle = vehicle.stub_axle.as_ref();
    match Size::parse(path)? {
        Size::Diameter(k) => Some(axle?.sections.get(k)?.diameter_mm),
        Size::Fillet(k) => Some(axle?.sections.get(k)?.fillet_mm),
        Size::Boss => axle?.boss_diameter_mm,
        Size::Rods => Some(vehicle.rods.as_ref()?.outer_diameter_mm),
        Size::Legs => Some(vehicle.wishbone_legs.as_ref()?.outer_diameter_mm),
        Size::Sheave => Some(vehicle.steering.cable()?.sheave.radius_mm),
        Size::Driven => match vehicle.steering.cable()?.driven {
            DrivenInput::Crank { radius_mm } | DrivenInput::Knuckles { radius_mm, .. } => {
                Some(radius_mm)
            }
        },
    }
}

/// The same to write to.
pub(crate) fn get_mut<'v>(vehicle: &'v mut Vehicle, path: &str) -> Option<&'v mut f64> {
    let axle = vehicle.stub_axle.as_mut();
    match Size::parse(path)? {
        Size::Diameter(k) => Some(&mut axle?.sections.get_mut(k)?.diameter_mm),
        Size::Fillet(k) => Some(&mut axle?.sections.get_mut(k)?.fillet_mm),
        Size::Boss => axle?.boss_diameter_mm.as_mut(),
        Size::Rods => Some(&mut vehicle.rods.as_mut()?.outer_diameter_mm),
        Size::Legs => Some(&mut vehicle.wishbone_legs.as_mut()?.outer_diameter_mm),
        Size::Sheave => Some(&mut vehicle.steering.cable_mut()?.sheave.radius_mm),
        Size::Driven => match &mut vehicle.steering.cable_mut()?.driven {
            DrivenInput::Crank { radius_mm } | DrivenInput::Knuckles { radius_mm, .. } => {
                Some(radius_mm)
            }
        },
    }
}

/// Place of the joint that a path names, in the order of [`PLACES`].
pub(crate) fn joint_place(path: &str) -> Option<usize> {
    let name = path.strip_prefix("joints.")?;
    PLACES.iter().position(|place| *place == name)
}

/// The joint's name in a vehicle.
pub(crate) fn joint<'v>(vehicle: &'v Vehicle, path: &str) -> Option<&'v String> {
    vehicle.joints.names()[joint_place(path)?]
}

/// The same to write to.
pub(crate) fn joint_mut<'v>(vehicle: &'v mut Vehicle, path: &str) -> Option<&'v mut String> {
    let joints = &mut vehicle.joints;
    let names = [
        &mut joints.lower_ball_joint,
        &mut joints.upper_ball_joint,
        &mut joints.inner_rod_end,
        &mut joints.outer_rod_end,
    ];
    names.into_iter().nth(joint_place(path)?)?.as_mut()
}

/// The directions that may be turned.
pub(crate) const DIRECTIONS: [&str; 6] = [
    "fittings.lower_stud",
    "fittings.upper_stud",
    "fittings.lower_socket",
    "fittings.upper_socket",
    "fittings.inner_bolt",
    "fittings.outer_bolt",
];

/// The direction of that path, if the vehicle gives it.
pub(crate) fn direction_mut<'v>(vehicle: &'v mut Vehicle, path: &str) -> Option<&'v mut [f64; 3]> {
    let f = &mut vehicle.fittings;
    let all = [
        &mut f.lower_stud,
        &mut f.upper_stud,
        &mut f.lower_socket,
        &mut f.upper_socket,
        &mut f.inner_bolt,
        &mut f.outer_bolt,
    ];
    let place = DIRECTIONS.iter().position(|known| *known == path)?;
    all.into_iter().nth(place)?.as_mut()
}

/// The direction turned about an axis of the frame, a unit vector in whole multiples of 1e-9.
pub(crate) fn turned(direction: [f64; 3], about: Axis, deg: f64) -> [f64; 3] {
    let axis = match about {
        Axis::X => V3::new(1.0, 0.0, 0.0),
        Axis::Y => V3::new(0.0, 1.0, 0.0),
        Axis::Z => V3::new(0.0, 0.0, 1.0),
    };
    let (s, c) = (libm::sin(deg.to_radians()), libm::cos(deg.to_radians()));
    let turned = V3::from(direction).unit().rotated(axis, c, s);
    turned.to_array().map(|x| libm::round(x * 1e9) / 1e9 + 0.0)
}
