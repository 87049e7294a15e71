//! What readings do not tell, and whether they are explained.

use super::file::names;
use super::least_squares::Found;
use super::model::Expected;
use super::wire::Pair;

/// An uncertainty that keeps more than this share of its prior has not been seen.
const UNSEEN: f64 = 0.9;
/// Deviations correlated beyond this are told together only.
const TOGETHER: f64 = 0.95;
/// Most pairs that are named.
const MOST_PAIRS: usize = 12;

/// Names of parts whose uncertainty the readings hardly shrank.
pub(super) fn unseen(parts: &[Expected], covariance: &[Vec<f64>]) -> Vec<String> {
    let names = names(parts).into_iter().zip(covariance).enumerate();
    names
        .filter(|(i, (_, row))| libm::sqrt(row[*i]) > UNSEEN)
        .map(|(_, (name, _))| name)
        .collect()
}

/// Pairs that the readings tell together only, the closest first.
pub(super) fn inseparable(parts: &[Expected], covariance: &[Vec<f64>]) -> Vec<Pair> {
    let names = names(parts);
    let mut pairs = Vec::new();
    for (i, row) in covariance.iter().enumerate() {
        for (j, covariance_ij) in row.iter().enumerate().take(i) {
            let correlation = covariance_ij / libm::sqrt(row[i] * covariance[j][j]);
            if correlation.abs() > TOGETHER {
                pairs.push(Pair {
                    one: names[j].clone(),
                    other: names[i].clone(),
                    correlation,
                });
            }
        }
    }
    pairs.sort_by(|a, b| b.correlation.abs().total_cmp(&a.correlation.abs()));
    pairs.truncate(MOST_PAIRS);
    pairs
}

/// How many unknowns the readings tell: the trace of what they add to the priors.
pub(super) fn told(found: &Found) -> f64 {
    let left: f64 = (0..found.at.len()).map(|i| found.covariance[i][i]).sum();
    found.at.len() as f64 - left
}

/// What a sum of so many squared normal errors stays below 99 times in 100: the cube of a normal
/// variable, after Wilson & Hilferty (1931).
pub(super) fn most_by_chance(freedom: f64) -> f64 {
    let k = freedom.max(1.0);
    let spread = 2.0 / (9.0 * k);
    let root = 1.0 - spread + mechanics::normal_deviation(0.99) * libm::sqrt(spread);
    k * root * root * root
}
