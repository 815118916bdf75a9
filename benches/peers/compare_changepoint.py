"""Prints whether the peer and ours find the same change points, then how much faster ours is.

usage: compare_changepoint.py FOLDER (written by benches/changepoint.sh)
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
    sha = hashlib.sha256(str(ours[0]["ends"]).encode()).hexdigest()[:12]
    same = sha == peer[0]["sha256"] and abs(ours[0]["penalised_cost"] - peer[0]["penalised_cost"]) < 1e-5
    agree &= same
    print(f"{'equal' if same else 'DIFFERENT'}, {case}: {len(ours[0]['ends']) - 1} changes, cost {ours[0]['penalised_cost']} "
          f"against {peer[0]['penalised_cost']}")
    a = statistics.median(row["median_s"] for row in ours)
    b = statistics.median(row["time"]["median_s"] for row in peer)
    print(f"  ours {a * 1e3:.2f} ms, kernel detector {b * 1e3:.1f} ms: {b / a:.1f} times faster")
sys.exit(not agree)
