#!/bin/sh
# Runs the peer and ours on the same captions and prints equal results first, then ratios; then what proof-reading
# itself takes.
#
# usage: benches/captions.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. One thread each; the peer's mode with
# two is run too.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --release -p underlid-captions --example letter_windows --example speed_captions
examples=${CARGO_TARGET_DIR:-target}/release/examples
peer=benches/peers/peer_captions.py

for seed in 12 13 14; do
    $python $peer gen "$scratch/glossary-$seed" "$scratch/words-$seed" 2000 200 $seed >/dev/null
    # Rounds take turns, so that other work on the machine meets both alike.
    for round in 1 2 3; do
        "$examples/letter_windows" "$scratch/glossary-$seed" "$scratch/words-$seed" 51 >>"$scratch/ours-$seed"
        for mode in cdist1 cdist2 extract; do
            $python $peer $mode "$scratch/glossary-$seed" "$scratch/words-$seed" 5 >>"$scratch/peer-$seed"
        done
    done
done
$python benches/peers/compare_captions.py "$scratch"
"$examples/speed_captions"
