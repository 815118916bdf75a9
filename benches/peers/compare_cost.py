"""Prints whether numpy and ours agree, then how much faster ours is.

usage: compare_cost.py FOLDER (written by benches/cost.sh)
"""
import json
import math
import statistics
import sys
from pathlib import Path

folder = Path(sys.argv[1])


def rows(name):
    return [json.loads(line) for line in (folder / name).read_text().splitlines()]


ours, peer = rows("ours"), rows("peer")
agree = True


def check(what, found, wanted, allowed):
    global agree
    fine = abs(found - wanted) <= allowed
    agree &= fine
    print(f"{'equal ' if fine else 'DIFFERENT'} {what}: {found:.12g} against {wanted:.12g} (allowed {allowed:.3g})")


mean, sd = peer[0]["exact_mean"], peer[0]["exact_sd"]
for name, row in (("ours", ours[0]), ("numpy", peer[0])):
    n = row["samples"]
    check(f"mean, {name}, exact", row["mean"], mean, 3 * sd / math.sqrt(n))
    check(f"sd, {name}, exact", row["sd"], sd, 3 * sd / math.sqrt(2 * n))
# A percentile of n draws has the standard error sqrt(p (1 - p) / n) over the density there, about 2.1 sd / sqrt(n).
for key in ("p5", "p95"):
    check(f"{key}, ours and numpy", ours[0][key], peer[0][key], 3 * 2 ** 0.5 * 2.1 * sd / math.sqrt(n))
check("mean by moments, exact", ours[0]["moments_mean"], mean, 1e-4 * mean)
check("sd by moments, exact", ours[0]["moments_sd"], sd, 2e-3 * sd)

a = statistics.median(r["median_s"] for r in ours)
b = statistics.median(r["time"]["median_s"] for r in peer)
print(f"{ours[0]['lines']} lines x {n:,} draws, one thread: ours {a:.3f} s, numpy {b:.3f} s, {b / a:.1f} times faster")
c = statistics.median(r["cpu_median_s"] for r in ours)
d = statistics.median(r["time"]["cpu_median_s"] for r in peer)
print(f"  in processor time: ours {c:.3f} s, numpy {d:.3f} s, {d / c:.1f} times")
sys.exit(not agree)
