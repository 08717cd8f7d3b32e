#!/usr/bin/env python3
"""Compares `dowel captions` with webvtt-py, both ways, on random files.

usage: webvtt_with_webvtt_py.py BINARY [FILES] [SEED]      needs webvtt-py; exit 0 where both read the same cues
webvtt-py is lenient: what it takes and the grammar forbids is checked in webvtt.rs, not here.
"""
import io
import random
import subprocess
import sys

import webvtt

WORDS = ["feet flat", "breathe out at the top", "B. Ten rounds", "1/2 turn", "Zwölf Kniebeugen", "left, then right", "100 %"]


def stamp(ms, long):
    h, m, s = ms // 3600000, ms // 60000 % 60, ms // 1000 % 60
    short = f"{m:02}:{s:02}.{ms % 1000:03}"
    return f"{h:02}:{short}" if h or long else short


def millis(text):
    clock, rest = text.split(".")
    parts = [int(p) for p in clock.split(":")]
    return sum(p * 60**i for i, p in enumerate(reversed(parts))) * 1000 + int(rest)


def cues_of(text):
    return [(millis(c.start), millis(c.end), c.identifier or "", c.text) for c in webvtt.from_buffer(io.StringIO(text))]


def dowel(binary, text, *options):
    done = subprocess.run([binary, "captions", "-", *options], input=text, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr + text
    return done.stdout


def file(r):
    out, cues, at = ["WEBVTT" + r.choice(["", " talk-through", "\tnotes"]), ""], [], 0
    for n in range(r.randint(1, 12)):
        if r.random() < 0.2:
            out += ["NOTE made by hand", "on two lines", ""]
        start = at + r.randint(0, 900_000)
        end = start + r.randint(1, 90_000)
        name = f"cue {n}" if r.random() < 0.4 else ""
        lines = [r.choice(WORDS) for _ in range(r.randint(1, 3))]
        settings = r.choice(["", "", " align:start", " line:0 position:50%", " size:80%"])
        out += ([name] if name else []) + [f"{stamp(start, r.random() < 0.5)} --> {stamp(end, False)}{settings}", *lines, ""]
        cues.append((start, end, name, "\n".join(lines)))
        at = start
    return "\n".join(out), cues


def main():
    binary = sys.argv[1]
    files = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 20261125
    r = random.Random(seed)
    for n in range(files):
        text, cues = file(r)
        assert cues_of(text) == cues, f"webvtt-py reads the file otherwise than it was made:\n{text}"
        assert cues_of(dowel(binary, text)) == cues, f"differs:\n{text}"
        # typed chapters become a file that the outside parser reads with the same starts and titles
        starts = sorted(r.sample(range(0, 9000), r.randint(1, 9)))
        typed = "".join(f"{s // 60}:{s % 60:02} {r.choice(WORDS)}\n" for s in starts)
        read = cues_of(dowel(binary, typed, "--typed"))
        made = [(s * 1000, line.split(" ", 1)[1]) for s, line in zip(starts, typed.splitlines())]
        assert [(c[0], c[3]) for c in read] == made, typed
    print(f"{files} files and {files} lists of chapters are read alike")


main()
