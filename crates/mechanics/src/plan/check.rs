//! What a plan refuses.

use crate::{Ask, Needs, Over, OverKind, Quantity, Settings};
use core::fmt;

/// Why a plan cannot be made.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanFault {
    /// The quantity is not taken over this kind of range.
    WrongOver {
        /// The quantity.
        quantity: Quantity,
        /// The kind that was given.
        given: OverKind,
        /// The kinds that it takes.
        takes: &'static [OverKind],
    },
    /// A range is not finite, upside down or too far.
    BadRange {
        /// The quantity.
        quantity: Quantity,
        /// The field under `over`.
        field: &'static str,
        /// The range as given.
        range: [f64; 2],
        /// Lowest and highest number allowed.
        allowed: [f64; 2],
    },
    /// The quantity needs mass and centre of gravity.
    NeedsMasses(Quantity),
    /// The quantity needs a part that the settings don't give.
    NeedsPart(Quantity, Needs),
    /// A setting is outside its range.
    BadSetting {
        /// Name of the setting.
        setting: &'static str,
        /// As given.
        value: f64,
        /// Lowest and highest number allowed.
        allowed: [f64; 2],
    },
    /// No corner of reach: balancing the slowest speed on the widest radius already takes more
    /// lean than the limit, and parking does not count.
    EmptyReach,
}

impl fmt::Display for PlanFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PlanFault::WrongOver {
                quantity,
                given,
                takes,
            } => {
                let name = |kind: &OverKind| match kind {
                    OverKind::Design => "the design pose",
                    OverKind::Reach => "reach",
                    OverKind::Cases => "the load cases",
                    other => other.field().unwrap_or_default(),
                };
                let takes: Vec<&str> = takes.iter().map(name).collect();
                write!(
                    f,
                    "{} is taken over {}, not over {}",
                    quantity.name(),
                    takes.join(" or "),
                    name(given)
                )
            }
            PlanFault::BadRange {
                quantity,
                field,
                range: [low, high],
                allowed: [a, b],
            } => write!(
                f,
                "{}: {field} [{low}, {high}] must rise within {a} to {b}",
                quantity.name()
            ),
            PlanFault::NeedsMasses(quantity) => write!(
                f,
                "{} needs the total mass and the centre of gravity",
                quantity.name()
            ),
            PlanFault::NeedsPart(quantity, needs) => {
                let part = match needs {
                    Needs::Nothing | Needs::Masses => "masses",
                    Needs::Ratings => "a static rating of a joint",
                    Needs::Rod => "the section of the rods",
                    Needs::Legs => "the section of the wishbones' legs",
                    Needs::StubAxle => "a stub axle",
                    Needs::JointLimits => "a limit of a joint",
                    Needs::Joints => "joints from a catalogue",
                    Needs::Body => "the sizes of the parts",
                    Needs::Boxes => "a box on the frame",
                    Needs::Cable => "a cable drive",
                };
                write!(f, "{} needs {part}", quantity.name())
            }
            PlanFault::BadSetting {
                setting,
                value,
                allowed: [a, b],
            } => write!(f, "{setting} is {value}; allowed: {a} to {b}"),
            PlanFault::EmptyReach => f.write_str(
                "reach is empty: its slowest speed on its widest radius needs more lean than the limit",
            ),
        }
    }
}

impl std::error::Error for PlanFault {}

pub(super) fn check(asks: &[Ask], settings: &Settings) -> Result<(), PlanFault> {
    check_settings(settings)?;
    asks.iter().try_for_each(|ask| check_ask(ask, settings))
}

fn check_ask(ask: &Ask, settings: &Settings) -> Result<(), PlanFault> {
    let (quantity, kind) = (ask.quantity, ask.over.kind());
    let info = quantity.info();
    if !info.over.contains(&kind) {
        return Err(PlanFault::WrongOver {
            quantity,
            given: kind,
            takes: info.over,
        });
    }
    if info.needs.masses() && settings.fittings.masses.is_none() {
        return Err(PlanFault::NeedsMasses(quantity));
    }
    if !settings.parts.give(info.needs) {
        return Err(PlanFault::NeedsPart(quantity, info.needs));
    }
    let range = match ask.over {
        Over::Lean(range) | Over::Travel(range) | Over::Steer(range) => range,
        Over::Design | Over::Reach | Over::Cases => return Ok(()),
    };
    let allowed = kind.bounds();
    let rises = range[0] <= range[1] && range[0] >= allowed[0] && range[1] <= allowed[1];
    if rises {
        return Ok(());
    }
    Err(PlanFault::BadRange {
        quantity,
        field: kind.field().unwrap_or_default(),
        range,
        allowed,
    })
}

pub(crate) fn check_settings(s: &Settings) -> Result<(), PlanFault> {
    let within = |setting, value: f64, low: f64, high: f64| match value >= low && value <= high {
        true => Ok(()),
        false => Err(PlanFault::BadSetting {
            setting,
            value,
            allowed: [low, high],
        }),
    };
    let optional = |setting, value: Option<f64>, low, high| match value {
        Some(value) => within(setting, value, low, high),
        None => Ok(()),
    };
    let r = &s.reach;
    within("reach.speed_mps[0]", r.speed_mps[0], 0.0, 50.0)?;
    within("reach.speed_mps[1]", r.speed_mps[1], r.speed_mps[0], 50.0)?;
    within("reach.radius_m[0]", r.radius_m[0], 0.5, 1e4)?;
    within("reach.radius_m[1]", r.radius_m[1], r.radius_m[0], 1e4)?;
    within("reach.lean_limit_deg", r.lean_limit_deg, 0.0, 60.0)?;
    within("reach.lean_out_deg", r.lean_out_deg, 0.0, 60.0)?;
    within("reach.side_slope_deg", r.side_slope_deg, 0.0, 30.0)?;
    within(
        "smallest_transmission_deg",
        s.smallest_transmission_deg,
        0.0,
        80.0,
    )?;
    optional("stop_angle_deg", s.stop_angle_deg, 1.0, 170.0)?;
    optional("ball_joint_limit_deg", s.ball_joint_limit_deg, 0.1, 89.0)?;
    optional("rod_end_limit_deg", s.rod_end_limit_deg, 0.1, 89.0)?;
    within("lean_sweep_deg", s.lean_sweep_deg, 1.0, 80.0)?;
    let t = &s.steps;
    within("steps.lean_deg", t.lean_deg, 0.05, 10.0)?;
    within("steps.travel_mm", t.travel_mm, 0.25, 50.0)?;
    within("steps.reach_rows", t.reach_rows as f64, 2.0, 60.0)?;
    within("steps.reach_columns", t.reach_columns as f64, 2.0, 60.0)?;
    within("steps.crank_deg", t.crank_deg, 0.5, 20.0)?;
    optional(
        "handlebar_per_crank",
        s.fittings.handlebar_per_crank,
        0.1,
        20.0,
    )?;
    optional(
        "slider_per_handlebar",
        s.fittings.slider_per_handlebar,
        1e-3,
        20.0,
    )
}
