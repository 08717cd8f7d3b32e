#!/usr/bin/env python3
"""Compares the places of `dowel rank` with scipy.stats.rankdata(method="min") on random boards.

usage: rank_with_scipy.py BINARY [BOARDS] [SEED]      needs scipy; exit 0 where all places agree
"""
import json
import pathlib
import random
import subprocess
import sys
import tempfile

from scipy.stats import rankdata

KINDS = {  # type: (key, value maker, smaller is better)
    "time": ("time_s", lambda r: r.randint(400, 430), True),
    "reps": ("reps", lambda r: r.randint(0, 30), False),
    "load": ("load_kg", lambda r: r.randint(80, 120) / 2, False),
    "calories": ("calories", lambda r: r.randint(0, 30), False),
    "hold_time": ("hold_s", lambda r: r.randint(10, 40), False),
    "distance": ("distance_m", lambda r: 10 * r.randint(10, 40), False),
}


def places(order):
    out, place = {}, 1
    for ids in order:
        ids = ids if isinstance(ids, list) else [ids]
        out.update({i: place for i in ids})
        place += len(ids)
    return out


def main():
    binary = sys.argv[1]
    boards = int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    r = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    file, wrong, entries_seen = pathlib.Path(tempfile.mkdtemp()) / "board.json", 0, 0
    for _ in range(boards):
        kind = r.choice(list(KINDS))
        key, make, smaller = KINDS[kind]
        values = [make(r) for _ in range(r.randint(1, 40))]
        entries = [{"id": f"e{i}", key: v} for i, v in enumerate(values)]
        file.write_text(json.dumps({"scoring": {"type": kind}, "entries": entries}))
        run = subprocess.run([binary, "rank", str(file), "--json"], capture_output=True, text=True, check=True)
        got = places(json.loads(run.stdout)["order"])
        want = rankdata([v if smaller else -v for v in values], method="min")
        entries_seen += len(values)
        wrong += sum(got.get(f"e{i}") != int(w) for i, w in enumerate(want))
    print(f"{boards} boards, {entries_seen} entries, {wrong} places differ")
    sys.exit(1 if wrong else 0)


main()
