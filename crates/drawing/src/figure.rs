//! Numbers as people read them.

/// A number with so many decimals, a true minus sign, and no minus before zero.
pub fn decimals(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().any(|b| (b'1'..=b'9').contains(&b)) => format!("−{rest}"),
        Some(rest) => rest.to_owned(),
        None => text,
    }
}

/// A value of a quantity: as many decimals as its unit and size deserve.
pub fn value(value: f64, unit: &str) -> String {
    decimals(value, places(value, unit))
}

/// A value with its unit behind it.
pub fn with_unit(number: f64, unit: &str) -> String {
    let text = value(number, unit);
    match symbol(unit) {
        "" => text,
        "°" => format!("{text}°"),
        sign => format!("{text} {sign}"),
    }
}

/// A difference: as [`value`], with its sign always written.
pub fn difference(number: f64, unit: &str) -> String {
    signed(number, places(number, unit))
}

/// A number with its sign always written, except before zero.
pub fn signed(number: f64, places: usize) -> String {
    let text = decimals(number, places);
    let zero = !text.bytes().any(|b| (b'1'..=b'9').contains(&b));
    if number > 0.0 && !zero {
        format!("+{text}")
    } else {
        text
    }
}

/// The symbol of a unit as it stands in files (`deg`), for print.
pub fn symbol(unit: &str) -> &str {
    match unit {
        "deg" => "°",
        "deg/mm" => "°/mm",
        other => other,
    }
}

fn places(value: f64, unit: &str) -> usize {
    let size = value.abs();
    match unit {
        "mm" => 1,
        "deg/mm" | "°/mm" => 4,
        "m" => 2,
        _ if size >= 100.0 => 1,
        _ if size < 0.1 && size > 0.0 => 3,
        _ => 2,
    }
}

/// The name of a quantity or point as words, without the unit at its end.
pub fn words(name: &str) -> String {
    const ENDINGS: [&str; 10] = [
        "_nm_per_kn",
        "_deg_per_mm",
        "_deg",
        "_mm",
        "_mps",
        "_n",
        "_g",
        "_nm",
        "_kg",
        "_m",
    ];
    let ending = ENDINGS.iter().find(|e| name.ends_with(**e));
    let bare = ending.map_or(name, |e| &name[..name.len() - e.len()]);
    bare.replace('_', " ")
}

/// The first letter as a capital.
pub fn capital(text: &str) -> String {
    let mut rest = text.chars();
    match rest.next() {
        Some(first) => first.to_uppercase().chain(rest).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_true_and_zero_has_none() {
        assert_eq!(decimals(-0.04, 1), "0.0");
        assert_eq!(decimals(-1.25, 1), "−1.2");
        assert_eq!(signed(0.004, 2), "0.00");
        assert_eq!(signed(3.0, 1), "+3.0");
        assert_eq!(difference(-7.123, "mm"), "−7.1");
        assert_eq!(decimals(f64::NAN, 2), "–");
    }

    #[test]
    fn units_stand_behind_and_leave_the_name() {
        assert_eq!(with_unit(0.0312, "deg"), "0.031°");
        assert_eq!(with_unit(2.9, "m"), "2.90 m");
        assert_eq!(words("bump_steer_slope_deg_per_mm"), "bump steer slope");
        assert_eq!(words("turning_radius_kerb_m"), "turning radius kerb");
        assert_eq!(words("steering_ratio"), "steering ratio");
        assert_eq!(capital("über"), "Über");
    }
}
