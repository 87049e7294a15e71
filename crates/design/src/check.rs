//! Walks a value along its shape and reports every fault.

mod leaves;

use crate::fault::Fault;
use crate::json::{MOST_FAULTS, shorten, step};
use crate::nearest::suggestion;
use crate::shape::{Absent, Field, Kind, Names, Shape};
use serde_json::{Map, Value};

/// Faults found so far, and where the walk stands.
pub(crate) struct Walk<'a> {
    /// All faults.
    pub faults: &'a mut Vec<Fault>,
    pointer: String,
}

impl<'a> Walk<'a> {
    /// A walk that starts at `pointer`.
    pub(crate) fn new(faults: &'a mut Vec<Fault>, pointer: &str) -> Self {
        Walk {
            faults,
            pointer: pointer.to_owned(),
        }
    }

    /// Checks one value.
    pub(crate) fn value(&mut self, value: &Value, kind: &Kind) {
        match kind {
            Kind::Number(bounds) => self.number(value, bounds),
            Kind::Whole(low, high) => self.whole(value, *low, *high),
            Kind::Text(longest) => self.text(value, *longest),
            Kind::Flag if value.is_boolean() => {}
            Kind::Flag => self.wrong_type(value, "true or false"),
            Kind::Choice(words) => self.choice(value, words),
            Kind::Point(across) => self.point(value, *across),
            Kind::Direction => self.direction(value),
            Kind::Range(bounds) => self.range(value, bounds),
            Kind::List(of, shortest, longest) => self.list(value, of, *shortest, *longest),
            Kind::Object(shape) => self.object(value, shape, None),
            Kind::Variants(tag, shapes) => self.variants(value, tag, shapes),
            Kind::Either(shapes, without) => {
                let has = |(field, _): &&(&str, &Shape)| value.get(field).is_some();
                let chosen = shapes
                    .iter()
                    .find(has)
                    .map_or(*without, |(_, shape)| *shape);
                self.object(value, chosen, None);
            }
            Kind::Quantity(names) => self.quantity(value, *names),
            Kind::Path => self.path(value),
        }
    }

    fn fault(&mut self, message: String, value: &Value, allowed: String) {
        self.fault_at("", message, shorten(&value.to_string()), allowed);
    }

    fn fault_at(&mut self, below: &str, message: String, value: String, allowed: String) {
        if self.faults.len() < MOST_FAULTS {
            let pointer = format!("{}{below}", self.pointer);
            self.faults.push(Fault {
                pointer,
                message,
                value,
                allowed,
            });
        }
    }

    fn deeper(&mut self, step: &str, work: impl FnOnce(&mut Self)) {
        let length = self.pointer.len();
        self.pointer.push_str(step);
        work(self);
        self.pointer.truncate(length);
    }

    fn wrong_type(&mut self, value: &Value, wanted: &str) {
        let message = format!("this must be {wanted}, not {}", kind_of(value));
        self.fault(message, value, wanted.to_owned());
    }

    fn list(&mut self, value: &Value, of: &Kind, shortest: usize, longest: usize) {
        let Some(items) = value.as_array() else {
            return self.wrong_type(value, "a list");
        };
        if !(shortest..=longest).contains(&items.len()) {
            let allowed = format!("at least {shortest} and at most {longest} items");
            let found = format!("{} items", items.len());
            self.fault_at("", "the list has a wrong length".into(), found, allowed);
        }
        for (i, item) in items.iter().take(longest).enumerate() {
            self.deeper(&format!("/{i}"), |walk| walk.value(item, of));
        }
    }

    fn object(&mut self, value: &Value, shape: &Shape, tag: Option<&str>) {
        let Some(map) = value.as_object() else {
            return self.wrong_type(value, &format!("an object ({})", shape.title));
        };
        for key in map.keys() {
            self.known(key, map, shape, tag);
        }
        for field in shape.fields {
            match map.get(field.name) {
                Some(inner) => {
                    self.deeper(&step(field.name), |walk| walk.value(inner, &field.kind));
                }
                None if matches!(field.absent, Absent::Fault) => self.missing(field, shape),
                None => {}
            }
        }
    }

    fn known(&mut self, key: &str, map: &Map<String, Value>, shape: &Shape, tag: Option<&str>) {
        if tag == Some(key) || shape.fields.iter().any(|f| f.name == key) {
            return;
        }
        let names = || shape.fields.iter().map(|f| f.name);
        let message = format!(
            "{} has no field \"{}\"{}",
            shape.title,
            shorten(key),
            suggestion(key, names())
        );
        let value = map
            .get(key)
            .map(|v| shorten(&v.to_string()))
            .unwrap_or_default();
        let allowed = format!("the fields {}", names().collect::<Vec<_>>().join(", "));
        self.fault_at(&step(key), message, value, allowed);
    }

    fn missing(&mut self, field: &Field, shape: &Shape) {
        let message = format!("{} needs the field \"{}\"", shape.title, field.name);
        self.fault_at(
            &step(field.name),
            message,
            String::new(),
            field.meaning.to_owned(),
        );
    }

    fn variants(&mut self, value: &Value, tag: &'static str, shapes: &[(&'static str, &Shape)]) {
        let Some(map) = value.as_object() else {
            return self.wrong_type(value, "an object");
        };
        let words: Vec<&str> = shapes.iter().map(|(word, _)| *word).collect();
        let Some(word) = map.get(tag) else {
            let message = format!("the field \"{tag}\" is missing");
            return self.fault_at(&step(tag), message, String::new(), words.join(", "));
        };
        self.deeper(&step(tag), |walk| walk.choice(word, &words));
        if let Some((_, shape)) = shapes.iter().find(|(name, _)| word.as_str() == Some(name)) {
            self.object(value, shape, Some(tag));
        }
    }
}

impl Names {
    /// The rows of the allowed quantities.
    pub(crate) fn all(self) -> impl Iterator<Item = &'static mechanics::QuantityInfo> {
        mechanics::TABLE
            .iter()
            .filter(move |info| self == Names::Any || info.holdable)
    }
}

/// The value as so many numbers, if it is that.
pub(crate) fn numbers<const N: usize>(value: &Value) -> Option<[f64; N]> {
    let items = value.as_array().filter(|items| items.len() == N)?;
    let mut found = [0.0; N];
    for (slot, item) in found.iter_mut().zip(items) {
        *slot = item.as_f64()?;
    }
    Some(found)
}

/// The value as a whole number; 5.0 and 2e5 count.
pub(crate) fn whole_number(value: &Value) -> Option<u64> {
    let float = value.as_f64()?;
    let whole = (0.0..=9.1e15).contains(&float) && float % 1.0 == 0.0;
    value.as_u64().or_else(|| whole.then_some(float as u64))
}

fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}
