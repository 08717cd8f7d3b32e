#!/usr/bin/env python3
"""Measures a running practice against plain things on the same machine, in one run.

    DOWEL_BINARY=target/release/dowel .venv/bin/python bench/run.py [--members 10000] [--results 200000] [--json out.json]

- a member's day, signed in, against nginx sending the same bytes from a file (both on one core, wrk on the other): the same
  member again and again, and a thousand members in turn
- results that a thousand members log by 256 clients and that are acknowledged, against one insert and one fsync after the other
- memory, and how long from start to the first answer: after a clean stop, and on a file that has to be walked through first

Needs wrk; nginx where it is (`BENCH_NGINX=/path/to/nginx`): without it that ratio is left out and said so."""
import argparse, base64, hashlib, http.client, json, os, re, shutil, signal, socket, sqlite3, subprocess, sys, tempfile, time, urllib.parse
from pathlib import Path

DOWEL = os.environ.get("DOWEL_BINARY", "target/release/dowel")
NGINX = os.environ.get("BENCH_NGINX") or shutil.which("nginx")
HERE = Path(__file__).resolve().parent


def port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


def wait(p, path="/healthz"):
    began = time.perf_counter()
    while time.perf_counter() - began < 20:
        try:
            c = http.client.HTTPConnection("127.0.0.1", p, timeout=2)
            c.request("GET", path)
            if c.getresponse().status < 500:
                return time.perf_counter() - began
        except OSError:
            time.sleep(0.002)
    sys.exit("it did not start")


SIGNED_IN = 1000


def sign_in(c, person):
    """A cookie as the program makes it, and its hash where the program keeps it."""
    token, now = os.urandom(32), int(time.time() * 1000)
    c.execute("insert into sign_ins (token_hash, person_id, created_at, seen_at, expires_at) values (?, ?, ?, ?, ?)",
              (hashlib.sha256(token).digest(), person, now, now, now + 86_400_000 * 60))
    return "dowel=" + base64.urlsafe_b64encode(token).decode().rstrip("=")


