//! JSON text to a value, with every duplicate key reported and its size bounded.

use crate::fault::Fault;
use core::fmt;
use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

/// Longest text that is read, bytes.
pub(crate) const LONGEST_TEXT: usize = 1 << 20;
/// Most faults that are reported of one document.
pub(crate) const MOST_FAULTS: usize = 500;

/// Reads a document. The value is absent where the text is no JSON at all.
pub(crate) fn read(text: &str, faults: &mut Vec<Fault>) -> Option<Value> {
    if text.len() > LONGEST_TEXT {
        faults.push(Fault {
            pointer: String::new(),
            message: "the document is too long".into(),
            value: format!("{} bytes", text.len()),
            allowed: format!("at most {LONGEST_TEXT} bytes"),
        });
        return None;
    }
    let mut pointer = String::new();
    let mut source = serde_json::Deserializer::from_str(text);
    let seed = Seed {
        pointer: &mut pointer,
        faults,
    };
    let read = seed
        .deserialize(&mut source)
        .and_then(|value| source.end().map(|()| value));
    read.map_err(|error| faults.push(broken(text, &error))).ok()
}

fn broken(text: &str, error: &serde_json::Error) -> Fault {
    let line = text
        .lines()
        .nth(error.line().saturating_sub(1))
        .unwrap_or("");
    Fault {
        pointer: String::new(),
        message: format!("this is no valid JSON: {error}"),
        value: shorten(line.trim()),
        allowed: "a JSON document (RFC 8259); numbers are finite and within the range of a double"
            .into(),
    }
}

/// A text cut to 120 characters.
pub(crate) fn shorten(text: &str) -> String {
    match text.char_indices().nth(120) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

/// A key as a JSON pointer's step (RFC 6901: `~` and `/` are escaped).
pub(crate) fn step(key: &str) -> String {
    format!("/{}", shorten(key).replace('~', "~0").replace('/', "~1"))
}

struct Seed<'a> {
    pointer: &'a mut String,
    faults: &'a mut Vec<Fault>,
}

impl Seed<'_> {
    /// Runs `work` with the pointer one step deeper.
    fn deeper<T>(&mut self, step: &str, work: impl FnOnce(Seed<'_>) -> T) -> T {
        let length = self.pointer.len();
        self.pointer.push_str(step);
        let result = work(Seed {
            pointer: self.pointer,
            faults: self.faults,
        });
        self.pointer.truncate(length);
        result
    }
}

impl<'de> DeserializeSeed<'de> for Seed<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Value, D::Error> {
        source.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Seed<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }
    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }
    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }
    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }
    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(value.into())
    }
    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut items: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        loop {
            let step = format!("/{}", list.len());
            match self.deeper(&step, |seed| items.next_element_seed(seed))? {
                Some(item) => list.push(item),
                None => return Ok(Value::Array(list)),
            }
        }
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut entries: A) -> Result<Value, A::Error> {
        let mut map = Map::new();
        while let Some(key) = entries.next_key::<String>()? {
            let value = self.deeper(&step(&key), |seed| entries.next_value_seed(seed))?;
            if map.contains_key(&key) {
                self.duplicate(&key, &value);
            } else {
                map.insert(key, value);
            }
        }
        Ok(Value::Object(map))
    }
}

impl Seed<'_> {
    fn duplicate(&mut self, key: &str, value: &Value) {
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(Fault {
                pointer: format!("{}{}", self.pointer, step(key)),
                message: format!("the key \"{}\" stands here more than once", shorten(key)),
                value: shorten(&value.to_string()),
                allowed: "each key once".into(),
            });
        }
    }
}
