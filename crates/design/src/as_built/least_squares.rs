//! Bounded least squares with priors, by damped Gauss–Newton steps.

/// Most steps.
const STEPS: usize = 40;
/// A step in standard deviations that is no step any more.
const STILL: f64 = 1e-7;
/// Distance of the neighbours of numerical slopes, in standard deviations of the prior.
const NEAR: f64 = 1e-3;

/// What was found; unknowns are in standard deviations of their priors.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The unknowns.
    pub at: Vec<f64>,
    /// Residuals there, in standard deviations of the readings.
    pub residuals: Vec<f64>,
    /// Covariance of the unknowns, row by row.
    pub covariance: Vec<Vec<f64>>,
}

/// Finds the unknowns that make the sum of squared residuals and of squared unknowns (their
/// priors) smallest within bounds either way: Levenberg (1944) and Marquardt (1963), with the
/// bounds kept by taking out unknowns that lean against theirs. `None` where the start has no
/// residuals, and once halted.
pub(super) fn solve(
    residuals: impl Fn(&[f64]) -> Option<Vec<f64>>,
    bounds: &[f64],
    halted: &dyn Fn() -> bool,
) -> Option<Found> {
    let count = bounds.len();
    let mut at = vec![0.0; count];
    let mut now = residuals(&at)?;
    let mut damping = 1e-3;
    for _ in 0..STEPS {
        if halted() {
            return None;
        }
        let slopes = slopes(&residuals, &at, &now)?;
        let pull = pull(&slopes, &now, &at);
        let free: Vec<bool> = (0..count)
            .map(|i| at[i].abs() < bounds[i] || at[i] * pull[i] > 0.0)
            .collect();
        let mut moved = None;
        while damping < 1e9 && moved.is_none() {
            moved = trial(&slopes, &pull, &free, damping)
                .map(|step| clamped(&at, &step, bounds))
                .and_then(|there| Some((residuals(&there)?, there)))
                .filter(|(r, there)| cost(r, there) <= cost(&now, &at));
            damping *= if moved.is_some() { 0.2 } else { 5.0 };
        }
        let Some((r, there)) = moved else { break };
        let far = at.iter().zip(&there).map(|(a, b)| (a - b).abs());
        let far = far.fold(0.0, f64::max);
        (now, at) = (r, there);
        if far < STILL {
            break;
        }
    }
    let slopes = slopes(&residuals, &at, &now)?;
    let covariance = inverse(&normal(&slopes, count))?;
    Some(Found {
        at,
        residuals: now,
        covariance,
    })
}

fn cost(residuals: &[f64], at: &[f64]) -> f64 {
    residuals.iter().chain(at).map(|x| x * x).sum()
}

/// Rows of slopes, one per residual.
pub(super) fn slopes(
    residuals: &impl Fn(&[f64]) -> Option<Vec<f64>>,
    at: &[f64],
    now: &[f64],
) -> Option<Vec<Vec<f64>>> {
    let mut rows = vec![vec![0.0; at.len()]; now.len()];
    for i in 0..at.len() {
        let beside = |by: f64| {
            let mut there = at.to_vec();
            there[i] += by;
            residuals(&there)
        };
        let (up, down) = (beside(NEAR)?, beside(-NEAR)?);
        for (row, (a, b)) in rows.iter_mut().zip(up.iter().zip(&down)) {
            row[i] = (a - b) / (2.0 * NEAR);
        }
    }
    Some(rows)
}

/// Half the slope of the cost.
fn pull(slopes: &[Vec<f64>], now: &[f64], at: &[f64]) -> Vec<f64> {
    let of = |i: usize| {
        slopes
            .iter()
            .zip(now)
            .map(|(row, r)| row[i] * r)
            .sum::<f64>()
    };
    (0..at.len()).map(|i| of(i) + at[i]).collect()
}

/// The matrix of the normal equations with the priors.
pub(super) fn normal(slopes: &[Vec<f64>], count: usize) -> Vec<Vec<f64>> {
    let product = |i: usize, j: usize| slopes.iter().map(|row| row[i] * row[j]).sum::<f64>();
    let prior = |i: usize, j: usize| if i == j { 1.0 } else { 0.0 };
    (0..count)
        .map(|i| (0..count).map(|j| product(i, j) + prior(i, j)).collect())
        .collect()
}

