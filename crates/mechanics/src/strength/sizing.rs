//! The smallest standard diameters that pass.

use super::StubAxle;

/// Bores of rolling bearings, mm, from the boundary plan of ISO 15 (bore codes 00 to 12).
pub const BEARING_BORES_MM: [f64; 13] = [
    10.0, 12.0, 15.0, 17.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0,
];

/// Makes every section of the axle as thin as the bores allow: starts with the smallest, raises
/// what fails by one bore at a time, and keeps each section at least as thick as the one outside
/// it. `safety` says for each spot of an axle (see [`StubAxle::spot`]) how safe it is against
/// what is asked for, 1 being just enough. The boss grows along where a section would outgrow
/// it. `None` where even the largest bore fails.
pub fn smallest_diameters(
    axle: &StubAxle,
    mut safety: impl FnMut(&StubAxle, usize) -> f64,
) -> Option<StubAxle> {
    let mut sizes = vec![0_usize; axle.sections.len()];
    loop {
        let sized = with_sizes(axle, &sizes);
        let mut raise = vec![false; sizes.len()];
        for spot in 0..sized.spot_count() {
            if safety(&sized, spot) < 1.0 {
                raise[at_fault(&sized, spot)] = true;
            }
        }
        if !raise.contains(&true) {
            return Some(sized);
        }
        for (size, more) in sizes.iter_mut().zip(raise) {
            *size += usize::from(more);
        }
        for i in (1..sizes.len()).rev() {
            sizes[i - 1] = sizes[i - 1].max(sizes[i]);
        }
        if sizes[0] >= BEARING_BORES_MM.len() {
            return None;
        }
    }
}

fn with_sizes(axle: &StubAxle, sizes: &[usize]) -> StubAxle {
    let mut sized = axle.clone();
    for (section, size) in sized.sections.iter_mut().zip(sizes) {
        section.diameter = BEARING_BORES_MM[*size];
    }
    sized.boss = sized.boss.max(sized.sections[0].diameter);
    sized
}

/// The section to be raised for a spot: the thinner one of the shoulder.
fn at_fault(axle: &StubAxle, spot: usize) -> usize {
    let mut end = 0.0;
    match axle.spot(spot).section {
        Some(section) => section,
        None => axle
            .sections
            .iter()
            .position(|s| {
                end += s.length;
                axle.bearings[0] <= end
            })
            .unwrap_or(0),
    }
}
