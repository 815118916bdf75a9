"""Prints whether the peers and ours agree, then how much faster ours is.

usage: compare_charging.py FOLDER (written by benches/charging.sh)
"""
import json
import statistics
import sys
from pathlib import Path

folder = Path(sys.argv[1])


def rows(name):
    return [json.loads(line) for line in (folder / name).read_text().splitlines()]


agree = True


def check(what, found, wanted, share):
    global agree
    for name, a, b in zip(("time", "charge", "energy", "time at constant voltage"), found, wanted):
        if a != a:
            continue
        fine = abs(a - b) <= share * abs(b)
        agree &= fine
        print(f"{'equal ' if fine else 'DIFFERENT'} {what}, {name}: {a:.10g} against {b:.10g}, {abs(a / b - 1):.1e}")


one, hundred = rows("reference")
ours, drawn = rows("ours_one"), rows("ours_draws")
check("one charge, ours and DOP853", ours[0]["mean"], one["mean"], 1e-8)
check("one charge, equivalent circuit of pybamm and DOP853", rows("ecm")[0]["mean"], one["mean"], 1e-5)
check("100 draws, ours and DOP853", rows("ours_hundred")[0]["mean"], hundred["mean"], 1e-8)
check("1000 draws, numpy and ours", rows("euler")[0]["mean"], drawn[0]["mean"], 5e-3)


def seconds(of, key):
    return statistics.median(row.get(key, row.get("time", {}).get(key)) for row in of)


for what, peer, mine in (
    ("one charge, pybamm's equivalent circuit", "ecm", ours),
    ("one charge, scipy LSODA", "ivp", ours),
    ("1000 draws, numpy", "euler", drawn),
):
    for key, of in (("cpu_median_s", "processor time"), ("median_s", "wall time")):
        a, b = seconds(mine, key), seconds(rows(peer), key)
        print(f"{what}: {of}, ours {a * 1e6:.2f} us, peer {b * 1e6:.0f} us, {b / a:.0f} times")
sys.exit(not agree)
