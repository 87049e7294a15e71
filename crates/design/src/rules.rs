//! Rules between fields, checked on the value itself so that they run beside faults of shape.

pub(crate) mod as_built;
pub(crate) mod asks;
mod bearings;
mod body;
mod directions;
mod handlebar;
mod joints;
pub(crate) mod layouts;
pub(crate) mod moves;
mod parts;
mod steering;
pub(crate) mod tolerance;
pub(crate) mod vehicle;
mod wheels;

use crate::check::numbers;
use crate::fault::Fault;
use crate::json::{MOST_FAULTS, shorten};
use serde_json::Value;

/// Collects faults of rules.
pub(crate) struct Rules<'a> {
    /// The document's part that the rules look at.
    pub value: &'a Value,
    /// Where that part stands in the document.
    pub base: &'a str,
    /// All faults of the document.
    pub faults: &'a mut Vec<Fault>,
}

impl Rules<'_> {
    /// Reports a fault at a pointer below the base, once.
    pub(crate) fn fault(&mut self, pointer: &str, message: impl Into<String>, allowed: &str) {
        let value = self.value.pointer(pointer);
        let fault = Fault {
            pointer: format!("{}{pointer}", self.base),
            message: message.into(),
            value: value.map(|v| shorten(&v.to_string())).unwrap_or_default(),
            allowed: allowed.to_owned(),
        };
        if self.faults.len() < MOST_FAULTS && !self.faults.contains(&fault) {
            self.faults.push(fault);
        }
    }

    /// The number at a pointer, if there is one.
    pub(crate) fn number(&self, pointer: &str) -> Option<f64> {
        self.value.pointer(pointer)?.as_f64()
    }

    /// The text at a pointer, if there is one.
    pub(crate) fn text(&self, pointer: &str) -> Option<&str> {
        self.value.pointer(pointer)?.as_str()
    }

    /// The point or direction at a pointer, if there is one.
    pub(crate) fn triple(&self, pointer: &str) -> Option<[f64; 3]> {
        numbers(self.value.pointer(pointer)?)
    }

    /// How many items the list at a pointer has, at most `most`; 0 if it is no list.
    pub(crate) fn count(&self, pointer: &str, most: usize) -> usize {
        self.value
            .pointer(pointer)
            .and_then(Value::as_array)
            .map_or(0, |l| l.len().min(most))
    }
}
