//! A table as CSV (RFC 4180).

use super::sheet::{Cells, Sheet};

pub(super) fn write(sheet: &Sheet) -> Vec<u8> {
    let mut out = String::new();
    line(&mut out, sheet.columns.iter().map(|(name, _)| text(name)));
    for row in 0..sheet.rows() {
        line(
            &mut out,
            sheet.columns.iter().map(|(_, cells)| cell(cells, row)),
        );
    }
    out.into_bytes()
}

fn line(out: &mut String, cells: impl Iterator<Item = String>) {
    let cells: Vec<String> = cells.collect();
    out.push_str(&cells.join(","));
    out.push_str("\r\n");
}

fn cell(cells: &Cells, row: usize) -> String {
    match cells {
        Cells::Whole(cells) => cells[row].to_string(),
        Cells::Flag(cells) => cells[row].to_string(),
        Cells::Number(cells) => match cells[row] {
            // With a decimal point also when whole, so that a reader takes no column for counts.
            Some(number) if number.is_finite() => format!("{number:?}"),
            _ => String::new(),
        },
        Cells::Text(cells) => text(&cells[row]),
    }
}

/// A text cell: never the start of a formula, quoted where the standard asks for it.
fn text(value: &str) -> String {
    let harmless = match value.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r') => format!("'{value}"),
        _ => value.to_owned(),
    };
    match harmless.contains(['"', ',', '\n', '\r']) {
        true => format!("\"{}\"", harmless.replace('"', "\"\"")),
        false => harmless,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_quoted_and_never_a_formula() {
        for start in ['=', '+', '-', '@', '\t'] {
            assert_eq!(text(&format!("{start}1")), format!("'{start}1"));
        }
        assert_eq!(text("\r1"), "\"'\r1\"");
        assert_eq!(text("a,\"b\"\n"), "\"a,\"\"b\"\"\n\"");
        assert_eq!(text("1 = 1"), "1 = 1");
    }

    #[test]
    fn numbers_keep_every_digit_and_their_sign() {
        let third = -1.0 / 3.0;
        let cells = Cells::Number(vec![Some(third), None]);
        assert_eq!(cell(&cells, 0).parse::<f64>().unwrap(), third);
        assert_eq!(cell(&cells, 1), "");
    }
}
