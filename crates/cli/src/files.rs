//! Files the commands read and write.

use std::fs;
use std::io::Read;
use std::path::Path;

use service::{Kind, Problem};

/// The largest input file; the server's own limit.
const LARGEST: u64 = 1 << 20;

/// Reads a text file, or standard input for `-`.
///
/// # Errors
/// When it cannot be read, is not UTF-8 or exceeds 1 MiB.
pub fn read(path: &Path) -> Result<String, Problem> {
    String::from_utf8(read_up_to(path, LARGEST)?).map_err(|error| {
        Problem::new(
            Kind::BadJson,
            format!("{}: not UTF-8: {error}", path.display()),
        )
    })
}

/// Reads a file of at most so many bytes, or standard input for `-`.
///
/// # Errors
/// When it cannot be read or is larger.
pub fn read_up_to(path: &Path, most: u64) -> Result<Vec<u8>, Problem> {
    let cannot =
        |error: std::io::Error| Problem::new(Kind::Usage, format!("{}: {error}", path.display()));
    let bytes = if path == Path::new("-") {
        bounded(std::io::stdin().lock(), most).map_err(cannot)?
    } else {
        bounded(fs::File::open(path).map_err(cannot)?, most).map_err(cannot)?
    };
    if bytes.len() as u64 > most {
        let detail = format!("{}: it may have at most {most} bytes", path.display());
        return Err(Problem::new(Kind::TooLarge, detail));
    }
    Ok(bytes)
}

fn bounded(source: impl Read, most: u64) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    source.take(most + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Makes a folder with its parents.
///
/// # Errors
/// When the operating system refuses.
pub fn folder(path: &Path) -> Result<(), Problem> {
    fs::create_dir_all(path).map_err(|error| not_written(path, &error))
}

/// Writes a file.
///
/// # Errors
/// When the operating system refuses.
pub fn write(path: &Path, text: impl AsRef<[u8]>) -> Result<(), Problem> {
    fs::write(path, text).map_err(|error| not_written(path, &error))
}

fn not_written(path: &Path, error: &std::io::Error) -> Problem {
    Problem::new(Kind::NotWritten, format!("{}: {error}", path.display()))
}

/// Reads a file that must be JSON.
///
/// # Errors
/// As [`read`], and [`Kind::BadJson`] with line and column.
pub fn read_json(path: &Path) -> Result<String, Problem> {
    let text = read(path)?;
    match serde_json::from_str::<serde::de::IgnoredAny>(&text) {
        Ok(_) => Ok(text),
        Err(error) => Err(Problem::new(
            Kind::BadJson,
            format!("{}: {error}", path.display()),
        )),
    }
}
