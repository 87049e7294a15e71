//! Statements with typed arguments, the same for every engine but for its types.

/// `rows`, `run` and what they need, for an engine whose file has a function `dialect`. A macro and
/// not a generic function, since the driver's types have no common bound that says "takes these
/// values".
macro_rules! statements {
    ($engine:ident, $arguments:ident) => {
        pub(super) async fn rows<'c>(
            on: impl sqlx::Executor<'c, Database = $engine>,
            sql: &'static str,
            args: &[super::Arg<'_>],
        ) -> Result<Vec<super::Row>, crate::error::Error> {
            let rows = query(sql, args)?.fetch_all(on).await?;
            Ok(rows.into_iter().map(super::Row::$engine).collect())
        }

        pub(super) async fn run<'c>(
            on: impl sqlx::Executor<'c, Database = $engine>,
            sql: &'static str,
            args: &[super::Arg<'_>],
        ) -> Result<u64, crate::error::Error> {
            Ok(query(sql, args)?.execute(on).await?.rows_affected())
        }

        /// Only texts of this crate come here, so no caller's words can.
        fn query(
            sql: &'static str,
            args: &[super::Arg<'_>],
        ) -> Result<sqlx::query::Query<'static, $engine, $arguments>, crate::error::Error> {
            use super::Arg;
            use sqlx::Arguments;
            let mut bound = $arguments::default();
            for arg in args {
                let added = match *arg {
                    Arg::Int(value) => bound.add(value),
                    Arg::MaybeInt(value) => bound.add(value),
                    Arg::Text(value) => bound.add(value.to_owned()),
                    Arg::MaybeText(value) => bound.add(value.map(str::to_owned)),
                    Arg::Bytes(value) => bound.add(value.to_owned()),
                    Arg::MaybeBytes(value) => bound.add(value.map(<[u8]>::to_owned)),
                };
                added.map_err(sqlx::Error::Encode)?;
            }
            Ok(sqlx::query_with(sqlx::AssertSqlSafe(dialect(sql)), bound))
        }
    };
}
pub(super) use statements;
