#!/bin/sh
# Runs the peers and ours on the same cost roll-up and prints equal results first, then ratios.
#
# usage: benches/uncertainty.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. One thread each.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --profile bench -p underlid-quantity --example rollup
ours=${CARGO_TARGET_DIR:-target}/release/examples/rollup
peer=benches/peers/peer_montecarlo.py

$python $peer gen "$scratch/lines.csv" 200 3
# Rounds take turns, so that other work on the machine meets both alike.
for round in 1 2 3; do
    "$ours" mc "$scratch/lines.csv" 1000000 3 >>"$scratch/ours_mc"
    $python $peer bylines "$scratch/lines.csv" 1000000 1 >>"$scratch/peer_mc"
    "$ours" linear "$scratch/lines.csv" 31 >>"$scratch/ours_linear"
    $python $peer linear "$scratch/lines.csv" >>"$scratch/peer_linear"
done
"$ours" mc "$scratch/lines.csv" 10000000 1 >"$scratch/ours_long"
$python benches/peers/compare_uncertainty.py "$scratch"
