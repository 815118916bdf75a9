"""Who holds which part, by bare tables in SQLite from Python: shown to be the same as `found rows`, then timed.

usage: compare_library.py FOLDER
FOLDER: sightings.csv (turn,product,part) and found.csv (part,product;product;..., at most 20, last first).
"""
import csv
import json
import os
import sqlite3
import statistics
import sys
import time

folder = sys.argv[1]
path = os.path.join(folder, "peer.sqlite")
con = sqlite3.connect(path)
con.executescript("""pragma journal_mode=off; pragma synchronous=off;
create table parts(id integer primary key, name text unique);
create table products(id integer primary key, name text);
create table sightings(product int, part int, primary key(product, part)) without rowid;""")
parts = {}
with open(os.path.join(folder, "sightings.csv"), newline="") as f:
    rows = csv.reader(f)
    next(rows)
    for turn, product, part in rows:
        at = parts.setdefault(part, len(parts))
        con.execute("insert or ignore into products values(?,?)", (int(turn), product))
        con.execute("insert or ignore into sightings values(?,?)", (int(turn), at))
con.executemany("insert into parts values(?,?)", ((at, name) for name, at in parts.items()))
con.executescript("create index sp on sightings(part, product); analyze;")
con.commit()
query = ("select p.name from parts t join sightings s on s.part=t.id join products p on p.id=s.product "
         "where t.name=? order by s.product desc limit 20")
times, same = [], 0
with open(os.path.join(folder, "found.csv")) as f:
    for line in f:
        part, _, expected = line.rstrip("\n").partition(",")
        begun = time.perf_counter()
        got = [row[0] for row in con.execute(query, (part,))]
        times.append(1e3 * (time.perf_counter() - begun))
        if got != [name for name in expected.split(";") if name]:
            sys.exit(f"{part}: {got} is not {expected}")
        same += 1
con.close()
times.sort()
print(json.dumps({"same": same, "peer_p50_ms": round(statistics.median(times), 3),
                  "peer_p95_ms": round(times[int(0.95 * (len(times) - 1))], 3),
                  "peer_mb": round(os.path.getsize(path) / 1e6, 1)}))
os.remove(path)
