//! A plain SVG writer: shapes appended in drawing order, colours as attributes and classes,
//! no script, no style attribute, no identifiers.

use crate::escape::escape;
use crate::ink::{Dash, Ink};
use crate::path::short;
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