def crowd(db, members, results, seed):
    """Many members who trained for years: rows as the program writes them."""
    c = sqlite3.connect(db)
    c.execute("pragma synchronous = off")
    c.execute("begin")
    group, = c.execute("select group_id from sessions where id = ?", (seed["session"],)).fetchone()
    first = c.execute("select max(id) from people").fetchone()[0] + 1
    c.executemany("""insert into people (id, role, sign_in, name, password_hash, zone, cautions_version, cautions_at, created_at)
                     select ?, 'member', ?, ?, password_hash, 'UTC', 1, 1, 1 from people where id = ?""",
                  [(first + n, f"member-{n}", f"Member {n}", seed["person"]) for n in range(members)])
    c.executemany("insert into memberships values (?, ?, 1)", [(group, first + n) for n in range(members)])
    each = max(1, results // members)
    c.executemany("""insert into results (client_id, person_id, session_id, version_id, part, score_text, score, done_on, created_at, updated_at)
                     values (?, ?, ?, ?, 0, '3+4', null, '2016-01-02', 1, 1)""",
                  ((f"r{n}", first + n // each, seed["session"] + n % each, seed["version"] + n % each) for n in range(each * members)))
    cookies = [sign_in(c, first + n) for n in range(min(SIGNED_IN, members))]
    c.commit()
    c.execute("pragma wal_checkpoint(truncate)")
    c.close()
    return cookies, each * members


def post(p, path, fields, cookie=""):
    c = http.client.HTTPConnection("127.0.0.1", p, timeout=20)
    c.request("POST", path, urllib.parse.urlencode(fields), {"content-type": "application/x-www-form-urlencoded", "cookie": cookie})
    r = c.getresponse()
    r.read()
    return r


def get(p, path, cookie):
    c = http.client.HTTPConnection("127.0.0.1", p, timeout=20)
    c.request("GET", path, headers={"cookie": cookie})
    r = c.getresponse()
    return r.status, r.read()


def wrk(p, path, cookie, connections, seconds=8, script=None):
    more = ["-s", str(script)] if script else ["-H", f"Cookie: {cookie}"]
    out = subprocess.run(["taskset", "-c", "1", "wrk", "-t1", f"-c{connections}", f"-d{seconds}s", "--latency", "--timeout", "10s",
                          *more, f"http://127.0.0.1:{p}{path}"], capture_output=True, text=True, check=True).stdout
    rate = float(re.search(r"Requests/sec:\s+([\d.]+)", out)[1])
    n, unit = re.search(r"99%\s+([\d.]+)(us|ms|s)", out).groups()
    bad = re.search(r"Non-2xx or 3xx responses: (\d+)", out)
    good = re.search(r"acknowledged (\d+)", out)
    return {"per_second": rate, "p99_ms": float(n) * {"us": .001, "ms": 1, "s": 1000}[unit], "bad": int(bad[1]) if bad else 0,
            **({"acknowledged": int(good[1])} if good else {})}


def in_turn(folder, cookies, path):
    """A script for wrk: each request is another member's."""
    script = folder / "day.lua"
    lines = ",".join(f'"{c}"' for c in cookies)
    script.write_text(f"""local c, n = {{{lines}}}, 0
request = function() n = n + 1; return wrk.format("GET", "{path}", {{ ["Cookie"] = c[n % #c + 1] }}) end""")
    return script


def logs(folder, cookies, seed):
    """A script for wrk: each request logs a part that its member has not logged. What is acknowledged leads to the day."""
    script = folder / "log.lua"
    lines = ",".join(f'"{c}"' for c in cookies)
    script.write_text(f"""local c, n = {{{lines}}}, -1
good = 0
local t
setup = function(thread) t = thread end
request = function()
  n = n + 1
  local k = math.floor(n / #c)
  local s, part = math.floor(k / 2), 1 + k % 2
  local body = string.format("client_id=bench-%d&version_id=%d&version=full&score=3%%2B4&done_on=2016-01-02", n, {seed["version"]} + s)
  return wrk.format("POST", string.format("/sessions/%d/parts/%d/result", {seed["session"]} + s, part),
    {{ ["Cookie"] = c[n % #c + 1], ["Content-Type"] = "application/x-www-form-urlencoded" }}, body)
end
response = function(status) if status == 303 then good = good + 1 end end
done = function() io.write(string.format("acknowledged %d\\n", t:get("good"))) end""")
    return script


def inserts(folder, seconds=4):
    """One insert, one fsync, and the next."""
    c = sqlite3.connect(folder / "plain.db", isolation_level=None)
    c.execute("pragma journal_mode = wal")
    c.execute("pragma synchronous = full")
    c.execute("create table results (id integer primary key, client_id text, person_id integer, session_id integer, version_id integer, part integer, score_text text, done_on text)")
    n, began = 0, time.perf_counter()
    while time.perf_counter() - began < seconds:
        c.execute("insert into results (client_id, person_id, session_id, version_id, part, score_text, done_on) values (?, 1, 1, 1, 0, '3+4', '2016-01-02')", (f"bench-{n}",))
        n += 1
    return n / (time.perf_counter() - began)


def commits(p):
    return int(re.search(r"^dowel_commits_total (\d+)", get(p, "/metrics", "")[1].decode(), re.M)[1])


def memory(pid):
    text = Path(f"/proc/{pid}/status").read_text()
    return {name: int(re.search(rf"{key}:\s+(\d+)", text)[1]) / 1024 for name, key in (("now_mb", "VmRSS"), ("peak_mb", "VmHWM"))}


def main():
    a = argparse.ArgumentParser()
    a.add_argument("--members", type=int, default=10_000)
    a.add_argument("--results", type=int, default=200_000)
    a.add_argument("--json")
    a = a.parse_args()
    out = {}
    with tempfile.TemporaryDirectory() as d:
        data = Path(d) / "data"
        seed = json.loads(subprocess.run([sys.executable, HERE.parent / "tests/faults/template.py", DOWEL, data, "--parts", "3", "--a-day", "1"], capture_output=True, text=True, check=True).stdout)
        cookies, rows = crowd(data / "dowel.db", a.members, a.results, seed)
        out["data"] = {"members": a.members, "results": rows, "file_mb": (data / "dowel.db").stat().st_size >> 20}
        p = port()
        serve = ["taskset", "-c", "0", DOWEL, "serve", "--data", str(data), "--listen", f"127.0.0.1:{p}", "--log", "warn", "--backup-hours", "0",
                 # every client comes from this machine
                 "--proxies", "127.0.0.1"]
        # another program wrote into the file, so the first start walks through it
        server = subprocess.Popen(serve)
        out["ready_unknown_file_ms"] = wait(p) * 1000
        server.send_signal(signal.SIGTERM)
        server.wait()
        server = subprocess.Popen(serve)
        out["ready_ms"] = wait(p) * 1000
        cookie, day = cookies[0], "/days/2015-01-01"
        status, page = get(p, day, cookie)
        assert status == 200, status
        out["day_bytes"] = len(page)
        out["memory_idle"] = memory(server.pid)
        out["day_64"] = wrk(p, day, cookie, 64)
        out["day_256"] = wrk(p, day, cookie, 256)
        out["day_256_members_in_turn"] = wrk(p, day, "", 256, script=in_turn(Path(d), cookies, day))
        out["memory_days"] = memory(server.pid)
        before = commits(p)
        out["logs_256"] = wrk(p, "/", "", 256, script=logs(Path(d), cookies, seed))
        out["memory_after"] = memory(server.pid)
        out["logs_a_commit"] = out["logs_256"]["acknowledged"] / max(1, commits(p) - before)
        server.send_signal(signal.SIGTERM)
        server.wait()
        out["inserts_per_second"] = inserts(Path(d))
        out["logs_to_inserts"] = out["logs_256"]["per_second"] / out["inserts_per_second"]
        if NGINX:
            www, q = Path(d) / "www", port()
            www.mkdir()
            (www / "day").write_bytes(page)
            os.chmod(d, 0o755)
            (Path(d) / "nginx.conf").write_text(f"""worker_processes 1; daemon off; pid {d}/nginx.pid; error_log stderr crit; user root;
events {{ worker_connections 2048; }}
http {{ access_log off; default_type text/html; client_body_temp_path {d}/t1; proxy_temp_path {d}/t2; fastcgi_temp_path {d}/t3; uwsgi_temp_path {d}/t4; scgi_temp_path {d}/t5;
server {{ listen 127.0.0.1:{q}; root {www}; }} }}""")
            nginx = subprocess.Popen(["taskset", "-c", "0", NGINX, "-p", d, "-c", f"{d}/nginx.conf"])
            wait(q, "/day")
            out["nginx_64"] = wrk(q, "/day", "", 64)
            nginx.send_signal(signal.SIGQUIT)
            nginx.wait()
            out["day_to_nginx"] = out["day_64"]["per_second"] / out["nginx_64"]["per_second"]
        else:
            out["day_to_nginx"] = "nginx is not here"
    print(json.dumps(out, indent=1))
    if a.json:
        Path(a.json).write_text(json.dumps(out, indent=1))


main()
