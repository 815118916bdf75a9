#!/bin/sh
# Runs the peers and ours on the same recording and prints equal results first, then ratios.
#
# usage: benches/sound.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. The peer has one thread; ours gives the three
# highest bands a second one, so that the ratio of processor time is the fair one.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --release -p underlid-sound --example thirds
ours=${CARGO_TARGET_DIR:-target}/release/examples/thirds
peer=benches/peers/peer_acoustic.py

$python $peer gen "$scratch/noise.wav" 60 6
# Rounds take turns, so that other work on the machine meets all alike.
for round in 1 2 3; do
    "$ours" "$scratch/noise.wav" 5 >>"$scratch/ours"
    for mode in sos sos_f32 decim fft welch; do
        $python $peer "$mode" "$scratch/noise.wav" 1 >>"$scratch/peer-$mode"
    done
done
$python benches/peers/compare_sound.py "$scratch"
