//! Colours. Each carries its value on light paper, which stands in the picture itself, and a
//! class by which a page's stylesheet may give another value for dark screens.
//!
//! Lines differ in lightness and dash as well as in hue, so that they stay apart for colour-blind
//! readers and on a grey printer.

/// A colour with a meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// The sheet itself.
    Paper,
    /// Text and outlines.
    Text,
    /// Secondary text.
    Soft,
    /// Grid lines and hatching.
    Grid,
    /// Axis lines, ground and frame.
    Rule,
    /// The first subject: the candidate itself.
    First,
    /// The second subject.
    Second,
    /// The third subject.
    Third,
    /// The fourth subject.
    Fourth,
    /// The fifth subject.
    Fifth,
    /// The sixth subject.
    Sixth,
    /// What all is measured against: the submitted vehicle.
    Reference,
    /// A limit that was asked for.
    Limit,
}

impl Ink {
    /// Every colour.
    pub const ALL: [Ink; 13] = [
        Ink::Paper,
        Ink::Text,
        Ink::Soft,
        Ink::Grid,
        Ink::Rule,
        Ink::First,
        Ink::Second,
        Ink::Third,
        Ink::Fourth,
        Ink::Fifth,
        Ink::Sixth,
        Ink::Reference,
        Ink::Limit,
    ];

    /// The colour of the n-th subject; they come round again after six.
    pub fn subject(index: usize) -> Ink {
        let all = [
            Ink::First,
            Ink::Second,
            Ink::Third,
            Ink::Fourth,
            Ink::Fifth,
            Ink::Sixth,
        ];
        all[index % all.len()]
    }

    /// The value on light paper.
    pub const fn light(self) -> &'static str {
        match self {
            Ink::Paper => "#fdfcf8",
            Ink::Text => "#26323a",
            Ink::Soft => "#5a656c",
            Ink::Grid => "#e4e2da",
            Ink::Rule => "#a9aba6",
            Ink::First => "#0e5a78",
            Ink::Second => "#b9561b",
            Ink::Third => "#7b4a93",
            Ink::Fourth => "#5d6b1e",
            Ink::Fifth => "#a8326b",
            Ink::Sixth => "#39424e",
            Ink::Reference => "#80868a",
            Ink::Limit => "#9c2f3f",
        }
    }

    /// The value on a dark screen.
    pub const fn dark(self) -> &'static str {
        match self {
            Ink::Paper => "#1b2024",
            Ink::Text => "#e6e7e3",
            Ink::Soft => "#a5aeb3",
            Ink::Grid => "#31383d",
            Ink::Rule => "#69737a",
            Ink::First => "#74bddd",
            Ink::Second => "#eaa06a",
            Ink::Third => "#cda4e4",
            Ink::Fourth => "#b9c873",
            Ink::Fifth => "#f09ac0",
            Ink::Sixth => "#d5dbe2",
            Ink::Reference => "#929a9f",
            Ink::Limit => "#ee8793",
        }
    }

    /// Name of the class, behind `s-` for strokes and `f-` for fills.
    pub const fn class(self) -> &'static str {
        match self {
            Ink::Paper => "paper",
            Ink::Text => "text",
            Ink::Soft => "soft",
            Ink::Grid => "grid",
            Ink::Rule => "rule",
            Ink::First => "first",
            Ink::Second => "second",
            Ink::Third => "third",
            Ink::Fourth => "fourth",
            Ink::Fifth => "fifth",
            Ink::Sixth => "sixth",
            Ink::Reference => "reference",
            Ink::Limit => "limit",
        }
    }
}

/// How a line is broken; tells lines of one subject apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Long dashes.
    Long,
    /// Short dashes.
    Short,
    /// Dash and dot: centre lines.
    Centre,
}

impl Dash {
    /// The n-th way; they come round again after three.
    pub fn line(index: usize) -> Dash {
        [Dash::Solid, Dash::Long, Dash::Short][index % 3]
    }

    pub(crate) const fn pattern(self) -> Option<&'static str> {
        match self {
            Dash::Solid => None,
            Dash::Long => Some("7 3"),
            Dash::Short => Some("2 2.5"),
            Dash::Centre => Some("9 3 1.5 3"),
        }
    }
}
