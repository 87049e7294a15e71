//! The databases of the tests, past the program: SQLite files and schemas of a PostgreSQL server that
//! `tests/postgres/with` has started.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

use sqlx::postgres::PgConnectOptions;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions, Connection};
use tempfile::TempDir;

/// Which engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// A file, in the hands of one process.
    Sqlite,
    /// A server that processes share.
    Postgres,
}

/// Both, to run a test over.
pub const ENGINES: [Engine; 2] = [Engine::Sqlite, Engine::Postgres];

/// A store of its own, gone when dropped; a schema is left to the server's end.
pub struct Database {
    engine: Engine,
    /// Holds whatever the test keeps as files.
    folder: TempDir,
    /// The schema's name, and so that of its connections; empty on SQLite.
    name: String,
    /// What the schema's connections are opened with beside their name.
    further: String,
    _hold: Hold,
}

/// The server is there for all tests, until one has it alone to take it away.
enum Hold {
    Nothing,
    Shared {
        _guard: RwLockReadGuard<'static, ()>,
    },
    Alone {
        _guard: RwLockWriteGuard<'static, ()>,
    },
}

static SERVER: RwLock<()> = RwLock::new(());

impl Database {
    /// A new one.
    pub fn new(engine: Engine) -> Database {
        let hold = match engine {
            Engine::Sqlite => Hold::Nothing,
            Engine::Postgres => Hold::Shared {
                _guard: SERVER.read().unwrap_or_else(PoisonError::into_inner),
            },
        };
        Database::held(engine, hold)
    }

    /// A new schema while no other test uses the server, which may be taken away.
    pub fn alone() -> Database {
        let hold = Hold::Alone {
            _guard: SERVER.write().unwrap_or_else(PoisonError::into_inner),
        };
        Database::held(Engine::Postgres, hold)
    }

    fn held(engine: Engine, hold: Hold) -> Database {
        let database = Database {
            _hold: hold,
            engine,
            folder: tempfile::tempdir().expect("a folder"),
            name: name(engine),
            further: String::new(),
        };
        if engine == Engine::Postgres {
            on_server(&format!("CREATE SCHEMA {}", database.name));
        }
        database
    }

    /// As [`Database::alone`], with the tables in a tablespace.
    pub fn in_tablespace(tablespace: &str) -> Database {
        Database {
            further: format!("&options[default_tablespace]={tablespace}"),
            ..Database::alone()
        }
    }

    /// Which engine.
    pub fn engine(&self) -> Engine {
        self.engine
    }

    /// A folder of the test's own.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// What the program's environment says of the store.
    pub fn url(&self) -> String {
        match self.engine {
            Engine::Sqlite => self.file().display().to_string(),
            Engine::Postgres => format!(
                "{}&options[search_path]={}&application_name={}{}",
                server(),
                self.name,
                self.name,
                self.further
            ),
        }
    }

    /// The SQLite file.
    pub fn file(&self) -> PathBuf {
        self.folder.path().join("store.sqlite")
    }

    /// The single number that a query answers.
    pub fn number(&self, sql: &str) -> i64 {
        let sql = sql.to_owned();
        match self.engine {
            Engine::Sqlite => wait(async {
                let options = SqliteConnectOptions::new().filename(self.file());
                let mut plain = options.connect().await?;
                let number = sqlx::query_scalar(AssertSqlSafe(sql)).fetch_one(&mut plain);
                let number = number.await?;
                plain.close().await?;
                Ok(number)
            }),
            Engine::Postgres => wait(async {
                let mut plain = self.url().parse::<PgConnectOptions>()?.connect().await?;
                let number = sqlx::query_scalar(AssertSqlSafe(sql)).fetch_one(&mut plain);
                let number = number.await?;
                plain.close().await?;
                Ok(number)
            }),
        }
    }

    /// Ends all connections that the program's processes have.
    pub fn terminate_connections(&self) {
        on_server(&format!(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity \
             WHERE application_name = '{}' AND pid <> pg_backend_pid()",
            self.name
        ));
    }
}

fn name(engine: Engine) -> String {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    match engine {
        Engine::Sqlite => String::new(),
        Engine::Postgres => format!(
            "s{}_{}",
            std::process::id(),
            NEXT.fetch_add(1, Ordering::Relaxed)
        ),
    }
}

fn server() -> String {
    std::env::var("LEANWRIGHT_TEST_POSTGRES").expect("run these tests by tests/postgres/with")
}

/// Runs a statement on the server's first database.
fn on_server(sql: &str) {
    let sql = sql.to_owned();
    wait(async {
        let mut plain = server().parse::<PgConnectOptions>()?.connect().await?;
        sqlx::raw_sql(AssertSqlSafe(sql))
            .execute(&mut plain)
            .await?;
        plain.close().await
    });
}

/// Stops or starts the server, as `tests/postgres/with` tells how.
pub fn control(words: &[&str]) {
    let control = std::env::var("LEANWRIGHT_TEST_POSTGRES_CTL")
        .expect("run these tests by tests/postgres/with");
    let status = Command::new(control).args(words).status();
    let status = status.expect("the script starts");
    assert!(status.success(), "{words:?}: {status}");
}

/// Takes the server away at once, without a clean end, and brings it back.
pub fn restart_at_once() {
    control(&["stop", "immediate"]);
    control(&["start"]);
}

fn wait<T>(answer: impl Future<Output = Result<T, sqlx::Error>>) -> T {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime")
        .block_on(answer)
        .expect("the database answers")
}
