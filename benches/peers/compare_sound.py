"""Prints whether the peers' third-octave levels and ours agree, then how much faster ours are.

usage: compare_sound.py FOLDER (written by benches/sound.sh)
"""
import json
import statistics
import sys
from pathlib import Path

folder = Path(sys.argv[1])
read = lambda name: [json.loads(line) for line in (folder / name).read_text().splitlines()]
ours = read("ours")
off = lambda rows: max(abs(a - b) for a, b in zip(ours[0]["levels_db"][0], rows[0]["left_dB"]))
time = statistics.median(row["median_s"] for row in ours)
print(f"ours: {time * 1e3:.1f} ms, {ours[0]['seconds'] / time:.0f} times as fast as the sound lasts; decoded in {ours[0]['decoded_s'] * 1e3:.0f} ms")
for path in sorted(folder.glob("peer-*")):
    rows = read(path.name)
    peer = statistics.median(row["time"]["median_s"] for row in rows)
    print(f"  {path.name[5:]:8} largest difference {off(rows):.3f} dB, {peer * 1e3:.0f} ms: {peer / time:.1f} times faster")
agree = off(read("peer-sos")) <= 0.05
print("equal to the filter bank within 0.05 dB" if agree else "DIFFERENT from the filter bank")
sys.exit(not agree)
