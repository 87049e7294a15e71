//! Path commands and coordinates, in few characters.

use std::fmt::Write;

/// A coordinate to a twentieth of a unit at most, in few characters.
pub(crate) fn short(x: f64) -> String {
    debug_assert!(x.is_finite(), "a coordinate is finite");
    let text = format!("{x:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// The points that a line needs to stay within `tolerance` of all of them (Douglas and Peucker,
/// The Canadian Cartographer 10, 1973).
pub(crate) fn simplified(points: &[[f64; 2]], tolerance: f64) -> Vec<[f64; 2]> {
    let n = points.len();
    if n < 3 {
        return points.to_vec();
    }
    let (a, b) = (points[0], points[n - 1]);
    let far = |p: [f64; 2]| {
        let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
        match libm::hypot(d[0], d[1]) {
            length if length > 1e-9 => (d[0] * e[1] - d[1] * e[0]).abs() / length,
            _ => libm::hypot(e[0], e[1]),
        }
    };
    let inner = (1..n - 1).map(|k| (k, far(points[k])));
    match inner.max_by(|p, q| p.1.total_cmp(&q.1)) {
        Some((k, distance)) if distance > tolerance => {
            let mut out = simplified(&points[..=k], tolerance);
            out.pop();
            out.extend(simplified(&points[k..], tolerance));
            out
        }
        _ => vec![a, b],
    }
}

/// Path commands through points, open.
pub(crate) fn polyline(points: &[[f64; 2]]) -> String {
    let mut out = String::new();
    for (i, [x, y]) in points.iter().enumerate() {
        out.push_str(match i {
            0 => "M",
            1 => "L",
            _ => " ",
        });
        let _ = write!(out, "{},{}", short(*x), short(*y));
    }
    out
}

/// Path commands round points, closed.
pub(crate) fn polygon(points: &[[f64; 2]]) -> String {
    let mut out = polyline(points);
    if !out.is_empty() {
        out.push('Z');
    }
    out
}

/// Path commands of an ellipse: centre, unit vector along its first half axis, both half axes.
/// One of no width becomes a line.
pub(crate) fn ellipse([x, y]: [f64; 2], [u, v]: [f64; 2], [long, flat]: [f64; 2]) -> String {
    let ends = [1.0, -1.0].map(|s| [x + s * long * u, y + s * long * v]);
    if flat < 0.1 {
        return polyline(&ends);
    }
    let turn = short(libm::atan2(v, u).to_degrees());
    let [a, b] = ends.map(|[x, y]| format!("{},{}", short(x), short(y)));
    let arc = format!("A{},{} {turn} 0,1", short(long), short(flat));
    format!("M{a}{arc} {b}{arc} {a}Z")
}

/// Path commands of a circle.
pub(crate) fn ring([x, y]: [f64; 2], radius: f64) -> String {
    let (r, d) = (short(radius), short(2.0 * radius));
    let start = short(x - radius);
    format!(
        "M{start},{}a{r},{r} 0 1,0 {d},0a{r},{r} 0 1,0 -{d},0Z",
        short(y)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn simplified_lines_stay_near() {
        let arc: Vec<[f64; 2]> = (0..=90)
            .map(|k| f64::from(k).to_radians())
            .map(|t| [100.0 * libm::cos(t), 100.0 * libm::sin(t)])
            .collect();
        let few = simplified(&arc, 0.1);
        assert!(few.len() < 30 && few[0] == arc[0] && few[few.len() - 1] == arc[90]);
        // The middle of a chord lies nearest to the centre.
        for pair in few.windows(2) {
            let middle = [0, 1].map(|k| 0.5 * (pair[0][k] + pair[1][k]));
            assert!(libm::hypot(middle[0], middle[1]) > 99.85);
        }
        let straight = [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [5.0, 5.0]];
        assert_eq!(simplified(&straight, 0.01), [[0.0, 0.0], [5.0, 5.0]]);
    }

    #[test]
    fn coordinates_are_short() {
        assert_eq!(short(12.04), "12");
        assert_eq!(short(-0.02), "0");
        assert_eq!(short(-3.26), "-3.3");
        assert_eq!(
            polygon(&[[0.0, 1.0], [2.5, 1.0], [0.0, 0.0]]),
            "M0,1L2.5,1 0,0Z"
        );
        assert_eq!(polygon(&[]), "");
    }
}
