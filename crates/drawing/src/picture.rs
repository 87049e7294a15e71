//! A finished picture.

use crate::canvas::{Canvas, Fill, Type, text_width};
use crate::escape::escape;
use crate::ink::Ink;
use crate::path::short;

/// Width of every picture in its own units. Text of 11 units stays legible where a picture is
/// as wide as a phone.
pub(crate) const WIDTH: f64 = 380.0;

const FONTS: &str = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Liberation Sans', sans-serif";

/// A picture: a title and a description for those who don't see it, and its shapes.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Short name for addresses and files, such as `steer_over_lean`; may be empty.
    pub name: String,
    /// Short title, plain text.
    pub title: String,
    /// What is to be seen, in a sentence or two, plain text.
    pub description: String,
    height: f64,
    shapes: String,
}

impl Picture {
    pub(crate) fn new(title: &str, description: String, height: f64, canvas: Canvas) -> Picture {
        Picture {
            name: String::new(),
            title: title.to_owned(),
            description,
            height,
            shapes: canvas.finish(),
        }
    }

    pub(crate) fn named(self, name: impl Into<String>) -> Picture {
        Picture {
            name: name.into(),
            ..self
        }
    }

    /// The picture as an SVG document of its own, on light paper.
    pub fn document(&self) -> String {
        let (width, height) = (short(2.0 * WIDTH), short(2.0 * self.height));
        let size = format!(" width=\"{width}\" height=\"{height}\"");
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
            self.element(&size, true)
        )
    }

    /// The picture as an element within a page, whose stylesheet may colour it by class.
    pub fn inline(&self) -> String {
        self.element("", false)
    }

    fn element(&self, size: &str, sheet: bool) -> String {
        let mut canvas = Canvas::default();
        if sheet {
            let fill = Fill {
                ink: Ink::Paper,
                cover: 1.0,
            };
            canvas.rect([0.0, 0.0], [WIDTH, self.height], None, Some(fill));
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\"{size} viewBox=\"0 0 {} {}\" role=\"img\" \
             font-family=\"{FONTS}\" font-size=\"{}\" stroke-linejoin=\"round\" \
             stroke-linecap=\"round\"><title>{}</title><desc>{}</desc>{}{}</svg>",
            short(WIDTH),
            short(self.height),
            short(Type::PLAIN.size),
            escape(&self.title),
            escape(&self.description),
            canvas.finish(),
            self.shapes
        )
    }
}

/// Starts a picture: its heading stands at the top, smaller where it is long.
pub(crate) fn headed(title: &str, subtitle: &str) -> Canvas {
    let mut canvas = Canvas::default();
    canvas.text([4.0, 17.0], title, fitting(title, Type::TITLE));
    canvas.text([4.0, 33.0], subtitle, fitting(subtitle, Type::SOFT));
    canvas
}

fn fitting(text: &str, kind: Type) -> Type {
    let wider = if kind.bold { 1.12 } else { 1.0 };
    let share = (WIDTH - 8.0) / (wider * text_width(text, kind.size)).max(1.0);
    Type {
        size: kind.size * share.clamp(0.75, 1.0),
        ..kind
    }
}
