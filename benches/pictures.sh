#!/bin/sh
# Runs the peers and ours on the same 48-megapixel photograph: equal results first, then ratios.
#
# usage: benches/pictures.sh [PYTHON]
#
# PYTHON (default python3) needs the packages in benches/peers/requirements.txt. One thread each.
set -eu
cd "$(dirname "$0")/.."
python=${1:-python3}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cargo build --quiet --profile bench -p underlid-imaging --example pictures
ours=${CARGO_TARGET_DIR:-target}/release/examples/pictures
photo=$scratch/photo.jpg

$python benches/peers/peer_gen_photo.py "$photo"
# The same decoded pixels for both sides of the warp.
$python -c "import cv2, sys; cv2.imwrite(sys.argv[2], cv2.imread(sys.argv[1]))" "$photo" "$scratch/photo.ppm"
# Rounds take turns, so that other work on the machine meets both alike.
for round in 1 2 3; do
    for kernel in linear cubic lanczos4; do
        $python benches/peers/peer_warp.py cv_$kernel "$photo" 3 >>"$scratch/peer_warp_$kernel"
        "$ours" warp $kernel "$scratch/photo.ppm" 3 "$scratch/$kernel.ppm" >>"$scratch/ours_warp_$kernel"
    done
    $python benches/peers/peer_rectified.py "$photo" "$scratch/peer_rectified.png" 3 >>"$scratch/peer_rectified"
    "$ours" rectified "$photo" 3 "$scratch/rectified.png" >>"$scratch/ours_rectified"
    $python benches/peers/peer_jpeg.py cv_reduced_preview "$photo" 3 >>"$scratch/peer_preview"
    "$ours" preview "$photo" 3 "$scratch/preview.ppm" >>"$scratch/ours_preview"
    $python benches/peers/peer_jpeg.py cv_tiles "$photo" 3 >>"$scratch/peer_tiles"
    "$ours" tiles "$photo" 3 "$scratch/tiles.ppm" >>"$scratch/ours_tiles"
done
$python benches/peers/compare_pictures.py "$scratch"