fn trial(slopes: &[Vec<f64>], pull: &[f64], free: &[bool], damping: f64) -> Option<Vec<f64>> {
    let mut matrix = normal(slopes, pull.len());
    let mut right: Vec<f64> = pull.iter().map(|x| -x).collect();
    for (i, row) in matrix.iter_mut().enumerate() {
        row[i] *= 1.0 + damping;
        for (x, free_j) in row.iter_mut().zip(free) {
            if !(free[i] && *free_j) {
                *x = 0.0;
            }
        }
        if !free[i] {
            (row[i], right[i]) = (1.0, 0.0);
        }
    }
    let lower = cholesky(&matrix)?;
    Some(substituted(&lower, &right))
}

fn clamped(at: &[f64], step: &[f64], bounds: &[f64]) -> Vec<f64> {
    let pairs = at.iter().zip(step).zip(bounds);
    pairs.map(|((x, d), b)| (x + d).clamp(-b, *b)).collect()
}

/// Lower triangle of a symmetric positive matrix.
fn cholesky(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let n = matrix.len();
    let mut lower = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let left = matrix[i][j] - known;
            lower[i][j] = match i == j {
                true if left > 0.0 => libm::sqrt(left),
                true => return None,
                false => left / lower[j][j],
            };
        }
    }
    Some(lower)
}

fn substituted(lower: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let n = right.len();
    let mut x = right.to_vec();
    for i in 0..n {
        let known: f64 = (0..i).map(|k| lower[i][k] * x[k]).sum();
        x[i] = (x[i] - known) / lower[i][i];
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| lower[k][i] * x[k]).sum();
        x[i] = (x[i] - known) / lower[i][i];
    }
    x
}

/// Inverse of a symmetric positive matrix.
pub(super) fn inverse(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let lower = cholesky(matrix)?;
    let n = matrix.len();
    let unit = |i: usize| {
        (0..n)
            .map(|k| if k == i { 1.0 } else { 0.0 })
            .collect::<Vec<_>>()
    };
    Some((0..n).map(|i| substituted(&lower, &unit(i))).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: one unknown read twice, at 2 and 4, each as exact as the prior around 0. The
    /// weighted mean is (0 + 2 + 4)/3 and its variance a third.
    #[test]
    fn a_mean_with_its_prior() {
        let read = |x: &[f64]| Some(vec![x[0] - 2.0, x[0] - 4.0]);
        let found = solve(read, &[10.0], &|| false).unwrap();
        assert!((found.at[0] - 2.0).abs() < 1e-6);
        assert!((found.covariance[0][0] - 1.0 / 3.0).abs() < 1e-9);
        // A bound on the way stops it there.
        let found = solve(read, &[1.5], &|| false).unwrap();
        assert!((found.at[0] - 1.5).abs() < 1e-9);
    }

    /// Freudenstein and Roth's function (1963) with a prior so wide that it hardly pulls: a local
    /// smallest sum of squares of 48.98 near (11.41, −0.897), from the start (0.5, −2) (Moré,
    /// Garbow & Hillstrom 1981, from memory).
    #[test]
    fn a_curved_valley() {
        let wide = 100.0;
        let f = |z: &[f64]| {
            let (x, y) = (0.5 + wide * z[0], -2.0 + wide * z[1]);
            let a = -13.0 + x + ((5.0 - y) * y - 2.0) * y;
            let b = -29.0 + x + ((y + 1.0) * y - 14.0) * y;
            Some(vec![a, b])
        };
        let found = solve(f, &[1.0, 1.0], &|| false).unwrap();
        let (x, y) = (0.5 + wide * found.at[0], -2.0 + wide * found.at[1]);
        let sum: f64 = found.residuals.iter().map(|r| r * r).sum();
        assert!(
            (sum - 48.98).abs() < 0.01 && (x - 11.41).abs() < 0.05,
            "{x} {y} {sum}"
        );
        assert!((y + 0.897).abs() < 0.005);
    }
}
