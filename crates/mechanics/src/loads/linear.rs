//! Six linear equations.

/// Solves `a x = b` by elimination with row pivots; `None` where the rows hang together (a
/// linkage at a singularity).
pub(crate) fn solve(mut a: [[f64; 6]; 6], mut b: [f64; 6]) -> Option<[f64; 6]> {
    for k in 0..6 {
        let pivot = (k..6).max_by(|i, j| a[*i][k].abs().total_cmp(&a[*j][k].abs()))?;
        a.swap(k, pivot);
        b.swap(k, pivot);
        let row = a[k];
        if row[k].is_nan() || row[k].abs() < 1e-10 {
            return None;
        }
        for i in k + 1..6 {
            let factor = a[i][k] / row[k];
            for (x, y) in a[i].iter_mut().zip(row) {
                *x -= factor * y;
            }
            b[i] -= factor * b[k];
        }
    }
    let mut x = [0.0; 6];
    for k in (0..6).rev() {
        let known: f64 = (k + 1..6).map(|j| a[k][j] * x[j]).sum();
        x[k] = (b[k] - known) / a[k][k];
    }
    Some(x)
}
