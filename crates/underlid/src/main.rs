//! The `underlid` command.
fn main() {}
