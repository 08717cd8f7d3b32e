#!/usr/bin/env python3
"""Compares the plates that `dowel tailor` puts on a bar with scipy's integer programme on random sets of plates.

The programme: the heaviest side within the room, then among those the fewest plates.
usage: plates_with_scipy.py BINARY [SETS] [SEED]      needs scipy; exit 0 where every bar is as heavy, with as few plates
"""
import json
import pathlib
import random
import subprocess
import sys
import tempfile

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

PLATES = [0.25, 0.5, 1, 1.25, 2, 2.5, 3, 5, 7.5, 10, 12.5, 15, 20, 25]


def best(pairs, room):
    """(heaviest side, fewest plates for it), in grams to stay whole."""
    if not pairs:
        return 0, 0
    w = np.array([round(p * 1000) for p in pairs], dtype=float)
    whole, box = np.ones(len(w)), Bounds(0, 1)
    heavy = milp(-w, constraints=LinearConstraint(w, 0, room), integrality=whole, bounds=box)
    assert heavy.success, heavy.message
    side = round(float(w @ np.round(heavy.x)))
    few = milp(np.ones(len(w)), constraints=LinearConstraint(w, side - 0.5, side + 0.5), integrality=whole, bounds=box)
    assert few.success, few.message
    return side, round(float(np.round(few.x).sum()))


def main():
    binary = sys.argv[1]
    sets = int(sys.argv[2]) if len(sys.argv) > 2 else 40
    r = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    folder, wrong, seen = pathlib.Path(tempfile.mkdtemp()), 0, 0
    for _ in range(sets):
        bar = r.choice([7, 10, 15, 20])
        pairs = [r.choice(PLATES) for _ in range(r.randint(0, 9))]
        written = [round(r.uniform(bar, bar + 2 * sum(pairs) + 10), 2) for _ in range(12)]
        lines = [{"movement": "deadlift", "reps": 5, "load": {"kg": w}} for w in written]
        session = {"title": "plates", "parts": [{"name": "Pull", "intent": "technique", "format": "sets", "lines": lines}]}
        member = {"kit": [{"item": "barbell", "kg": [bar], "plates_kg_pairs": pairs}], "level": "advanced"}
        (folder / "session.json").write_text(json.dumps(session))
        (folder / "member.json").write_text(json.dumps(member))
        ask = [binary, "tailor", str(folder / "session.json"), "--member", str(folder / "member.json"), "--json"]
        got = json.loads(subprocess.run(ask, check=True, capture_output=True, text=True).stdout)
        for want, line in zip(written, got["parts"][0]["lines"]):
            # what is written may be passed by at most 2.5 %, in one mark of the same unit not at all
            room = int((want - bar) * 1000 / 2 + 1e-6)
            side, few = best(pairs, room)
            mine = line["plates_per_side_kg"]
            total = line["given"][0]["load"]["kg"]
            total = total[0] if isinstance(total, list) else total
            seen += 1
            right = round(sum(mine) * 1000) == side and len(mine) == few and abs(total - (bar + side / 500)) < 1e-6
            if not right:
                wrong += 1
                print(f"bar {bar}, pairs {sorted(pairs)}, written {want}: {mine} makes {total}; scipy {side / 1000} a side with {few}")
    print(f"{seen} bars against scipy's integer programme, {wrong} differ")
    sys.exit(1 if wrong or not seen else 0)


main()
