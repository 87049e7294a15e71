//! A plain SVG writer: shapes appended in drawing order, colours as attributes and classes,
//! no script, no style attribute, no identifiers.

use crate::escape::escape;
use crate::ink::{Dash, Ink};
use std::fmt::Write;

/// Shapes of a picture in the making. Coordinates in picture units, y downwards.
#[derive(Clone, Debug, Default)]
pub(crate) struct Canvas {
    out: String,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pen {
    pub ink: Ink,
    pub width: f64,
    pub dash: Dash,
}

impl Pen {
    pub const fn new(ink: Ink, width: f64) -> Pen {
        Pen {
            ink,
            width,
            dash: Dash::Solid,
        }
    }

    pub const fn dashed(self, dash: Dash) -> Pen {
        Pen { dash, ..self }
    }
}

/// How an area is filled.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fill {
    pub ink: Ink,
    /// 0 is clear, 1 covers.
    pub cover: f64,
}

/// Where text stands against its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// Size and colour of text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Type {
    pub ink: Ink,
    pub size: f64,
    pub bold: bool,
    pub anchor: Anchor,
}

impl Type {
    pub const TITLE: Type = Type {
        ink: Ink::Text,
        size: 13.5,
        bold: true,
        anchor: Anchor::Start,
    };
    pub const PLAIN: Type = Type {
        ink: Ink::Text,
        size: 11.5,
        bold: false,
        anchor: Anchor::Start,
    };
    pub const SOFT: Type = Type {
        ink: Ink::Soft,
        ..Type::PLAIN
    };

    pub const fn at(self, anchor: Anchor) -> Type {
        Type { anchor, ..self }
    }

    pub const fn ink(self, ink: Ink) -> Type {
        Type { ink, ..self }
    }

    pub const fn bold(self) -> Type {
        Type { bold: true, ..self }
    }
}

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

/// Width that text will take at most, in picture units: fonts differ, so this is generous.
pub(crate) fn text_width(text: &str, size: f64) -> f64 {
    let one = |c: char| match c {
        'i' | 'l' | 'j' | '.' | ',' | ':' | '|' | '\'' | ' ' | 't' | 'f' | 'I' => 0.34,
        'm' | 'w' | 'M' | 'W' | '…' | '—' => 0.9,
        c if c.is_uppercase() => 0.7,
        c if !c.is_ascii() && c.is_alphabetic() && c as u32 > 0x2E7F => 1.05,
        _ => 0.57,
    };
    text.chars().map(one).sum::<f64>() * size
}

impl Canvas {
    /// The shapes as SVG.
    pub fn finish(self) -> String {
        self.out
    }

    fn stroke(&mut self, pen: Pen) {
        let _ = write!(
            self.out,
            " stroke=\"{}\" stroke-width=\"{}\"",
            pen.ink.light(),
            short(pen.width)
        );
        if let Some(pattern) = pen.dash.pattern() {
            let _ = write!(self.out, " stroke-dasharray=\"{pattern}\"");
        }
    }

    fn fill(&mut self, fill: Option<Fill>) {
        match fill {
            None => self.out.push_str(" fill=\"none\""),
            Some(fill) => {
                let _ = write!(self.out, " fill=\"{}\"", fill.ink.light());
                if fill.cover < 1.0 {
                    let _ = write!(self.out, " fill-opacity=\"{:.2}\"", fill.cover);
                }
            }
        }
    }

    fn class(&mut self, pen: Option<Pen>, fill: Option<Fill>) {
        let stroke = pen.map(|p| format!("s-{}", p.ink.class()));
        let fill = fill.map(|f| format!("f-{}", f.ink.class()));
        let both: Vec<String> = stroke.into_iter().chain(fill).collect();
        let _ = write!(self.out, " class=\"{}\"", both.join(" "));
    }

    fn looks(&mut self, pen: Option<Pen>, fill: Option<Fill>) {
        self.class(pen, fill);
        self.fill(fill);
        if let Some(pen) = pen {
            self.stroke(pen);
        }
    }

