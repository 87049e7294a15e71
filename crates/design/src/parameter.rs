//! Sizes of parts that a job may choose from a list, by path.

use crate::vehicle::Vehicle;

/// Index of the section whose diameter a path names.
pub(crate) fn section(path: &str) -> Option<usize> {
    let index = path
        .strip_prefix("stub_axle.sections.")?
        .strip_suffix(".diameter_mm")?;
    let plain = index == "0" || !index.starts_with(['0', '+']);
    index.parse().ok().filter(|_| plain)
}

/// The size in a vehicle, mm; nothing where the vehicle gives no such part.
pub(crate) fn get(vehicle: &Vehicle, path: &str) -> Option<f64> {
    let axle = vehicle.stub_axle.as_ref()?;
    axle.sections.get(section(path)?).map(|s| s.diameter_mm)
}

/// The same to write to.
pub(crate) fn get_mut<'v>(vehicle: &'v mut Vehicle, path: &str) -> Option<&'v mut f64> {
    let axle = vehicle.stub_axle.as_mut()?;
    let section = axle.sections.get_mut(section(path)?)?;
    Some(&mut section.diameter_mm)
}
