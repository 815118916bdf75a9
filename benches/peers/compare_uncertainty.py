"""Prints whether the peers and ours agree, then how much faster ours is.

usage: compare_uncertainty.py FOLDER (written by benches/uncertainty.sh)
"""
import json
import math
import statistics
import sys
from pathlib import Path

folder = Path(sys.argv[1])


def rows(name):
    return [json.loads(line) for line in (folder / name).read_text().splitlines()]


ours, peer, long = rows("ours_mc"), rows("peer_mc"), rows("ours_long")[0]
ours_linear, peer_linear = rows("ours_linear"), rows("peer_linear")
agree = True


def check(what, found, wanted, allowed):
    global agree
    fine = abs(found - wanted) <= allowed
    agree &= fine
    print(f"{'equal ' if fine else 'DIFFERENT'} {what}: {found:.12g} against {wanted:.12g} (allowed {allowed:.3g})")


mean, sd = peer[0]["exact_mean"], peer[0]["exact_sd"]
for name, row in (("ours", ours[0]), ("numpy", peer[0]), ("ours, 1e7", long)):
    n = row["samples"]
    check(f"mean, {name}, exact", row["mean"], mean, 3 * sd / math.sqrt(n))
    check(f"sd, {name}, exact", row["sd"], sd, 3 * sd / math.sqrt(2 * n))
check("first-order mean, uncertainties", ours_linear[0]["mean"], peer_linear[0]["mean"], 1e-12 * mean)
check("first-order sd, uncertainties", ours_linear[0]["sd"], peer_linear[0]["sd"], 1e-12 * sd)


def middle(values):
    return statistics.median(values)


a, b = middle(r["median_s"] for r in ours), middle(r["time"]["median_s"] for r in peer)
c, d = middle(r["cpu_median_s"] for r in ours), middle(r["time"]["cpu_median_s"] for r in peer)
print(f"Monte Carlo, 200 lines x 1e6, one thread: ours {a:.3f} s, numpy {b:.3f} s, {b / a:.1f} times faster")
print(f"  in processor time: ours {c:.3f} s, numpy {d:.3f} s, {d / c:.1f} times")
print(f"  peak memory: ours {ours[0]['peak_rss_mb']} MB (1e7 draws: {long['peak_rss_mb']} MB), numpy {peer[0]['peak_rss_mb']} MB")
t = middle(r["time"]["median_s"] for r in peer_linear)
for key, what in (("propagate_s", "a built graph"), ("build_and_propagate_s", "building the graph as well")):
    u = middle(r[key] for r in ours_linear)
    print(f"first order, {what}: ours {u * 1e6:.2f} us, uncertainties {t * 1e6:.0f} us, {t / u:.0f} times faster")
sys.exit(not agree)
