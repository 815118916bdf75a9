#!/bin/sh
# Runs the peers and ours on the same charge and prints equal results first, then ratios.
#
# usage: benches/charging.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. One thread each. No temperature on
# either side.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --profile bench -p underlid-charging --example charges
ours=${CARGO_TARGET_DIR:-target}/release/examples/charges
peer=benches/peers/peer_charge.py
export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1

$python $peer ivp_ref 0 1 >"$scratch/reference"
$python $peer ivp_ref 100 1 >>"$scratch/reference"
"$ours" 100 1 >"$scratch/ours_hundred"
# Rounds take turns, so that other work on the machine meets both alike.
for round in 1 2 3; do
    $python $peer euler 1000 3 >>"$scratch/euler"
    "$ours" 1000 101 >>"$scratch/ours_draws"
    $python $peer ecm 0 31 >>"$scratch/ecm"
    "$ours" 0 11 >>"$scratch/ours_one"
    $python $peer ivp 0 11 >>"$scratch/ivp"
done
$python benches/peers/compare_charging.py "$scratch"
