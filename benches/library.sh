#!/bin/sh
# Times finding in libraries of invented dossiers of 60 parts, and holds who-has-which-part against another program.
#
# usage: benches/library.sh [DOSSIERS ...]
#
# 1,000 and 10,000 if none are given. Dossiers are filled in by thousands; `found make` times one
# save after another. One process; the libraries lie in a temporary folder that goes afterwards.
set -eu
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --release -p underlid-library --example found
found=${CARGO_TARGET_DIR:-target}/release/examples/found
[ $# -gt 0 ] || set -- 1000 10000
for dossiers in "$@"; do
    "$found" fill "$scratch/library" "$dossiers"
    "$found" ask "$scratch/library" "$dossiers"
    "$found" rows "$scratch/library" "$dossiers" "$scratch"
    python3 benches/peers/compare_library.py "$scratch"
    rm -rf "$scratch/library"
done
