#!/usr/bin/env python3
"""Measures a running practice against plain things on the same machine, in one run.

    DOWEL_BINARY=target/release/dowel .venv/bin/python bench/run.py [--members 10000] [--results 200000] [--json out.json]

- a member's day, signed in, against nginx sending the same bytes from a file (both on one core, wrk on the other)
- results that are logged and acknowledged by 256 clients, against one insert and one fsync after the other
- memory, and how long from start to the first answer

Needs wrk; nginx where it is (`BENCH_NGINX=/path/to/nginx`): without it that ratio is left out and said so."""
import argparse, asyncio, http.client, json, os, re, shutil, signal, socket, sqlite3, subprocess, sys, tempfile, time, urllib.parse
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
    c.commit()
    c.execute("pragma wal_checkpoint(truncate)")
    c.close()
    return first, each * members


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


def wrk(p, path, cookie, connections, seconds=8):
    out = subprocess.run(["taskset", "-c", "1", "wrk", "-t1", f"-c{connections}", f"-d{seconds}s", "--latency", "--timeout", "10s",
                          "-H", f"Cookie: {cookie}", f"http://127.0.0.1:{p}{path}"], capture_output=True, text=True, check=True).stdout
    rate = float(re.search(r"Requests/sec:\s+([\d.]+)", out)[1])
    n, unit = re.search(r"99%\s+([\d.]+)(us|ms|s)", out).groups()
    bad = re.search(r"Non-2xx or 3xx responses: (\d+)", out)
    return {"per_second": rate, "p99_ms": float(n) * {"us": .001, "ms": 1, "s": 1000}[unit], "bad": int(bad[1]) if bad else 0}


async def logs(p, cookie, seed, clients, seconds):
    """256 clients that log part after part; counts what was acknowledged."""
    acked, turn, late = 0, iter(range(seed["sessions"] * seed["parts"])), []
    end = time.perf_counter() + seconds

    async def client():
        nonlocal acked
        r, w = await asyncio.open_connection("127.0.0.1", p)
        while time.perf_counter() < end:
            n = next(turn, None)
            if n is None:
                break
            s, part = divmod(n, seed["parts"])
            body = urllib.parse.urlencode({"client_id": f"bench-{n}", "version_id": seed["version"] + s, "version": "full", "score": "3+4", "done_on": "2016-01-02"})
            began = time.perf_counter()
            w.write((f"POST /sessions/{seed['session'] + s}/parts/{part}/result HTTP/1.1\r\nhost: x\r\ncookie: {cookie}\r\n"
                     f"content-type: application/x-www-form-urlencoded\r\ncontent-length: {len(body)}\r\n\r\n{body}").encode())
            head = await r.readuntil(b"\r\n\r\n")
            length = re.search(rb"content-length: (\d+)", head)
            if length and int(length[1]):
                await r.readexactly(int(length[1]))
            if head.startswith(b"HTTP/1.1 303"):
                acked += 1
                late.append(time.perf_counter() - began)
        w.close()
    began = time.perf_counter()
    await asyncio.gather(*(client() for _ in range(clients)))
    took = time.perf_counter() - began
    late.sort()
    return {"acknowledged": acked, "per_second": acked / took, "p99_ms": late[int(.99 * len(late))] * 1000 if late else None}


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
        _, rows = crowd(data / "dowel.db", a.members, a.results, seed)
        out["data"] = {"members": a.members, "results": rows, "file_mb": (data / "dowel.db").stat().st_size >> 20}
        p = port()
        server = subprocess.Popen(["taskset", "-c", "0", DOWEL, "serve", "--data", str(data), "--listen", f"127.0.0.1:{p}", "--log", "warn"])
        out["ready_ms"] = wait(p) * 1000
        answer = post(p, "/sign-in", {"name": "faults", "password": "look around"})
        cookie = answer.getheader("set-cookie").split(";")[0]
        day = "/days/2015-01-01"
        status, page = get(p, day, cookie)
        assert status == 200, status
        out["day_bytes"] = len(page)
        out["memory_idle"] = memory(server.pid)
        out["day_64"] = wrk(p, day, cookie, 64)
        out["day_256"] = wrk(p, day, cookie, 256)
        out["logs_256"] = asyncio.run(logs(p, cookie, seed, 256, 8))
        out["memory_after"] = memory(server.pid)
        numbers = get(p, "/metrics", "")[1].decode()
        out["writes_a_commit"] = int(re.search(r"^dowel_writes_total (\d+)", numbers, re.M)[1]) / max(1, int(re.search(r"^dowel_commits_total (\d+)", numbers, re.M)[1]))
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
