#!/bin/sh
# Runs the peers and ours on the same names and worn queries: equal results first, then ratios.
#
# usage: benches/marking.sh [PYTHON]
#
# PYTHON needs the packages in benches/peers/requirements.txt; without it they are installed into an
# environment that lasts for the run. One thread each.
set -eu
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
python=${1:-}
if [ -z "$python" ]; then
    python3 -m venv "$scratch/venv"
    python=$scratch/venv/bin/python
    "$python" -m pip install --quiet -r benches/peers/requirements.txt
fi
cargo build --quiet --profile bench -p underlid-marking --example lookup --example kept_out
built=${CARGO_TARGET_DIR:-target}/release/examples
ours=$built/lookup
gen=benches/peers/peer_gen_parts.py
peer=benches/peers/peer_lookup.py

for names in 200000 1000000; do
    "$python" $gen catalogue $names "$scratch/names"
    "$python" $gen queries "$scratch/names" 1000 "$scratch/queries"
    # Equal results: all names within three edits, by both; and the index against every name.
    "$ours" distance "$scratch/names" "$scratch/queries" 200 1 "$scratch/ours.csv" >"$scratch/distance"
    "$python" $peer cdist1_cut "$scratch/names" "$scratch/queries" 200 1 "$scratch/peer.csv" >/dev/null
    cmp "$scratch/ours.csv" "$scratch/peer.csv"
    echo "$names names: same rows and distances as cdist, cut-off 3, 200 queries"
    # Rounds take turns, so that other work on the machine meets both alike.
    for round in 1 2 3; do
        "$python" $peer cdist1_cut "$scratch/names" "$scratch/queries" 200 1 >>"$scratch/cdist$names"
        "$ours" read "$scratch/names" "$scratch/queries" 1000 1 >>"$scratch/read$names"
    done
    "$python" $peer cdist1_cut "$scratch/names" "$scratch/queries" 1000 1 >"$scratch/recall$names"
    "$python" $peer lookalike_brute "$scratch/names" "$scratch/queries" 3 1 >"$scratch/brute$names"
    "$ours" check "$scratch/names" "$scratch/queries" 50 1 >"$scratch/check$names"
    cp "$scratch/distance" "$scratch/distance$names"
done

# The same against markings as they come from boards: in the notation, with lots, gaps and slips. The peer compares
# one text with every name; ours weighs every way to read the lines.
names=200000
"$python" $gen catalogue $names "$scratch/names"
"$built/kept_out" 21 1000 "$scratch/names" - queries >"$scratch/worn" 2>/dev/null
for round in 1 2 3; do
    "$python" $peer cdist1_cut "$scratch/names" "$scratch/worn" 200 1 >>"$scratch/cdistworn"
    "$ours" seen "$scratch/names" "$scratch/worn" 1000 1 >>"$scratch/readworn"
done
"$ours" check-seen "$scratch/names" "$scratch/worn" 50 1 >"$scratch/checkworn"
"$python" benches/peers/compare_marking.py "$scratch"
