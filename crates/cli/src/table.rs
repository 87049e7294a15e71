//! Plain aligned tables for terminals.

/// A table whose first column is aligned left and the others right.
#[derive(Debug)]
pub struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these column heads.
    pub fn new(heads: impl IntoIterator<Item = String>) -> Self {
        Self {
            rows: vec![heads.into_iter().collect()],
        }
    }

    /// Adds a row; missing cells stay empty.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().map(printable).collect());
    }

    /// The table as text, one line a row.
    pub fn text(&self) -> String {
        let widths = self.widths();
        let lines = self.rows.iter().map(|row| line(row, &widths));
        lines.collect::<Vec<_>>().join("\n")
    }

    fn widths(&self) -> Vec<usize> {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let width = |column: usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(column));
            cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
        };
        (0..columns).map(width).collect()
    }
}

fn line(row: &[String], widths: &[usize]) -> String {
    let cells = row.iter().zip(widths).enumerate();
    let padded = cells.map(|(column, (cell, width))| {
        if column == 0 {
            format!("{cell:<width$}")
        } else {
            format!("{cell:>width$}")
        }
    });
    padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
}

/// Names come from files: control characters must not reach the terminal.
fn printable(cell: String) -> String {
    cell.chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect()
}

/// A number with as many places as its size makes useful; a dash when there is none.
pub fn number(value: Option<f64>) -> String {
    match value {
        None => "-".to_owned(),
        Some(value) if value.abs() >= 100.0 => format!("{value:.1}"),
        Some(value) if value.abs() >= 10.0 => format!("{value:.2}"),
        Some(value) => format!("{value:.4}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_control_characters_do_not_pass() {
        let mut table = Table::new(["name".to_owned(), "mm".to_owned()]);
        table.row(["a\u{1b}[2J".to_owned(), number(Some(12.345))]);
        table.row(["b".to_owned(), number(None)]);
        assert_eq!(
            table.text(),
            "name      mm\na\u{fffd}[2J  12.35\nb          -"
        );
    }

    #[test]
    fn numbers_keep_about_five_figures() {
        assert_eq!(number(Some(-0.01234)), "-0.0123");
        assert_eq!(number(Some(123.456)), "123.5");
    }
}
