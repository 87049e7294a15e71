//! What a document may look like: one table of fields, from which both the checks and the JSON
//! Schema are made.

/// What a value may be.
pub(crate) enum Kind {
    /// A number between two bounds.
    Number(Bounds),
    /// A whole number between two bounds, both included.
    Whole(u64, u64),
    /// A text of at most so many characters.
    Text(usize),
    /// true or false.
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Three coordinates, mm, within [`FARTHEST`] of the origin in each.
    Point(Across),
    /// A direction: three numbers, not all zero.
    Direction,
    /// Two numbers, the first not above the second, each within the bounds.
    Range(Bounds),
    /// A list of so many to so many items.
    List(&'static Kind, usize, usize),
    /// An object.
    Object(&'static Shape),
    /// An object whose fields depend on the word in one of them.
    Variants(&'static str, &'static [(&'static str, &'static Shape)]),
    /// An object of the first shape of the list whose field of that name it has, else of the last
    /// one.
    Either(&'static [(&'static str, &'static Shape)], &'static Shape),
    /// The name of a quantity.
    Quantity(Names),
    /// The path of a point of the vehicle.
    Path,
}

/// Which quantities are allowed.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Names {
    /// Every quantity.
    Any,
    /// Those of the static set-up that can be held.
    Held,
}

/// Where a point may lie across the machine.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Across {
    /// Left of the middle or on it.
    Left,
    /// Right of the middle or on it.
    Right,
    /// Anywhere.
    Any,
}

/// Farthest coordinate of a point, mm.
pub(crate) const FARTHEST: f64 = 10_000.0;

/// Bounds of a number with its unit.
#[derive(Clone, Copy)]
pub(crate) struct Bounds {
    /// Lower bound.
    pub low: f64,
    /// The bound itself is allowed.
    pub low_included: bool,
    /// Upper bound.
    pub high: f64,
    /// The bound itself is allowed.
    pub high_included: bool,
    /// Unit, or nothing.
    pub unit: &'static str,
}

/// `low ≤ x ≤ high`.
pub(crate) const fn closed(low: f64, high: f64, unit: &'static str) -> Bounds {
    Bounds {
        low,
        low_included: true,
        high,
        high_included: true,
        unit,
    }
}

/// `low < x ≤ high`.
pub(crate) const fn above(low: f64, high: f64, unit: &'static str) -> Bounds {
    Bounds {
        low,
        low_included: false,
        high,
        high_included: true,
        unit,
    }
}

/// `low < x < high`.
pub(crate) const fn between(low: f64, high: f64, unit: &'static str) -> Bounds {
    Bounds {
        low,
        low_included: false,
        high,
        high_included: false,
        unit,
    }
}

impl Bounds {
    /// The number keeps the bounds.
    pub(crate) fn hold(&self, x: f64) -> bool {
        let low = if self.low_included {
            x >= self.low
        } else {
            x > self.low
        };
        let high = if self.high_included {
            x <= self.high
        } else {
            x < self.high
        };
        low && high
    }

    /// The bounds in words.
    pub(crate) fn words(&self) -> String {
        let low = if self.low_included {
            "at least"
        } else {
            "above"
        };
        let high = if self.high_included {
            "at most"
        } else {
            "below"
        };
        let unit = if self.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", self.unit)
        };
        format!("{low} {} and {high} {}{unit}", self.low, self.high)
    }
}

/// One field of an object.
pub(crate) struct Field {
    /// Its name; the ending is the unit.
    pub name: &'static str,
    /// What it may be.
    pub kind: Kind,
    /// Whether it may be absent, and what stands for it then.
    pub absent: Absent,
    /// What it means, for the schema.
    pub meaning: &'static str,
}

/// What an absent field means.
pub(crate) enum Absent {
    /// It may not be absent.
    Fault,
    /// It is simply not there.
    Nothing,
    /// This JSON text stands for it.
    Default(&'static str),
}

/// An object's fields.
pub(crate) struct Shape {
    /// What the object is, for messages and the schema.
    pub title: &'static str,
    /// Its fields.
    pub fields: &'static [Field],
}

/// A field that may not be absent.
pub(crate) const fn needed(name: &'static str, kind: Kind, meaning: &'static str) -> Field {
    Field {
        name,
        kind,
        absent: Absent::Fault,
        meaning,
    }
}

/// A field that may be absent without anything standing for it.
pub(crate) const fn optional(name: &'static str, kind: Kind, meaning: &'static str) -> Field {
    Field {
        name,
        kind,
        absent: Absent::Nothing,
        meaning,
    }
}

/// A field with a default, given as JSON text.
pub(crate) const fn defaulted(
    name: &'static str,
    kind: Kind,
    default: &'static str,
    meaning: &'static str,
) -> Field {
    Field {
        name,
        kind,
        absent: Absent::Default(default),
        meaning,
    }
}
