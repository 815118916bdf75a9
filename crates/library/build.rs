//! The migrations are compiled in: a new one is a change.

fn main() {
    println!("cargo:rerun-if-changed=migrations");
}
