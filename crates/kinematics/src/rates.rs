//! How fast the wheels turn with the drive.

use crate::{Drive, Linkage, Pose, V3};

impl Linkage {
    /// d(steer angle) / d(drive) of the left and right wheel, per radian of the crank (of the
    /// handlebar behind a drag link) or per mm of the slider, at constant lean on the coupling of `drive`, frame pitch following.
    pub fn steer_rates(&self, pose: &Pose<f64>, drive: &Drive<f64>) -> [f64; 2] {
        match self.driver.is_cross() {
            true => self.rates::<true>(pose, drive),
            false => self.rates::<false>(pose, drive),
        }
    }

    fn rates<const CROSS: bool>(&self, pose: &Pose<f64>, drive: &Drive<f64>) -> [f64; 2] {
        let (drive, _) = &self.at_crank(drive);
        let ends = self.driver.ends(drive);
        let system = self.system::<f64, CROSS>(drive, &ends, &pose.unknowns);
        let crank_rate = self.crank_per_handlebar(pose);
        let mut inner = self.driver.end_rates(drive).map(|v| v.scale(crank_rate));
        let moved = |i: usize, velocity| {
            self.corners[i].steer_rate(&system.states[i], system.rod_inner[i], velocity)
        };
        let (a, b) = self.driver.order();
        let first = moved(a, inner[a]);
        if CROSS {
            inner[b] = first.of_point(&system.states[a], system.rod_inner[b]);
        }
        let moved = [moved(0, inner[0]), moved(1, inner[1])];
        let lift = |i: usize| self.lift(i, system.up, &system.drops[i], &moved[i]);
        let turns = system.turns::<CROSS>([lift(0), lift(1)], 0.0);
        let up_rate = system.up_rate.scale(turns.pitch);
        let mut whole = [0, 1].map(|i: usize| moved[i].plus(&system.rates[i], turns.arms[i]));
        if CROSS {
            let velocity = system.rates[a].of_point(&system.states[a], system.rod_inner[b]);
            let carried =
                self.corners[b].steer_rate(&system.states[b], system.rod_inner[b], velocity);
            whole[b] = whole[b].plus(&carried, turns.arms[a]);
        }
        [0, 1].map(|i: usize| {
            heading_rate(
                self.rear_axis,
                system.up,
                up_rate,
                system.states[i].axis,
                whole[i].axis,
            )
        })
    }
}

/// Rate of atan2(n·(a_r × a), a·a_r − (a·n)(a_r·n)): the angle on the ground from the
/// heading of the axis a_r to that of the axis a.
fn heading_rate(rear: V3<f64>, n: V3<f64>, dn: V3<f64>, a: V3<f64>, da: V3<f64>) -> f64 {
    let y = n.dot(rear.cross(a));
    let x = a.dot(rear) - a.dot(n) * rear.dot(n);
    let dy = dn.dot(rear.cross(a)) + n.dot(rear.cross(da));
    let dx = da.dot(rear) - (da.dot(n) + a.dot(dn)) * rear.dot(n) - a.dot(n) * rear.dot(dn);
    (x * dy - y * dx) / (x * x + y * y)
}
