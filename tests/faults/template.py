"""A data folder for the fault runs: the invented practice, and one member with many parts to log.

    python3 template.py DOWEL FOLDER [--parts 12] [--a-day 6]

The member signs in as `faults` with the practice's password. Each part of each added session takes one result, so that
every write of a run is a row of its own. Prints the first added session, its first version,
how many there are, and a token with which a program may log."""
import argparse, hashlib, json, os, secrets, signal, socket, sqlite3, subprocess, sys, time, urllib.request
from pathlib import Path

args = argparse.ArgumentParser()
args.add_argument("dowel")
args.add_argument("folder", type=Path)
args.add_argument("--parts", type=int, default=12)
args.add_argument("--a-day", type=int, default=6)
args = args.parse_args()
PARTS, A_DAY, SESSIONS = args.parts, args.a_day, 2400
dowel, folder = args.dowel, args.folder


def invented():
    """Fills the folder by starting the invented practice once."""
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        port = s.getsockname()[1]
    p = subprocess.Popen([dowel, "demo", "--data", str(folder), "--listen", f"127.0.0.1:{port}"], stdout=subprocess.DEVNULL)
    for _ in range(600):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz", timeout=1)
            break
        except OSError:
            time.sleep(0.05)
    else:
        sys.exit("the invented practice did not start")
    os.kill(p.pid, signal.SIGTERM)
    p.wait()


invented()
text = "\n\n".join(f"{chr(65 + n)}. AMRAP 5: 5 push-ups, 5 air squats" for n in range(PARTS))
reading = json.loads(subprocess.run([dowel, "read", "--json", "-"], input=text, capture_output=True, text=True, check=True).stdout)
reading = reading.get("session", reading)
assert len(reading["parts"]) == PARTS, "the write-up has the parts that were meant"
db = sqlite3.connect(folder / "dowel.db")
group = db.execute("insert into groups (name, created_at) values ('Faults', 1)").lastrowid
person = db.execute(
    """insert into people (role, sign_in, name, password_hash, zone, cautions_version, cautions_at, created_at)
       select 'member', 'faults', 'Faults', password_hash, 'UTC', 1, 1, 1 from people where role = 'member' limit 1""").lastrowid
db.execute("insert into memberships values (?, ?, 1)", (group, person))
token = "dowel_" + secrets.token_urlsafe(32)
db.execute(
    """insert into tokens (person_id, token_hash, name, scopes, created_at, expires_at)
       values (?, ?, 'faults', '["log"]', 1, 4102444800000)""", (person, hashlib.sha256(token.encode()).digest()))
first = db.execute("select max(id) from sessions").fetchone()[0] + 1
version = db.execute("select max(id) from session_versions").fetchone()[0] + 1
db.executemany(
    """insert into sessions (id, group_id, day, slot, draft_at, created_at)
       values (?, ?, date('2015-01-01', '+' || ? || ' days'), ?, 1, 1)""",
    [(first + n, group, n // A_DAY, n % A_DAY + 1) for n in range(SESSIONS)])
db.executemany(
    "insert into session_versions (id, session_id, number, text, reading, published_at) values (?, ?, 1, ?, ?, 1)",
    [(version + n, first + n, text, json.dumps(reading)) for n in range(SESSIONS)])
db.execute("update sessions set live_version_id = id - ? + ? where id >= ?", (first, version, first))
db.commit()
db.execute("pragma wal_checkpoint(truncate)")
db.close()
(folder / "demo").unlink()  # from here on it is served as any practice
print(json.dumps({"session": first, "version": version, "sessions": SESSIONS, "parts": PARTS, "person": person, "token": token}))