    pub fn line(&mut self, [x1, y1]: [f64; 2], [x2, y2]: [f64; 2], pen: Pen) {
        let _ = write!(
            self.out,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"",
            short(x1),
            short(y1),
            short(x2),
            short(y2)
        );
        self.class(Some(pen), None);
        self.stroke(pen);
        self.out.push_str("/>");
    }

    pub fn rect(
        &mut self,
        [x, y]: [f64; 2],
        [w, h]: [f64; 2],
        pen: Option<Pen>,
        fill: Option<Fill>,
    ) {
        let _ = write!(
            self.out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
            short(x),
            short(y),
            short(w.max(0.0)),
            short(h.max(0.0))
        );
        self.looks(pen, fill);
        self.out.push_str("/>");
    }

    pub fn circle(&mut self, [x, y]: [f64; 2], radius: f64, pen: Option<Pen>, fill: Option<Fill>) {
        let _ = write!(
            self.out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"",
            short(x),
            short(y),
            short(radius)
        );
        self.looks(pen, fill);
        self.out.push_str("/>");
    }

    /// A path of ready-made commands.
    pub fn path(&mut self, commands: &str, pen: Option<Pen>, fill: Option<Fill>) {
        if commands.is_empty() {
            return;
        }
        let _ = write!(self.out, "<path d=\"{commands}\"");
        self.looks(pen, fill);
        self.out.push_str("/>");
    }

    /// A broad, translucent stroke along ready-made commands: a tyre's silhouette.
    pub fn band(&mut self, commands: &str, pen: Pen, cover: f64) {
        let _ = write!(self.out, "<path d=\"{commands}\"");
        self.looks(Some(pen), None);
        let _ = write!(self.out, " stroke-opacity=\"{cover:.2}\"/>");
    }

    /// An area in a fixed colour that no stylesheet changes, with a hairline of the same colour
    /// so that neighbouring areas leave no seam.
    pub fn area(&mut self, commands: &str, colour: &str) {
        if !commands.is_empty() {
            let _ = write!(
                self.out,
                "<path d=\"{commands}\" fill=\"{colour}\" stroke=\"{colour}\" stroke-width=\".6\"/>"
            );
        }
    }

    /// A line in a fixed colour that no stylesheet changes.
    pub fn fixed_line(&mut self, commands: &str, colour: &str, width: f64) {
        if !commands.is_empty() {
            let _ = write!(
                self.out,
                "<path d=\"{commands}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{}\"/>",
                short(width)
            );
        }
    }

    pub fn text(&mut self, [x, y]: [f64; 2], text: &str, kind: Type) {
        self.lettering([x, y], text, kind, false);
    }

    /// Text with a rim of paper, to be read over lines.
    pub fn text_over(&mut self, at: [f64; 2], text: &str, kind: Type) {
        self.lettering(at, text, kind, true);
    }

    fn lettering(&mut self, [x, y]: [f64; 2], text: &str, kind: Type, rim: bool) {
        let _ = write!(self.out, "<text x=\"{}\" y=\"{}\"", short(x), short(y));
        if kind.size != Type::PLAIN.size {
            let _ = write!(self.out, " font-size=\"{}\"", short(kind.size));
        }
        match kind.anchor {
            Anchor::Start => {}
            Anchor::Middle => self.out.push_str(" text-anchor=\"middle\""),
            Anchor::End => self.out.push_str(" text-anchor=\"end\""),
        }
        if kind.bold {
            self.out.push_str(" font-weight=\"600\"");
        }
        let fill = Some(Fill {
            ink: kind.ink,
            cover: 1.0,
        });
        let pen = rim.then_some(Pen::new(Ink::Paper, 3.0));
        self.looks(pen, fill);
        if rim {
            self.out.push_str(" paint-order=\"stroke\"");
        }
        let _ = write!(self.out, ">{}</text>", escape(text));
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
