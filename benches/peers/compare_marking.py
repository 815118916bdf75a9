"""Prints the ratios of the marking look-up from the JSON lines of one run.

usage: compare_marking.py FOLDER
"""
import json
import statistics
import sys

folder = sys.argv[1]


def lines(name):
    with open(f"{folder}/{name}") as f:
        return [json.loads(line) for line in f if line.startswith("{")]


def median(name, key):
    return statistics.median(row[key] for row in lines(name))


for names in (200000, 1000000):
    ours = median(f"read{names}", "us_per_query")
    cdist = 1e3 * median(f"cdist{names}", "ms_per_query")
    brute = 1e3 * median(f"brute{names}", "ms_per_query")
    one = lines(f"read{names}")[0]
    peer = lines(f"recall{names}")[0]
    check = lines(f"check{names}")[0]
    distance = lines(f"distance{names}")[0]
    print(f"{names} names")
    print(f"  ours {ours:.0f} us a query, recall at 1 / 10: {one['recall_at_1']} / {one['recall_at_10']}")
    print(f"  cdist cut-off 3: {cdist:.0f} us, ratio {cdist / ours:.0f}, "
          f"recall {peer['recall_at_1']} / {peer['recall_at_10']}")
    print(f"  look-alike costs over every name: {brute:.0f} us, ratio {brute / ours:.0f}")
    print(f"  index equal to scoring every name on {check['equal_to_scoring_all']} queries, "
          f"which takes {check['scoring_all_us'] / ours:.0f} times as long")
    print(f"  ours as plain edit distance, cut-off 3: {distance['us_per_query']:.0f} us, "
          f"ratio {cdist / distance['us_per_query']:.1f}")
    print(f"  index: {one['build_s']} s, {one['index_mb']} MB held, "
          f"{one['build_rss_mb']} MB more resident after building, peak of the process "
          f"{one['peak_rss_mb']} MB (peer {peer['peak_rss_mb']} MB)")

ours = median("readworn", "us_per_query")
cdist = 1e6 * statistics.median(row["time"]["cpu_median_s"] / row["queries"] for row in lines("cdistworn"))
one, check = lines("readworn")[0], lines("checkworn")[0]
print("200000 names, markings as they come from boards")
print(f"  ours {ours:.0f} us of processor time a marking, recall at 1 / 10: "
      f"{one['recall_at_1']} / {one['recall_at_10']}")
print(f"  cdist cut-off 3: {cdist:.0f} us of processor time, ratio {cdist / ours:.1f}")
print(f"  index equal to scoring every name on {check['equal_to_scoring_all']} markings")
