//! JSON Schema (draft 2020-12) of both files, made from the tables that the checks walk.

use crate::shape::{Absent, Bounds, FARTHEST, Field, Kind, Shape};
use crate::{paths, tables};
use serde_json::{Map, Value, json};

/// JSON Schema of the vehicle file.
pub fn vehicle_schema() -> Value {
    document(
        "A leaning three-wheeler: hardpoints in millimetres",
        &tables::vehicle::VEHICLE,
    )
}

/// JSON Schema of the job file.
pub fn job_schema() -> Value {
    document(
        "A search job: a vehicle, what may move, what is asked",
        &tables::job::JOB,
    )
}

/// JSON Schema of the file that a fit of a machine as built is asked by.
pub fn as_built_schema() -> Value {
    document(
        "Readings of a machine as built, and what may deviate from its drawing",
        &tables::as_built::AS_BUILT,
    )
}

fn document(title: &str, shape: &'static Shape) -> Value {
    let mut schema = object(shape, None);
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema".into();
    schema["title"] = title.into();
    schema
}

fn object(shape: &Shape, tag: Option<(&str, &str)>) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    if let Some((tag, word)) = tag {
        properties.insert(tag.into(), json!({ "const": word }));
        required.push(Value::from(tag));
    }
    for one in shape.fields {
        properties.insert(one.name.into(), field(one));
        if matches!(one.absent, Absent::Fault) {
            required.push(one.name.into());
        }
    }
    let mut schema = json!({
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    if !required.is_empty() {
        schema["required"] = required.into();
    }
    if core::ptr::eq(shape, &tables::job::GOAL) {
        schema["oneOf"] = json!([{ "required": ["minimise"] }, { "required": ["maximise"] }]);
    }
    if core::ptr::eq(shape, &tables::job::REQUIREMENT) {
        schema["anyOf"] = json!([
            { "required": ["at_most"] }, { "required": ["at_least"] }, { "required": ["within"] },
        ]);
    }
    schema
}

fn field(one: &Field) -> Value {
    let mut schema = kind(&one.kind);
    schema["description"] = one.meaning.into();
    if let Absent::Default(text) = one.absent
        && let Ok(value) = serde_json::from_str::<Value>(text)
    {
        schema["default"] = value;
    }
    schema
}

fn kind(kind: &Kind) -> Value {
    match kind {
        Kind::Number(bounds) => number(bounds),
        Kind::Whole(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Kind::Text(longest) => json!({ "type": "string", "maxLength": longest }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Choice(words) => json!({ "enum": words }),
        Kind::Point(_) => triple(&json!({
            "type": "number", "minimum": -FARTHEST, "maximum": FARTHEST,
        })),
        Kind::Direction => triple(&json!({ "type": "number" })),
        Kind::Range(bounds) => json!({
            "type": "array", "items": number(bounds), "minItems": 2, "maxItems": 2,
        }),
        Kind::List(of, shortest, longest) => json!({
            "type": "array", "items": self::kind(of), "minItems": shortest, "maxItems": longest,
        }),
        Kind::Object(shape) => object(shape, None),
        Kind::Variants(tag, shapes) => {
            let all: Vec<Value> = shapes
                .iter()
                .map(|(word, shape)| object(shape, Some((tag, word))))
                .collect();
            json!({ "oneOf": all })
        }
        Kind::Either(shapes, without) => {
            let all = shapes.iter().map(|(_, shape)| *shape).chain([*without]);
            json!({ "oneOf": all.map(|shape| object(shape, None)).collect::<Vec<_>>() })
        }
        Kind::Quantity(names) => {
            json!({ "enum": names.all().map(|info| info.name).collect::<Vec<_>>() })
        }
        Kind::Path => json!({ "enum": paths::all() }),
    }
}

fn triple(item: &Value) -> Value {
    json!({ "type": "array", "items": item, "minItems": 3, "maxItems": 3 })
}

fn number(bounds: &Bounds) -> Value {
    let low = if bounds.low_included {
        "minimum"
    } else {
        "exclusiveMinimum"
    };
    let high = if bounds.high_included {
        "maximum"
    } else {
        "exclusiveMaximum"
    };
    json!({ "type": "number", low: bounds.low, high: bounds.high })
}
