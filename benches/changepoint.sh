#!/bin/sh
# Runs the peer and ours on the same series and prints equal results first, then ratios.
#
# usage: benches/changepoint.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. One thread each.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --release -p underlid-logs --example changepoint
ours=${CARGO_TARGET_DIR:-target}/release/examples/changepoint
peer=benches/peers/peer_changepoint.py

for case in "10000 20" "100000 20" "100000 200"; do
    set -- $case
    series="$scratch/$1-$2.csv"
    $python $peer gen "$series" "$1" "$2" 8 >/dev/null
    # Rounds take turns, so that other work on the machine meets both alike.
    for round in 1 2 3; do
        "$ours" "$series" 5 >>"$scratch/ours-$1-$2"
        $python $peer kernel "$series" 1 1 >>"$scratch/peer-$1-$2"
    done
done
$python benches/peers/compare_changepoint.py "$scratch"
