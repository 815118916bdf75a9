//! Prints the page of the figures that the methods take for granted.

fn main() {
    print!("{}", methods::assumed::page());
}
