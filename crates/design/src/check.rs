//! Walks a value along its shape and reports every fault.

use crate::fault::{Fault, figure};
use crate::json::{MOST_FAULTS, shorten, step};
use crate::nearest::suggestion;
use crate::paths;
use crate::shape::{Absent, Across, Bounds, FARTHEST, Field, Kind, Names, Shape};
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

    fn number(&mut self, value: &Value, bounds: &Bounds) {
        match value.as_f64() {
            None => self.wrong_type(value, "a number"),
            Some(x) if bounds.hold(x) => {}
            Some(x) => {
                let message = format!("the number is out of range{}", unit_hint(x, bounds));
                self.fault(message, value, bounds.words());
            }
        }
    }

    fn whole(&mut self, value: &Value, low: u64, high: u64) {
        let allowed = format!("a whole number, at least {low} and at most {high}");
        match whole_number(value) {
            _ if !value.is_number() => self.wrong_type(value, "a whole number"),
            None => self.fault("the number is not whole or below 0".into(), value, allowed),
            Some(n) if (low..=high).contains(&n) => {}
            Some(_) => self.fault("the number is out of range".into(), value, allowed),
        }
    }

    fn text(&mut self, value: &Value, longest: usize) {
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

    fn choice(&mut self, value: &Value, words: &[&str]) {
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
    fn numbers<const N: usize>(&mut self, value: &Value, what: &str) -> Option<[f64; N]> {
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

    fn point(&mut self, value: &Value, across: Across) {
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

    fn direction(&mut self, value: &Value) {
        let Some(v) = self.numbers::<3>(value, "a direction: three numbers x, y, z") else {
            return;
        };
        let largest = v.iter().fold(0.0f64, |m, x| m.max(x.abs()));
        if !(1e-6..=1e6).contains(&largest) {
            let allowed = "largest component between 1e-6 and 1e6; only the direction counts";
            self.fault("the axis has no direction".into(), value, allowed.into());
        }
    }

    fn range(&mut self, value: &Value, bounds: &Bounds) {
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

    fn quantity(&mut self, value: &Value, names: Names) {
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

    fn path(&mut self, value: &Value) {
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
