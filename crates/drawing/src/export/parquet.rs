//! A table as a Parquet file: one row group, uncompressed.

use super::sheet::{Cells, Sheet};
use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::{ParquetError, Result};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use std::sync::Arc;

pub(super) fn write(sheet: &Sheet) -> Result<Vec<u8>> {
    let fields = sheet
        .columns
        .iter()
        .map(field)
        .collect::<Result<Vec<_>>>()?;
    let schema = Type::group_type_builder("table")
        .with_fields(fields)
        .build()?;
    let properties = Arc::new(WriterProperties::builder().build());
    let mut writer = SerializedFileWriter::new(Vec::new(), Arc::new(schema), properties)?;
    let mut group = writer.next_row_group()?;
    for (_, cells) in &sheet.columns {
        let mut column = group
            .next_column()?
            .ok_or_else(|| ParquetError::General("a column of the schema is missing".into()))?;
        fill(column.untyped(), cells)?;
        column.close()?;
    }
    group.close()?;
    writer.into_inner()
}

fn field((name, cells): &(String, Cells)) -> Result<Arc<Type>> {
    let (physical, repetition, logical) = match cells {
        Cells::Whole(_) => (Physical::INT64, Repetition::REQUIRED, None),
        Cells::Flag(_) => (Physical::BOOLEAN, Repetition::REQUIRED, None),
        Cells::Number(_) => (Physical::DOUBLE, Repetition::OPTIONAL, None),
        Cells::Text(_) => (
            Physical::BYTE_ARRAY,
            Repetition::REQUIRED,
            Some(LogicalType::String),
        ),
    };
    let built = Type::primitive_type_builder(name, physical)
        .with_repetition(repetition)
        .with_logical_type(logical)
        .build()?;
    Ok(Arc::new(built))
}

fn fill(column: &mut ColumnWriter, cells: &Cells) -> Result<usize> {
    match (column, cells) {
        (ColumnWriter::Int64ColumnWriter(writer), Cells::Whole(cells)) => {
            writer.write_batch(cells, None, None)
        }
        (ColumnWriter::BoolColumnWriter(writer), Cells::Flag(cells)) => {
            writer.write_batch(cells, None, None)
        }
        (ColumnWriter::DoubleColumnWriter(writer), Cells::Number(cells)) => {
            let there: Vec<f64> = cells.iter().flatten().copied().collect();
            let levels: Vec<i16> = cells.iter().map(|c| i16::from(c.is_some())).collect();
            writer.write_batch(&there, Some(&levels), None)
        }
        (ColumnWriter::ByteArrayColumnWriter(writer), Cells::Text(cells)) => {
            let bytes: Vec<ByteArray> = cells.iter().map(|c| c.as_str().into()).collect();
            writer.write_batch(&bytes, None, None)
        }
        _ => Err(ParquetError::General(
            "a column has another type than its cells".into(),
        )),
    }
}
