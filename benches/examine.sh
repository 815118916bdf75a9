#!/bin/sh
# What an examination takes, for dossiers of 68 to 10,000 items made of copies of the demonstration.
#
# usage: benches/examine.sh [COPIES ...]
set -eu
cd "$(dirname "$0")/.."
cargo build --quiet --release -p underlid-methods --example grown
exec "${CARGO_TARGET_DIR:-target}/release/examples/grown" "$@"
