//! Checks of single values.

use super::{Walk, numbers, whole_number};
use crate::fault::figure;
use crate::nearest::suggestion;
use crate::paths;
use crate::shape::{Across, Bounds, FARTHEST, Names};
use serde_json::Value;

impl Walk<'_> {
    pub(super) fn number(&mut self, value: &Value, bounds: &Bounds) {
        match value.as_f64() {
            None => self.wrong_type(value, "a number"),
            Some(x) if bounds.hold(x) => {}
            Some(x) => {
                let message = format!("the number is out of range{}", unit_hint(x, bounds));
                self.fault(message, value, bounds.words());
            }
        }
    }

    pub(super) fn whole(&mut self, value: &Value, low: u64, high: u64) {
        let allowed = format!("a whole number, at least {low} and at most {high}");
        match whole_number(value) {
            _ if !value.is_number() => self.wrong_type(value, "a whole number"),
            None => self.fault("the number is not whole or below 0".into(), value, allowed),
            Some(n) if (low..=high).contains(&n) => {}
            Some(_) => self.fault("the number is out of range".into(), value, allowed),
        }
    }

    pub(super) fn text(&mut self, value: &Value, longest: usize) {
        match value.as_str() {
            None => self.wrong_type(value, "a text"),
            Some(text) if text.chars().count() > longest => {
                let allowed = format!("at most {longest} characters");
                self.fault("the text is too long".into(), value, allowed);
            }
            Some(text) if text.chars().any(char::is_control) => {
                let allowed = "printable characters only".into();
                self.fault("the text holds control characters".into(), value, allowed);
            }
            Some(_) => {}
        }
    }

    pub(super) fn choice(&mut self, value: &Value, words: &[&str]) {
        let allowed = || {
            words
                .iter()
                .map(|w| format!("\"{w}\""))
                .collect::<Vec<_>>()
                .join(", ")
        };
        match value.as_str() {
            None => self.wrong_type(value, "a text"),
            Some(word) if words.contains(&word) => {}
            Some(word) => {
                let hint = suggestion(word, words.iter().copied());
                self.fault(
                    format!("this word is not known here{hint}"),
                    value,
                    allowed(),
                );
            }
        }
    }

    /// Checks that the value is a list of so many numbers; says so if not.
    pub(super) fn numbers<const N: usize>(
        &mut self,
        value: &Value,
        what: &str,
    ) -> Option<[f64; N]> {
        let found = numbers(value);
        if found.is_none() {
            let message = format!("this must be {what}");
            self.fault(
                message,
                value,
                format!("[{}]", vec!["number"; N].join(", ")),
            );
        }
        found
    }

    pub(super) fn point(&mut self, value: &Value, across: Across) {
        let Some(point) = self.numbers::<3>(value, "a point: three numbers x, y, z in mm") else {
            return;
        };
        for (i, x) in point.into_iter().enumerate() {
            if x.abs() > FARTHEST {
                let allowed = format!("from -{FARTHEST} to {FARTHEST} mm");
                let message = "the coordinate is out of range".into();
                self.fault_at(&format!("/{i}"), message, figure(x), allowed);
            }
        }
        let wrong_side = match across {
            Across::Left => point[1] < 0.0,
            Across::Right => point[1] > 0.0,
            Across::Any => false,
        };
        if wrong_side {
            let (side, allowed) = match across {
                Across::Left => ("left", "y at least 0 mm (y points left)"),
                _ => ("right", "y at most 0 mm (y points left)"),
            };
            let message = format!("this point belongs to the {side} side");
            self.fault_at("/1", message, figure(point[1]), allowed.into());
        }
    }

    pub(super) fn direction(&mut self, value: &Value) {
        let Some(v) = self.numbers::<3>(value, "a direction: three numbers x, y, z") else {
            return;
        };
        let largest = v.iter().fold(0.0f64, |m, x| m.max(x.abs()));
        if !(1e-6..=1e6).contains(&largest) {
            let allowed = "largest component between 1e-6 and 1e6; only the direction counts";
            self.fault("the axis has no direction".into(), value, allowed.into());
        }
    }

    pub(super) fn range(&mut self, value: &Value, bounds: &Bounds) {
        let Some([from, to]) = self.numbers::<2>(value, "a range: two numbers from, to") else {
            return;
        };
        for (i, x) in [from, to].into_iter().enumerate() {
            if !bounds.hold(x) {
                let message = "the number is out of range".into();
                self.fault_at(&format!("/{i}"), message, figure(x), bounds.words());
            }
        }
        if from > to {
            let allowed = "the first number at most the second".into();
            self.fault("the range is inverted".into(), value, allowed);
        }
    }

    pub(super) fn quantity(&mut self, value: &Value, names: Names) {
        let known = || names.all().map(|info| info.name);
        match value.as_str() {
            None => self.wrong_type(value, "the name of a quantity"),
            Some(name) if known().any(|k| k == name) => {}
            Some(name) => {
                let message = match mechanics::Quantity::from_name(name) {
                    Some(_) => "this quantity cannot be held: it needs more than the design pose"
                        .to_owned(),
                    None => format!("no quantity has this name{}", suggestion(name, known())),
                };
                self.fault(message, value, known().collect::<Vec<_>>().join(", "));
            }
        }
    }

    pub(super) fn path(&mut self, value: &Value) {
        match value.as_str() {
            None => self.wrong_type(value, "the path of a point"),
            Some(path) if paths::known(path) => {}
            Some(path) => {
                let names: Vec<String> = paths::all();
                let hint = suggestion(path, names.iter().map(String::as_str));
                let message = format!("no point of a vehicle has this path{hint}");
                self.fault(message, value, names.join(", "));
            }
        }
    }
}

/// Says so where the number would do in another unit of length.
fn unit_hint(x: f64, bounds: &Bounds) -> &'static str {
    let fits = |factor: f64| bounds.low > 0.0 && bounds.hold(x * factor);
    match bounds.unit {
        "mm" if fits(1000.0) => " (it looks like metres; millimetres are meant)",
        "mm" if fits(25.4) => " (it looks like inches; millimetres are meant)",
        "mm" if fits(10.0) => " (it looks like centimetres; millimetres are meant)",
        "m" if fits(0.001) => " (it looks like millimetres; metres are meant)",
        _ => "",
    }
}
