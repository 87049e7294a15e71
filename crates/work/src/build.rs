//! Which build this is.

use std::sync::OnceLock;

use sha2::{Digest, Sha256};

/// The name of this build: its version and the first digits of the SHA-256 of the executable. A job
/// is pinned to it, since equal bits are promised for one build only. Two machines that run the same
/// file run the same build; where the executable can't be read, the version stands alone.
pub fn build_id() -> &'static str {
    static BUILD: OnceLock<String> = OnceLock::new();
    BUILD.get_or_init(|| {
        let version = env!("CARGO_PKG_VERSION");
        match executable() {
            Ok(bytes) => format!("{version}-{}", first_digits(&bytes)),
            Err(_) => version.to_owned(),
        }
    })
}

/// The running file, even when another has taken its place since: an upgrade in place must not change
/// what a process says of itself.
fn executable() -> std::io::Result<Vec<u8>> {
    if cfg!(target_os = "linux") {
        return std::fs::read("/proc/self/exe");
    }
    std::fs::read(std::env::current_exe()?)
}

fn first_digits(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .take(6)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
