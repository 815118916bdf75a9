#!/bin/sh
# Runs numpy and ours on the same bill of 300 lines and prints equal results first, then the ratio.
#
# usage: benches/cost.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. One thread each.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --profile bench -p underlid-cost --example draws
ours=${CARGO_TARGET_DIR:-target}/release/examples/draws
peer=benches/peers/peer_montecarlo.py
export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1

$python $peer gen "$scratch/lines.csv" 300 3
# Rounds take turns, so that other work on the machine meets both alike.
for round in 1 2 3; do
    "$ours" "$scratch/lines.csv" 1000000 3 >>"$scratch/ours"
    $python $peer bylines "$scratch/lines.csv" 1000000 1 >>"$scratch/peer"
done
$python benches/peers/compare_cost.py "$scratch"
