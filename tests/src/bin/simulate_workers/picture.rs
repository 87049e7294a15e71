//! The picture: share of the workers that compute, over their number, one line for each slice length.

use std::fmt::Write;

use crate::simulation::Outcome;

const LEFT: f64 = 60.0;
const TOP: f64 = 40.0;
const WIDTH: f64 = 560.0;
const HEIGHT: f64 = 280.0;
/// Told apart without colour too: the dashes differ.
const LOOKS: [(&str, &str); 4] = [
    ("#b2432f", "2 3"),
    ("#1f5f8b", "8 4"),
    ("#3b7d3b", "14 4 2 4"),
    ("#444444", "none"),
];

/// The lines as a standalone SVG.
pub fn picture(lines: &[(f64, Vec<(usize, Outcome)>)]) -> String {
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 760 380\" font-family=\"sans-serif\" \
         font-size=\"13\"><title>Share of workers that compute, by number of workers and length of a \
         slice</title><rect width=\"760\" height=\"380\" fill=\"#fff\"/>\n",
    );
    grid(&mut svg);
    for ((slice, line), (colour, dashes)) in lines.iter().zip(LOOKS) {
        let points: Vec<String> = line.iter().map(point).collect();
        let _ = writeln!(
            svg,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"2\" \
             stroke-dasharray=\"{dashes}\"/>",
            points.join(" ")
        );
        if let Some((workers, last)) = line.last() {
            let (x, y) = place(*workers, last.busy / *workers as f64);
            let _ = writeln!(
                svg,
                "<text x=\"{:.1}\" y=\"{:.1}\" fill=\"{colour}\">slices of {slice} s</text>",
                x + 8.0,
                y + 4.0
            );
        }
    }
    svg.push_str("</svg>\n");
    svg
}

fn grid(svg: &mut String) {
    for workers in [1, 10, 100, 1_000] {
        let (x, bottom) = place(workers, 0.0);
        let _ = writeln!(
            svg,
            "<path d=\"M{x:.1} {TOP}V{bottom}\" stroke=\"#ddd\"/><text x=\"{x:.1}\" y=\"{}\" \
             text-anchor=\"middle\">{workers}</text>",
            bottom + 20.0
        );
    }
    for percent in [0, 25, 50, 75, 100] {
        let (_, y) = place(1, f64::from(percent) / 100.0);
        let _ = writeln!(
            svg,
            "<path d=\"M{LEFT} {y:.1}H{}\" stroke=\"#ddd\"/><text x=\"{}\" y=\"{:.1}\" \
             text-anchor=\"end\">{percent} %</text>",
            LEFT + WIDTH,
            LEFT - 8.0,
            y + 4.0
        );
    }
    let _ = writeln!(
        svg,
        "<text x=\"{LEFT}\" y=\"22\">Share of the workers' time spent computing</text>\
         <text x=\"{}\" y=\"{}\" text-anchor=\"end\">workers (compute threads)</text>",
        LEFT + WIDTH,
        TOP + HEIGHT + 42.0
    );
}

fn point((workers, outcome): &(usize, Outcome)) -> String {
    let (x, y) = place(*workers, outcome.busy / *workers as f64);
    format!("{x:.1},{y:.1}")
}

fn place(workers: usize, share: f64) -> (f64, f64) {
    let along = libm::log10(workers as f64) / libm::log10(2_000.0);
    (LEFT + WIDTH * along, TOP + HEIGHT * (1.0 - share.min(1.0)))
}
