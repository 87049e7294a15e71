//! Sizes of parts that a job may choose from a list, by path.

use crate::vehicle::Vehicle;

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
}

const SECTIONS: &str = "stub_axle.sections.";
const SINGLE: [(&str, Size); 3] = [
    ("stub_axle.boss_diameter_mm", Size::Boss),
    ("rods.outer_diameter_mm", Size::Rods),
    ("wishbone_legs.outer_diameter_mm", Size::Legs),
];

impl Size {
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
    }
}
