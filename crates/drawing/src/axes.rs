//! The ground of every diagram: grid, ticks and axis titles.

use crate::canvas::{Anchor, Canvas, Pen, Type};
use crate::figure::decimals;
use crate::ink::Ink;
use crate::scale::{Scale, ticks};

/// Two scales and the rectangle that they span.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Axes {
    pub x: Scale,
    pub y: Scale,
}

impl Axes {
    /// Axes of a data window on a rectangle of the paper (left, top, right, bottom).
    pub fn new(x: [f64; 2], y: [f64; 2], [left, top, right, bottom]: [f64; 4]) -> Axes {
        Axes {
            x: Scale {
                data: x,
                paper: [left, right],
            },
            y: Scale {
                data: y,
                paper: [bottom, top],
            },
        }
    }

    pub fn left(&self) -> f64 {
        self.x.paper[0]
    }
    pub fn right(&self) -> f64 {
        self.x.paper[1]
    }
    pub fn top(&self) -> f64 {
        self.y.paper[1]
    }
    pub fn bottom(&self) -> f64 {
        self.y.paper[0]
    }

    pub fn at(&self, x: f64, y: f64) -> [f64; 2] {
        [self.x.at(x), self.y.at(y)]
    }

    /// Horizontal grid lines with their numbers, a stronger line at zero, and numbers below.
    pub fn draw(&self, canvas: &mut Canvas, wanted: [usize; 2]) {
        self.rows(canvas, wanted[1], true);
        self.columns(canvas, wanted[0]);
    }

    /// Numbers along both axes and no grid: for what is filled.
    pub fn numbers(&self, canvas: &mut Canvas, wanted: [usize; 2]) {
        self.rows(canvas, wanted[1], false);
        self.columns(canvas, wanted[0]);
    }

    fn rows(&self, canvas: &mut Canvas, wanted: usize, grid: bool) {
        let (places, digits) = ticks(self.y.data, wanted);
        for y in places {
            let height = self.y.at(y);
            if grid {
                let zero = y == 0.0;
                let pen = Pen::new(if zero { Ink::Rule } else { Ink::Grid }, 1.0);
                canvas.line([self.left(), height], [self.right(), height], pen);
            }
            let kind = Type::SOFT.at(Anchor::End);
            canvas.text(
                [self.left() - 6.0, height + 4.0],
                &decimals(y, digits),
                kind,
            );
        }
    }

    fn columns(&self, canvas: &mut Canvas, wanted: usize) {
        let (places, digits) = ticks(self.x.data, wanted);
        let pen = Pen::new(Ink::Rule, 1.0);
        canvas.line(
            [self.left(), self.bottom()],
            [self.right(), self.bottom()],
            pen,
        );
        for x in places {
            let across = self.x.at(x);
            canvas.line([across, self.bottom()], [across, self.bottom() + 4.0], pen);
            let kind = Type::SOFT.at(Anchor::Middle);
            canvas.text([across, self.bottom() + 16.0], &decimals(x, digits), kind);
        }
    }

    /// The title of the horizontal axis, below its numbers, with what its ends mean.
    pub fn x_title(&self, canvas: &mut Canvas, title: &str, ends: Option<[&str; 2]>) {
        let y = self.bottom() + 32.0;
        let middle = 0.5 * (self.left() + self.right());
        canvas.text([middle, y], title, Type::SOFT.at(Anchor::Middle));
        if let Some([low, high]) = ends {
            canvas.text([self.left() - 4.0, y], &format!("← {low}"), Type::SOFT);
            let kind = Type::SOFT.at(Anchor::End);
            canvas.text([self.right() + 4.0, y], &format!("{high} →"), kind);
        }
    }
}
