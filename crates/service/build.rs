//! Lists the files of the page for `src/page.rs`, which takes them into the program.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR").expect("set by cargo")).join("page");
    println!("cargo:rerun-if-changed={}", root.display());
    let mut files = Vec::new();
    collect(&root, &mut files)?;
    files.sort();
    let mut list = String::from("&[\n");
    for file in &files {
        let name = file.strip_prefix(&root).expect("found below it");
        let name = name.to_string_lossy().replace('\\', "/");
        writeln!(list, "    ({name:?}, include_bytes!({file:?})),").expect("a string takes all");
    }
    list.push(']');
    let out = PathBuf::from(env::var("OUT_DIR").expect("set by cargo"));
    fs::write(out.join("page.rs"), list)
}

fn collect(folder: &Path, into: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, into)?;
        } else {
            into.push(path);
        }
    }
    Ok(())
}
