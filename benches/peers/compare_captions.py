"""Prints whether the peer and ours find the same windows, then how much faster ours is than each of its modes.

usage: compare_captions.py FOLDER (written by benches/captions.sh)
"""
import hashlib
import json
import statistics
import sys
from pathlib import Path

folder = Path(sys.argv[1])
agree = True
for path in sorted(folder.glob("ours-*")):
    case = path.name.removeprefix("ours-")
    ours = [json.loads(line) for line in path.read_text().splitlines()]
    peer = [json.loads(line) for line in (folder / f"peer-{case}").read_text().splitlines()]
    hits = [tuple(hit) for hit in ours[0]["hits"]]
    sha = hashlib.sha256(str(hits).encode()).hexdigest()[:12]
    a = statistics.median(row["median_s"] for row in ours)
    print(f"seed {case}: {len(hits)} hits, ours {a * 1e3:.3f} ms")
    for name in sorted({row["peer"] for row in peer}):
        rows = [row for row in peer if row["peer"] == name]
        same = all(row["sha256"] == sha for row in rows)
        # The usual script takes one term a window and may miss some: it is timed, not held against.
        agree &= same or name.endswith("extract")
        b = statistics.median(row["time"]["median_s"] for row in rows)
        print(f"  {'equal' if same else 'DIFFERENT'}, {name}: {b * 1e3:.1f} ms, {b / a:.1f} times as long")
sys.exit(not agree)
