#!/usr/bin/env python3
"""Black-box fault harness for one self-hosted HTTP server over one SQLite file.

    pip install httpx   (tests/requirements.txt has it)
    python faults.py --config app_config.py              all scenarios
    python faults.py --config app_config.py --only kill9,powercut --json out.json
    python faults.py --selftest                          prove it on standin.py, good and broken

Point it at a server with a config (a .py file that sets CONFIG, or a .json file).  The
server is only ever reached on 127.0.0.1.  Root is needed for `diskfull` and `readonly`
(they mount a small tmpfs); `powercut` needs strace, `clock` needs faketime, and `backup`
needs the two commands in the config.  A scenario that cannot run is
reported as skipped, never as passed, and `--strict` turns a skip into a failure.

What each scenario claims
  kill9       SIGKILL at random moments under load: no acknowledged write lost, altered or doubled
  powercut    the same for a power cut: system calls are traced, then the data directory is
              rebuilt as it would be if everything not yet fsynced were gone, kept at random or torn
  diskfull    full disk: refusals are clean, reads go on, nothing acknowledged is lost, and
              writing resumes without a restart once there is room; restart while full is clean
  readonly    data directory read-only at start: serves reads or refuses clearly, never half-works
  corrupt     a damaged database is noticed at start, not served
  sigterm     requests in flight finish, exit status 0 in time, a stuck client cannot hold it up
  backup      a backup taken under load, restored elsewhere, holds everything acknowledged before it began
  clock       the wall clock jumps forward and back: no crash, no loss, sessions expire when they should
  disconnect  clients hang up at any moment of a write: others' writes go on, and what was cut off can be sent again
  duplicates  the same submission many times at once, out of order and after a restart: one record
  oversized   too large, endless, deeply nested or compressed bodies are refused cheaply
  slowloris   slow connections do not shut others out and are closed; an honest slow phone succeeds
After every scenario the server's own output is searched for secrets that were sent to it.
"""
import argparse, asyncio, bisect, contextlib, gzip, hashlib, json, os, random, re, runpy, shutil
import signal, socket, sqlite3, struct, subprocess, sys, tempfile, time
from collections import Counter
from pathlib import Path

import httpx

# ------------------------------------------------------------------ configuration
DEFAULTS = {
    # How to start it.  {port} and {data} are filled in, here and in env values.
    "cmd": None, "env": {}, "cwd": None,
    "ready": {"path": "/healthz", "status": 200, "timeout_s": 15},
    # Run once on an empty data directory: commands before the first start, requests after it.
    "setup_cmds": [], "setup_requests": [],
    # Signing in.  Cookies are copied by hand, so Secure and __Host- cookies work over loopback.
    # csrf, here and in write: {"from": path, "regex": one group, "field": form field (or "header": name)}
    "login": None,   # {"path","form" or "json","ok":[303],"csrf":{...}}
    "bearer": None,  # or an API token
    # One small durable write.  {id} is the client's idempotency key, {payload} its content.
    "write": {"method": "POST", "path": "/api/logs", "json": {"id": "{id}", "note": "{payload}"},
              "headers": {}, "ok": [200, 201]},
    "conflict": [409, 422],  # same id, other content; None: first one wins silently
    # Reading everything back: follow `next` until it is empty.  Dotted paths into the JSON.
    "read": {"path": "/api/logs?after={cursor}", "first": "0", "items": "items", "id": "id",
             "payload": "note", "next": "next"},
    # Looking into the file directly, needed by powercut and corrupt.
    "db": {"file": "app.db", "sql": "SELECT id, note FROM logs"},
    # The program's own backup while it runs, and its restore into an empty directory {to}.
    "backup_cmd": None, "restore_cmd": None,  # may use {data}, {port}, {out}, {to}
    "session_days": None,  # absolute lifetime of a session, checked by the clock scenario
    "json_door": None,  # where odd bodies are read as JSON: {path, headers}; default: the write route
    # Load
    "writers": 16, "payload": 200,
    # Figures to reach
    "kill_rounds": 100, "recover_s": 10, "refuse": [500, 503, 507],
    "tmpfs_mb": 16, "resume_s": 10,
    "cuts": 60, "trace_s": 4,
    "drain_s": 15, "stuck_s": 35, "in_flight": 8,
    "hang_ups": 6000, "hang_up_ids": 40,
    "dup_items": 100, "dup_times": 5,
    "body_limit": 1 << 20, "rss_mb": 64, "gzip_bomb_mb": 256, "health_s": 1.0,
    "slow_conns": 200, "slow_close_s": 35, "honest_kb": 96, "honest_kbps": 12,
    "seed": None, "log_secrets": [],
    # place(id) -> more values for {..} in the write; keep: only so much of a payload is stored, in {note}
    "place": None, "keep": None,
    # conflict "edit": other content under an old id replaces it, and edits_sql finds (id, what stood there before)
    "edits_sql": None,
}


def load(path):
    if str(path).endswith(".json"):
        own = json.loads(Path(path).read_text())
    else:
        own = runpy.run_path(str(path))["CONFIG"]
    unknown = set(own) - set(DEFAULTS)
    if unknown:
        sys.exit(f"unknown config keys: {sorted(unknown)}")
    return {**DEFAULTS, **own}


def fill(x, **kw):
    if isinstance(x, str):
        return re.sub(r"\{(\w+)\}", lambda m: str(kw.get(m[1], m[0])), x)
    if isinstance(x, dict):
        return {k: fill(v, **kw) for k, v in x.items()}
    if isinstance(x, list):
        return [fill(v, **kw) for v in x]
    return x


def dig(doc, path):
    for p in path.split("."):
        doc = doc[int(p)] if isinstance(doc, list) else doc.get(p)
        if doc is None:
            return None
    return doc


def payload_of(cid, size):
    block = hashlib.sha256(cid.encode()).hexdigest()
    return (block * (size // 64 + 1))[:size]


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


# ------------------------------------------------------------------ the server under test
class Server:
    def __init__(self, cfg, data):
        self.cfg, self.data, self.port, self.proc = cfg, Path(data), free_port(), None
        self.extra_env, self.log_from = {}, 0
        fd, name = tempfile.mkstemp(prefix="faults-log-")
        os.close(fd)
        self.log = Path(name)

    @property
    def base(self):
        return f"http://127.0.0.1:{self.port}"

    def env(self):
        return {**os.environ, **fill(self.cfg["env"], port=self.port, data=self.data), **self.extra_env}

    def setup_cmds(self):
        for c in self.cfg["setup_cmds"]:
            subprocess.run(fill(c, port=self.port, data=self.data), env=self.env(), cwd=self.cfg["cwd"],
                           check=True, capture_output=True, timeout=60)

    def start(self, wrap=()):
        cmd = [*wrap, *fill(self.cfg["cmd"], port=self.port, data=self.data)]
        self.log_from = self.log.stat().st_size
        with open(self.log, "ab") as out:
            self.proc = subprocess.Popen(cmd, env=self.env(), cwd=self.cfg["cwd"], stdin=subprocess.DEVNULL,
                                         stdout=out, stderr=out, start_new_session=True)

    async def ready(self, timeout=None, unwell=False):
        """Whether it answers that it is well; with `unwell`, also that it is up and cannot write."""
        r = self.cfg["ready"]
        end = time.monotonic() + (timeout or r["timeout_s"])
        async with httpx.AsyncClient(base_url=self.base, timeout=2) as c:
            while time.monotonic() < end:
                if self.proc.poll() is not None:
                    return False
                with contextlib.suppress(httpx.HTTPError):
                    if (await c.get(r["path"])).status_code in (r["status"], 503 if unwell else r["status"]):
                        return True
                await asyncio.sleep(0.02)
        return False

    async def up(self, wrap=()):
        t = time.monotonic()
        self.start(wrap)
        if not await self.ready():
            raise RuntimeError(f"the server did not become ready; it said: {self.said()[:600]}")
        return time.monotonic() - t

    def alive(self):
        return self.proc is not None and self.proc.poll() is None

    def pids(self):
        """The server's own process, below a wrapper such as strace."""
        out, todo = [], [self.proc.pid]
        while todo:
            pid = todo.pop()
            out.append(pid)
            with contextlib.suppress(OSError):
                todo += [int(x) for x in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
        return out

    def peak_mb(self, reset=False):
        """The kernel's own high-water mark, which sampling would miss."""
        total = 0
        for pid in self.pids():
            with contextlib.suppress(OSError):
                if reset:
                    Path(f"/proc/{pid}/clear_refs").write_text("5")
                m = re.search(r"VmHWM:\s+(\d+)", Path(f"/proc/{pid}/status").read_text())
                total += int(m[1]) if m else 0
        return total / 1024

    def fds(self):
        with contextlib.suppress(OSError):
            return len(os.listdir(f"/proc/{self.pids()[-1]}/fd"))
        return -1

    def kill9(self):
        if self.alive():
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self.proc.pid, signal.SIGKILL)
            self.proc.wait()

    def term(self):
        for pid in self.pids():  # the server itself, not only a wrapper
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGTERM)

    async def wait(self, timeout):
        end = time.monotonic() + timeout
        while time.monotonic() < end:
            if self.proc.poll() is not None:
                return self.proc.returncode
            await asyncio.sleep(0.02)
        return None

    async def stop(self):
        if self.alive():
            self.term()
            if await self.wait(self.cfg["drain_s"]) is None:
                self.kill9()

    def said(self):
        """Everything printed since the latest start, and nothing from before it."""
        return self.log.read_bytes()[self.log_from:].decode(errors="replace").strip()


# ------------------------------------------------------------------ a client that keeps a ledger
class Client:
    """Sends writes and remembers what was promised about each of them."""

    def __init__(self, srv, tag):
        self.srv, self.cfg, self.tag = srv, srv.cfg, tag
        self.n, self.size = 0, srv.cfg["payload"]
        self.sent, self.acked, self.unknown, self.refused = {}, {}, set(), {}
        self.lat, self.flying, self.auth, self.secrets = [], 0, {}, set(srv.cfg["log_secrets"])
        self.http, self.csrf = None, None

    async def open(self):
        await self.close()
        self.http = httpx.AsyncClient(base_url=self.srv.base, timeout=20, follow_redirects=False,
                                      limits=httpx.Limits(max_connections=256, max_keepalive_connections=64))

    async def close(self):
        if self.http:
            await self.http.aclose()
            self.http = None

    async def first_run(self):
        await self.open()
        for r in self.cfg["setup_requests"]:
            resp = await self.http.request(r.get("method", "POST"), r["path"], json=r.get("json"), data=r.get("form"),
                                           headers=r.get("headers"))
            if resp.status_code not in r.get("ok", [200, 201, 204, 303]):
                raise RuntimeError(f"setup request {r['path']} answered {resp.status_code}")
        await self.login()

    async def login(self):
        if self.cfg["bearer"]:
            self.auth = {"Authorization": f"Bearer {self.cfg['bearer']}"}
            self.secrets.add(self.cfg["bearer"])
        spec = self.cfg["login"]
        if not spec:
            return
        cookies, form, head = {}, dict(spec.get("form", {})), {}
        if spec.get("csrf"):
            page = await self.http.get(spec["csrf"]["from"])
            cookies.update(self.cookies(page))
            m = re.search(spec["csrf"]["regex"], page.text)
            if not m:
                raise RuntimeError("no anti-forgery value on the sign-in page")
            if "field" in spec["csrf"]:
                form[spec["csrf"]["field"]] = m[1]
            else:
                head[spec["csrf"]["header"]] = m[1]
        head["Cookie"] = "; ".join(f"{k}={v}" for k, v in cookies.items())
        kw = {"json": spec["json"]} if "json" in spec else {"data": form}
        r = await self.http.post(spec["path"], headers={k: v for k, v in head.items() if v}, **kw)
        if r.status_code not in spec.get("ok", [200, 204, 302, 303]):
            raise RuntimeError(f"sign-in answered {r.status_code}")
        cookies.update(self.cookies(r))
        self.auth = {"Cookie": "; ".join(f"{k}={v}" for k, v in cookies.items())}
        self.secrets |= {v for v in cookies.values() if len(v) > 8}
        self.secrets |= {v for k, v in {**form, **spec.get("json", {})}.items() if "pass" in k.lower()}
        if self.cfg["write"].get("csrf"):
            page = await self.http.get(self.cfg["write"]["csrf"]["from"], headers=self.auth)
            m = re.search(self.cfg["write"]["csrf"]["regex"], page.text)
            if not m:
                raise RuntimeError("no anti-forgery value on the page for writing")
            self.csrf = m[1]

    @staticmethod
    def cookies(resp):
        out = {}
        for line in resp.headers.get_list("set-cookie"):
            k, _, v = line.split(";")[0].partition("=")
            out[k.strip()] = v.strip()
        return out

    def request(self, cid, body):
        w = self.cfg["write"]
        more = {"id": cid, "payload": body, "note": body[:self.cfg["keep"]], **(self.cfg["place"](cid) if self.cfg["place"] else {})}
        kw = {k: fill(w[k], **more) for k in ("json", "headers") if k in w}
        if "form" in w:
            kw["data"] = fill(w["form"], **more)
        kw["headers"] = {**self.auth, **kw.get("headers", {})}
        if self.csrf:
            if "field" in w["csrf"]:
                kw["data"] = {**kw.get("data", {}), w["csrf"]["field"]: self.csrf}
            else:
                kw["headers"][w["csrf"]["header"]] = self.csrf
        return w["method"], fill(w["path"], **more), kw

    def new_id(self):
        self.n += 1
        return f"{self.tag}-{self.n:07d}"

    async def write(self, cid=None, body=None):
        """Returns the status, or None when there was no answer."""
        cid = cid or self.new_id()
        body = payload_of(cid, self.size) if body is None else body
        self.sent.setdefault(cid, body[:self.cfg["keep"]])
        method, path, kw = self.request(cid, body)
        t, self.flying = time.monotonic(), self.flying + 1
        try:
            r = await self.http.request(method, path, **kw)
        except httpx.HTTPError:
            self.unknown.add(cid)
            return None
        finally:
            self.flying -= 1
        self.lat.append(time.monotonic() - t)
        if r.status_code in self.cfg["write"]["ok"]:
            self.acked.setdefault(cid, time.time())
        elif cid not in self.acked:
            self.refused[cid] = r.status_code
        return r.status_code

    async def load(self, stop, writers=None):
        async def one():
            while not stop.is_set():
                if await self.write() is None:
                    await asyncio.sleep(0.02)
        await asyncio.gather(*(one() for _ in range(writers or self.cfg["writers"])))

    async def read_all(self):
        spec = self.cfg["read"]
        if spec.get("sql"):  # signed in still, and the rows of the file that is being served
            r = await self.http.get(spec["path"], headers=self.auth)
            if r.status_code != 200:
                raise RuntimeError(f"reading back answered {r.status_code}")
            c = sqlite3.connect(f"file:{self.srv.data / self.cfg['db']['file']}?mode=ro", uri=True)
            try:
                return [(str(i), p) for i, p in c.execute(spec["sql"])]
            finally:
                c.close()
        out, cursor = [], spec["first"]
        while True:
            r = await self.http.get(fill(spec["path"], cursor=cursor), headers=self.auth)
            if r.status_code != 200:
                raise RuntimeError(f"reading back answered {r.status_code}")
            doc = r.json()
            out += [(str(dig(i, spec["id"])), dig(i, spec["payload"])) for i in dig(doc, spec["items"]) or []]
            nxt = dig(doc, spec["next"]) if spec.get("next") else None
            if nxt in (None, "", cursor):
                return out
            cursor = nxt

    def audit(self, rows, before=None):
        """Compare what is stored with what was promised (only promises made before `before`)."""
        count = Counter(i for i, _ in rows)
        have = dict(rows)
        must = [i for i, t in self.acked.items() if before is None or t <= before]
        return {
            "lost": [i for i in must if i not in have],
            "altered": [i for i, p in have.items() if i in self.sent and p != self.sent[i]],
            "doubled": [i for i, k in count.items() if k > 1],
            "phantom": [i for i in have if i not in self.sent],
            "refused_but_kept": [i for i, s in self.refused.items() if 400 <= s < 500 and i in have],
        }


def quantile(xs, q):
    xs = sorted(xs)
    return round(xs[min(len(xs) - 1, int(q * len(xs)))] * 1000, 1) if xs else None


class Report:
    def __init__(self, name):
        self.name, self.bad, self.fig, self.skip = name, [], {}, None

    def need(self, ok, what):
        if not ok:
            self.bad.append(what)
        return ok

    def audit(self, a, where=""):
        for k, v in a.items():
            self.fig[k] = self.fig.get(k, 0) + len(v)
            self.need(not v, f"{len(v)} {k}{where}, e.g. {v[:3]}")


def check_file(cfg, data, rep, where=""):
    """integrity_check and foreign_key_check on a copy, so that looking changes nothing."""
    name = cfg["db"]["file"]
    with tempfile.TemporaryDirectory() as d:
        for suffix in ("", "-wal", "-journal"):
            if (Path(data) / (name + suffix)).exists():
                shutil.copy(Path(data) / (name + suffix), Path(d) / (Path(name).name + suffix))
        try:
            c = sqlite3.connect(Path(d) / Path(name).name)
            ok = c.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            fk = not c.execute("PRAGMA foreign_key_check").fetchall()
            rows = [(str(i), p) for i, p in c.execute(cfg["db"]["sql"])]
            c.close()
        except sqlite3.Error as e:
            rep.need(False, f"database unreadable{where}: {e}")
            return None
    rep.need(ok, f"integrity_check failed{where}")
    rep.need(fk, f"foreign_key_check failed{where}")
    return rows


@contextlib.asynccontextmanager
async def bench(cfg, rep, data=None, wrap=(), tag=None):
    """A fresh data directory, a started server and a signed-in client."""
    own = None
    if data is None:
        own = tempfile.TemporaryDirectory(prefix="faults-")
        data = own.name
    srv = Server(cfg, data)
    cl = Client(srv, tag or rep.name)
    try:
        srv.setup_cmds()
        await srv.up(wrap)
        await cl.first_run()
        yield srv, cl
        log = srv.log.read_text(errors="replace")
        leaks = [s[:4] + "…" for s in cl.secrets if s and s in log]
        rep.need(not leaks, f"secrets in the server's output: {leaks}")
    finally:
        await cl.close()
        srv.kill9()
        srv.log.unlink(missing_ok=True)
        if own:
            own.cleanup()


@contextlib.contextmanager
def tmpfs(mb):
    d = tempfile.mkdtemp(prefix="faults-tmpfs-")
    r = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={mb}m,mode=0700", "tmpfs", d], capture_output=True, text=True)
    if r.returncode:
        os.rmdir(d)
        raise Skip(f"cannot mount a tmpfs: {r.stderr.strip()}")
    try:
        yield Path(d)
    finally:
        subprocess.run(["umount", "-l", d], capture_output=True)
        with contextlib.suppress(OSError):
            os.rmdir(d)


class Skip(Exception):
    pass


# ------------------------------------------------------------------ scenarios
async def kill9(cfg, rep, rng):
    flying, recover, kept_session, rounds = [], [], 0, cfg["kill_rounds"]
    async with bench(cfg, rep) as (srv, cl):
        for i in range(rounds):
            stop = asyncio.Event()
            task = asyncio.create_task(cl.load(stop))
            await asyncio.sleep(rng.uniform(0.05, 0.6))
            flying.append(cl.flying)
            srv.kill9()
            stop.set()
            await task
            await cl.open()
            recover.append(await srv.up())
            try:
                rows = await cl.read_all()
                kept_session += 1
            except RuntimeError:
                await cl.login()
                rows = await cl.read_all()
            rep.audit(cl.audit(rows), f" after kill {i + 1}")
            if rep.bad:
                break
        # What had no answer is sent again with its old id, as a phone would.
        for cid in list(cl.unknown):
            code = await cl.write(cid)
            rep.need(code in cfg["write"]["ok"], f"resending {cid} answered {code}")
        rep.audit(cl.audit(await cl.read_all()), " after resending")
        await srv.stop()
        check_file(cfg, srv.data, rep)
        rep.fig.update(rounds=len(flying), acknowledged=len(cl.acked), unanswered=len(cl.unknown),
                       in_flight_at_kill=sum(flying), recover_max_s=round(max(recover), 2),
                       sessions_kept=kept_session, ack_p50_ms=quantile(cl.lat, .5), ack_p99_ms=quantile(cl.lat, .99))
        rep.need(sum(1 for f in flying if f) >= len(flying) * 0.8, "the load was too light for the kills to mean anything")
        rep.need(len(cl.acked) >= len(flying), "hardly anything was acknowledged")
        rep.need(max(recover) <= cfg["recover_s"], f"recovery took {max(recover):.1f} s")
        rep.need(kept_session == len(flying), f"signed out by a restart {len(flying) - kept_session} times")


async def diskfull(cfg, rep, rng):
    with tmpfs(cfg["tmpfs_mb"]) as data:
        ballast = data / ".ballast"
        ballast.write_bytes(b"\0" * (cfg["tmpfs_mb"] << 18))  # a quarter
        async with bench(cfg, rep, data) as (srv, cl):
            cl.size = max(cl.size, 4000)
            end, full_since = time.monotonic() + 90, None
            while len(cl.refused) < 40 and time.monotonic() < end and srv.alive():
                if shutil.disk_usage(data).free < 64 << 10:
                    full_since = full_since or time.monotonic()
                    if time.monotonic() - full_since > 5:
                        break
                stop = asyncio.Event()
                task = asyncio.create_task(cl.load(stop))
                await asyncio.sleep(0.3)
                stop.set()
                await task
            codes = Counter(cl.refused.values())
            rep.fig.update(acknowledged=len(cl.acked), refused=dict(codes), unanswered=len(cl.unknown))
            free = shutil.disk_usage(data).free
            rep.need(srv.alive(), "the process ended when the disk was full")
            rep.need(free < 256 << 10 or cl.refused, f"the disk was never full ({free} bytes left)")
            rep.need(len(cl.refused) >= 1, "no write was ever refused on a full disk")
            rep.need(set(codes) <= set(cfg["refuse"]), f"unexpected refusals {dict(codes)}")
            rep.need(not cl.unknown, f"{len(cl.unknown)} writes got no answer at all")
            if srv.alive():
                try:
                    rep.audit(cl.audit(await cl.read_all()), " while full")
                except (RuntimeError, httpx.HTTPError) as e:
                    rep.need(False, f"reading failed while full: {e}")
                ballast.unlink()
                t, ok = time.monotonic(), False
                while time.monotonic() - t < cfg["resume_s"] and not ok:
                    ok = (await cl.write()) in cfg["write"]["ok"]
                    await asyncio.sleep(0 if ok else 0.1)
                rep.fig["resume_s"] = round(time.monotonic() - t, 2)
                rep.need(ok, "writing did not resume after space was freed")
            # Fill it to the last byte, kill it, start it while full, then make room.
            with contextlib.suppress(OSError), open(ballast, "ab") as f:
                while True:
                    f.write(b"\0" * 4096)
                    f.flush()
            srv.kill9()
            t = time.monotonic()
            srv.start()
            up = await srv.ready(cfg["recover_s"], unwell=True)
            rep.fig["restart_while_full"] = "serves" if up else f"exit {srv.proc.poll()}"
            rep.need(up or srv.proc.poll() not in (None, 0), "restarting while full neither worked nor ended with an error")
            srv.kill9()
            ballast.unlink(missing_ok=True)
            await cl.open()
            try:
                await srv.up()
                with contextlib.suppress(RuntimeError):
                    await cl.login()
                rep.audit(cl.audit(await cl.read_all()), " after the restart")
                rep.need((await cl.write()) in cfg["write"]["ok"], "cannot write after the restart")
                await srv.stop()
                check_file(cfg, data, rep)
            except RuntimeError as e:
                rep.need(False, str(e))


async def readonly(cfg, rep, rng):
    with tmpfs(cfg["tmpfs_mb"]) as data:
        async with bench(cfg, rep, data) as (srv, cl):
            for _ in range(20):
                await cl.write()
            await srv.stop()
            r = subprocess.run(["mount", "-o", "remount,ro", str(data)], capture_output=True, text=True)
            if r.returncode:
                raise Skip(f"cannot remount read-only: {r.stderr.strip()}")
            srv.start()
            up = await srv.ready(cfg["recover_s"], unwell=True)
            code = srv.proc.poll()
            if up:
                await cl.open()
                got = await cl.write()
                rep.fig["read_only_start"] = f"serves, writes answer {got}"
                rep.need(got in cfg["refuse"], f"a write on a read-only disk answered {got}")
            else:
                rep.fig["read_only_start"] = f"exit {code}"
                rep.need(code not in (None, 0), "hangs on a read-only disk")
                rep.need(re.search(r"read.?only|permission|unable to open|cannot|refus", srv.said(), re.I),
                         "ends without saying why")
            srv.kill9()
            subprocess.run(["mount", "-o", "remount,rw", str(data)], check=True)
            await srv.up()
            await cl.open()
            rep.audit(cl.audit(await cl.read_all()))


async def corrupt(cfg, rep, rng):
    """Damage a stopped database in several ways; each time it must be noticed, then put back."""
    async with bench(cfg, rep) as (srv, cl):
        cl.size = 1500
        await asyncio.gather(*(cl.write() for _ in range(300)))
        await srv.stop()
        db = srv.data / cfg["db"]["file"]
        good, page = db.read_bytes(), 4096
        rep.need(len(good) > 20 * page, "the database is too small for this test")

        def zero(b, off, n):
            b[off:off + n] = b"\0" * n
        cases = {
            "header": lambda b: zero(b, 0, 16),
            "truncated": lambda b: b.__delitem__(slice(len(b) // 2, None)),
            "page zeroed": lambda b: zero(b, page * (len(b) // page * 2 // 3), page),
            "pages swapped": lambda b: b.__setitem__(slice(page * 5, page * 7), b[page * 6:page * 7] + b[page * 5:page * 6]),
            "root page noise": lambda b: b.__setitem__(slice(page, page + 200), rng.randbytes(200)),
        }
        noticed = {}
        for name, hurt in cases.items():
            b = bytearray(good)
            hurt(b)
            for s in ("-wal", "-shm"):
                Path(str(db) + s).unlink(missing_ok=True)
            db.write_bytes(b)
            srv.start()
            up = await srv.ready(5)
            noticed[name] = not up
            if up:
                rep.need(False, f"{name}: started and reports itself healthy")
            else:
                rep.need(srv.proc.poll() not in (None, 0), f"{name}: neither serves nor ends with an error")
            srv.kill9()
        rep.fig["noticed"] = sum(noticed.values())
        rep.fig["cases"] = len(cases)
        for s in ("-wal", "-shm"):
            Path(str(db) + s).unlink(missing_ok=True)
        db.write_bytes(good)
        await srv.up()
        await cl.open()
        rep.audit(cl.audit(await cl.read_all()), " after putting the good file back")


def raw_request(srv, cl, cid, body_extra=b""):
    """The write request as bytes: head, body."""
    body = payload_of(cid, cl.size)
    cl.sent.setdefault(cid, body[:cl.cfg["keep"]])
    method, path, kw = cl.request(cid, body)
    req = httpx.Request(method, srv.base + path, **kw)
    body = req.read() + body_extra
    head = f"{method} {path} HTTP/1.1\r\n" + "".join(
        f"{k}: {v}\r\n" for k, v in req.headers.items() if k.lower() not in ("content-length", "connection"))
    return head, body


async def answer(r, timeout):
    """The status of one raw response, 0 for a closed connection, None for nothing in time."""
    try:
        line = await asyncio.wait_for(r.readline(), timeout)
    except asyncio.TimeoutError:
        return None
    except OSError:
        return 0
    m = re.match(rb"HTTP/1\.\d (\d+)", line)
    return int(m[1]) if m else 0


async def sigterm(cfg, rep, rng):
    async with bench(cfg, rep) as (srv, cl):
        async def half(cid, finish):
            head, body = raw_request(srv, cl, cid)
            r, w = await asyncio.open_connection("127.0.0.1", srv.port)
            cut = len(body) // 2 if finish else 1
            w.write(head.encode() + f"Content-Length: {len(body)}\r\n\r\n".encode() + body[:cut])
            await w.drain()
            await going.wait()
            if not finish:
                return await answer(r, cfg["stuck_s"] + 5)
            await asyncio.sleep(0.5)
            try:
                w.write(body[cut:])
                await w.drain()
            except OSError:
                return 0
            code = await answer(r, cfg["drain_s"])
            if code in cfg["write"]["ok"]:
                cl.acked[cid] = time.time()
            w.close()
            return code

        # 1. ordinary stop under load with requests half sent
        going, stop = asyncio.Event(), asyncio.Event()
        halves = [asyncio.create_task(half(cl.new_id(), True)) for _ in range(cfg["in_flight"])]
        task = asyncio.create_task(cl.load(stop))
        await asyncio.sleep(1)
        flying = cl.flying
        t = time.monotonic()
        srv.term()
        going.set()
        codes = await asyncio.gather(*halves)
        code = await srv.wait(cfg["drain_s"])
        took = time.monotonic() - t
        stop.set()
        await task
        rep.fig.update(half_sent=dict(Counter(codes)), exit=code, stop_s=round(took, 2), in_flight=flying,
                       acknowledged=len(cl.acked))
        rep.need(all(c in cfg["write"]["ok"] for c in codes), f"requests in flight answered {dict(Counter(codes))}")
        rep.need(code == 0, f"exit status {code}" if code is not None else f"did not stop in {cfg['drain_s']} s")
        if code is None:
            srv.kill9()
        wal = Path(str(srv.data / cfg["db"]["file"]) + "-wal")
        rep.fig["wal_left"] = wal.stat().st_size if wal.exists() else 0
        await srv.up()
        await cl.open()
        rep.audit(cl.audit(await cl.read_all()), " after SIGTERM")
        # 2. a client that never finishes must not hold up the stop
        going = asyncio.Event()
        stuck = asyncio.create_task(half(cl.new_id(), False))
        await asyncio.sleep(0.5)
        t = time.monotonic()
        srv.term()
        going.set()
        code = await srv.wait(cfg["stuck_s"])
        rep.fig["stop_with_stuck_client_s"] = round(time.monotonic() - t, 2)
        rep.need(code == 0, f"with a stuck client: exit {code}" if code is not None else
                 f"a stuck client held up the stop for over {cfg['stuck_s']} s")
        srv.kill9()
        await stuck
        check_file(cfg, srv.data, rep)


async def backup(cfg, rep, rng):
    if not (cfg["backup_cmd"] and cfg["restore_cmd"]):
        raise Skip("no backup_cmd and restore_cmd in the config")
    with tempfile.TemporaryDirectory(prefix="faults-backup-") as d:
        out, to = Path(d) / "copy", Path(d) / "restored"
        to.mkdir()
        async with bench(cfg, rep) as (srv, cl):
            stop = asyncio.Event()
            task = asyncio.create_task(cl.load(stop))
            await asyncio.sleep(1)
            began = time.time()

            async def run(cmd):
                p = await asyncio.create_subprocess_exec(*fill(cmd, data=srv.data, port=srv.port, out=out, to=to),
                                                         env=srv.env(), cwd=cfg["cwd"], stdout=asyncio.subprocess.PIPE,
                                                         stderr=asyncio.subprocess.STDOUT)
                text, _ = await asyncio.wait_for(p.communicate(), 120)
                return p.returncode, text.decode(errors="replace")[-200:]
            code, text = await run(cfg["backup_cmd"])
            rep.fig["backup_s"] = round(time.time() - began, 2)
            rep.need(code == 0, f"backup ended with {code}: {text}")
            await asyncio.sleep(0.3)
            stop.set()
            await task
            srv.kill9()
            code, text = await run(cfg["restore_cmd"])
            rep.need(code == 0, f"restore ended with {code}: {text}")
            check_file(cfg, to, rep, " in the restored copy")
            srv.data = to
            await srv.up()
            await cl.open()
            with contextlib.suppress(RuntimeError):
                await cl.login()
            rows = await cl.read_all()
            must = sum(1 for t in cl.acked.values() if t <= began)
            rep.fig.update(acknowledged_before=must, restored=len(rows))
            a = cl.audit(rows, before=began)
            rep.audit(a, " in the restored copy")
            rep.need(must > 20, "too little was acknowledged before the backup")
            rep.need((await cl.write()) in cfg["write"]["ok"], "the restored copy takes no writes")


async def clock(cfg, rep, rng):
    if not shutil.which("faketime"):
        raise Skip("faketime is not installed")
    pre = subprocess.run(["faketime", "-f", "+0", "env"], capture_output=True, text=True).stdout
    lib = re.search(r"^LD_PRELOAD=(.*)$", pre, re.M)
    with tempfile.TemporaryDirectory(prefix="faults-clock-") as d:
        stamp = Path(d) / "offset"

        def jump(offset):
            tmp = stamp.with_suffix(".new")
            tmp.write_text(offset + "\n")
            os.replace(tmp, stamp)
        jump("+0")
        env = {**cfg["env"], "LD_PRELOAD": lib[1], "FAKETIME_TIMESTAMP_FILE": str(stamp), "FAKETIME_NO_CACHE": "1",
               "FAKETIME_DONT_FAKE_MONOTONIC": "1"}
        async with bench({**cfg, "env": env}, rep) as (srv, cl):
            ok = cfg["write"]["ok"]
            for off in ("+0", "+2h", "-2h", "+0", "-400d", "+0"):
                jump(off)
                codes = Counter(await asyncio.gather(*(cl.write() for _ in range(40))))
                rep.fig[off] = dict(codes)
                rep.need(set(codes) <= set(ok), f"with the clock at {off}: writes answered {dict(codes)}")
                rep.need(srv.alive(), f"the process ended with the clock at {off}")
            jump("-2h")  # a restart with the clock behind what is stored
            srv.kill9()
            await srv.up()
            await cl.open()
            rep.audit(cl.audit(await cl.read_all()), " after a restart with the clock behind")
            if cfg["session_days"]:
                jump(f"+{cfg['session_days'] + 1}d")
                r = await cl.http.get(fill(cfg["read"]["path"], cursor=cfg["read"].get("first", "")), headers=cl.auth)
                rep.fig["session_after_its_lifetime"] = r.status_code
                rep.need(r.status_code in (401, 403, 302, 303), f"an expired session still answers {r.status_code}")
            jump("+0")
            with contextlib.suppress(RuntimeError):
                await cl.login()
            rep.audit(cl.audit(await cl.read_all()))


async def disconnect(cfg, rep, rng):
    async with bench(cfg, rep) as (srv, cl):
        ids = [cl.new_id() for _ in range(cfg["hang_up_ids"])]
        for i in ids[:10]:
            await cl.write(i)
        # from the first moment of a write to beyond its end
        longest = 1.5 * quantile(cl.lat, .5) / 1000
        stop, answers, left = asyncio.Event(), Counter(), 0

        async def others():
            while not stop.is_set():
                answers[await cl.write(rng.choice(ids))] += 1
                await asyncio.sleep(rng.uniform(0, 4 * longest))  # at times nobody else is writing

        async def hang_up():
            nonlocal left
            while left < cfg["hang_ups"] and not set(answers) - set(cfg["write"]["ok"]):
                left += 1
                head, body = raw_request(srv, cl, rng.choice(ids))
                _, w = await asyncio.open_connection("127.0.0.1", srv.port)
                w.get_extra_info("socket").setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
                w.write(head.encode() + f"Content-Length: {len(body)}\r\n\r\n".encode() + body)
                await asyncio.sleep(rng.uniform(0, longest))
                w.transport.abort()
        task = asyncio.create_task(others())
        await asyncio.gather(*(hang_up() for _ in range(2)))
        stop.set()
        await task
        rep.fig.update(hang_ups=left, within_ms=round(longest * 1000, 1), others=dict(answers))
        rep.need(set(answers) <= set(cfg["write"]["ok"]), f"others' writes answered {dict(answers)} after {left} hung up")
        # what was cut off is sent again with its old id, as a phone would
        again = Counter([await cl.write(i) for i in ids])
        rep.need(set(again) <= set(cfg["write"]["ok"]), f"sent again, it answered {dict(again)}")
        rep.audit(cl.audit(await cl.read_all()), " after resending")
        await srv.stop()
        check_file(cfg, srv.data, rep)


async def duplicates(cfg, rep, rng):
    async with bench(cfg, rep) as (srv, cl):
        ids = [cl.new_id() for _ in range(cfg["dup_items"])]

        async def flood():
            jobs = ids * cfg["dup_times"]
            rng.shuffle(jobs)
            lock = asyncio.Semaphore(cfg["writers"])

            async def one(i):
                async with lock:
                    return await cl.write(i)
            return Counter(await asyncio.gather(*(one(i) for i in jobs)))
        first = await flood()
        await asyncio.gather(*(cl.write() for _ in range(20)))
        srv.kill9()
        await srv.up()
        await cl.open()
        again = await flood()
        ok = set(cfg["write"]["ok"])
        rep.fig.update(first=dict(first), after_restart=dict(again))
        rep.need(set(first) | set(again) <= ok, f"a repeated submission was refused: {dict(first + again)}")
        rows = await cl.read_all()
        rep.fig["records"] = len(rows)
        rep.audit(cl.audit(rows))
        # The same id with other content must not change what is stored.
        clash = Counter([await cl.write(i, "other content " + i) for i in ids[:20]])
        rep.fig["clash"] = dict(clash)
        if cfg["conflict"] == "edit":
            rep.need(set(clash) <= ok, f"an edit under an old id answered {dict(clash)}")
            before = {i: cl.sent[i] for i in ids[:20]}
            c = sqlite3.connect(f"file:{srv.data / cfg['db']['file']}?mode=ro", uri=True)
            kept = {str(i): p for i, p in c.execute(cfg["edits_sql"])}
            c.close()
            rep.need(kept == before, f"{sum(kept.get(i) != p for i, p in before.items())} earlier contents were not kept")
            cl.sent.update({i: "other content " + i for i in ids[:20]})
        elif cfg["conflict"] is not None:
            rep.need(set(clash) <= set(cfg["conflict"]), f"other content under an old id answered {dict(clash)}")
        rep.audit(cl.audit(await cl.read_all()), " after a clash")
        await srv.stop()
        check_file(cfg, srv.data, rep)


async def oversized(cfg, rep, rng):
    async with bench(cfg, rep) as (srv, cl):
        await cl.write()
        # made before anything is measured: it keeps this machine busy for seconds
        z = gzip.compress(b"[" + b"0," * (cfg["gzip_bomb_mb"] << 19) + b"0]", 9) if cfg["gzip_bomb_mb"] else b""
        base, slow = srv.peak_mb(reset=True), [0.0]
        done = asyncio.Event()

        async def watch():
            async with httpx.AsyncClient(base_url=srv.base, timeout=10) as c:
                while not done.is_set():
                    t = time.monotonic()
                    with contextlib.suppress(httpx.HTTPError):
                        await c.get(cfg["ready"]["path"])
                    slow.append(time.monotonic() - t)
                    await asyncio.sleep(0.05)
        watcher = asyncio.create_task(watch())
        head, body = raw_request(srv, cl, cl.new_id())
        if cfg["json_door"]:
            door = cfg["json_door"]
            asked = "".join(f"{k}: {v}\r\n" for k, v in door["headers"].items())
            head = f"POST {door['path']} HTTP/1.1\r\nHost: 127.0.0.1:{srv.port}\r\n{asked}"
        limit, total = cfg["body_limit"], max(64 << 20, cfg["body_limit"] * 4)

        async def send(name, extra_head, chunks, want):
            sent, code = 0, None
            try:
                r, w = await asyncio.open_connection("127.0.0.1", srv.port)
                w.write((head + extra_head + "\r\n").encode())
                reply = asyncio.create_task(answer(r, 30))
                for c in chunks:
                    if reply.done():
                        break
                    w.write(c)
                    await asyncio.wait_for(w.drain(), 20)
                    sent += len(c)
                code = await reply
                w.close()
            except (OSError, asyncio.TimeoutError):
                with contextlib.suppress(Exception):
                    code = await asyncio.wait_for(reply, 2)
                code = code or 0
            rep.fig[name] = f"{code} after {sent >> 10} KiB"
            rep.need(code in want, f"{name}: answered {code}, wanted one of {want}")
            rep.need(sent <= limit + (16 << 20), f"{name}: {sent >> 20} MiB were swallowed, the limit is {limit >> 20} MiB")
            rep.need(srv.alive(), f"{name}: the process ended")

        mb = b" " * (1 << 20)
        await send("declared too large", f"Content-Length: {total}\r\n", (mb for _ in range(total >> 20)), (413, 0))
        await send("endless chunked", "Transfer-Encoding: chunked\r\n",
                   (b"100000\r\n" + mb + b"\r\n" for _ in range(total >> 20)), (413, 400, 0))
        await send("one byte over", f"Content-Length: {limit + 1}\r\n", [b" " * (limit + 1)], (413, 0))
        deep = b"[" * min(200_000, limit // 2)
        await send("nested 200k deep", f"Content-Length: {len(deep)}\r\n", [deep], (400, 413, 422))
        if z and len(z) < limit:
            await send("gzip bomb", f"Content-Encoding: gzip\r\nContent-Length: {len(z)}\r\n", [z], (400, 413, 415, 422, 0))
        await send("64 KiB of header", f"X-Filler: {'a' * 65536}\r\nContent-Length: {len(body)}\r\n", [body], (400, 413, 431, 0))
        await send("two lengths", f"Content-Length: {len(body)}\r\nContent-Length: 1\r\n", [body], (400, 0))
        await send("length and chunked", f"Content-Length: {len(body)}\r\nTransfer-Encoding: chunked\r\n",
                   [b"0\r\n\r\n"], (400, 411, 422, 0))
        await send("length not a number", "Content-Length: 1x\r\n", [body], (400, 0))
        bad = b'{"id":"\xff\xfe","note":"\xc3\x28"}'
        await send("malformed UTF-8", f"Content-Length: {len(bad)}\r\n", [bad], (400, 415, 422))
        await send("truncated", f"Content-Length: {len(body)}\r\nConnection: close\r\n", [body[:-1] + b"\x00"], (400, 422))
        done.set()
        await watcher
        peak = srv.peak_mb()
        rep.fig.update(rss_base_mb=round(base), rss_peak_mb=round(peak), health_worst_s=round(max(slow), 2))
        rep.need(peak - base <= cfg["rss_mb"], f"memory grew by {peak - base:.0f} MB")
        rep.need(max(slow) <= cfg["health_s"], f"the health route took {max(slow):.1f} s meanwhile")
        rep.need((await cl.write()) in cfg["write"]["ok"], "an ordinary write fails afterwards")
        rep.audit(cl.audit(await cl.read_all()))


async def slowloris(cfg, rep, rng):
    async with bench(cfg, rep) as (srv, cl):
        await cl.write()
        before, n = srv.fds(), cfg["slow_conns"]
        head, body = raw_request(srv, cl, cl.new_id())
        t0, closed, lat, failed = time.monotonic(), [], [], []
        done = asyncio.Event()

        async def drip(kind):
            """Kinds: 0 says nothing, 1 drips header lines, 2 drips the body."""
            gone = None
            try:
                r, w = await asyncio.open_connection("127.0.0.1", srv.port)
                if kind == 1:
                    w.write(head.encode())
                elif kind == 2:
                    w.write((head + "Content-Length: 100000\r\n\r\n").encode() + body[:1])
                gone = asyncio.create_task(r.read(65536))
                while not done.is_set() and not gone.done():
                    await asyncio.wait([gone], timeout=1)
                    if not gone.done() and kind:
                        w.write(b"X-a: b\r\n" if kind == 1 else b" ")
                        await w.drain()
                if gone.done():
                    if gone.exception() is None:  # an answer first, perhaps; then the end
                        while await asyncio.wait_for(r.read(65536), 5):
                            pass
                    closed.append(time.monotonic() - t0)
                gone.cancel()
                w.close()
            except (OSError, asyncio.TimeoutError):
                closed.append(time.monotonic() - t0)
                if gone and gone.done() and not gone.cancelled():
                    gone.exception()

        async def probe():
            while not done.is_set():
                t = time.monotonic()
                try:
                    async with httpx.AsyncClient(base_url=srv.base, timeout=5) as c:  # a new connection each time
                        ok = (await c.get(cfg["ready"]["path"])).status_code == cfg["ready"]["status"]
                except httpx.HTTPError:
                    ok = False
                lat.append(time.monotonic() - t)
                if not ok:
                    failed.append(time.monotonic() - t0)
                await asyncio.sleep(0.2)

        async def honest():
            """A phone on a weak line: slow, but steady."""
            cid = cl.new_id()
            cl.size = cfg["honest_kb"] << 10
            h, b = raw_request(srv, cl, cid)
            r, w = await asyncio.open_connection("127.0.0.1", srv.port)
            w.write(h.encode() + f"Content-Length: {len(b)}\r\n\r\n".encode())
            step = cfg["honest_kbps"] * 1024 // 4
            try:
                for i in range(0, len(b), step):
                    w.write(b[i:i + step])
                    await w.drain()
                    await asyncio.sleep(0.25)
            except OSError:
                pass
            code = await answer(r, 10)
            if code in cfg["write"]["ok"]:
                cl.acked[cid] = time.time()
            return code
        drips = [asyncio.create_task(drip(i % 3)) for i in range(n)]
        await asyncio.sleep(0.5)
        prober, phone = asyncio.create_task(probe()), asyncio.create_task(honest())
        while len(closed) < n and time.monotonic() - t0 < cfg["slow_close_s"]:
            await asyncio.sleep(0.2)
        got = await phone
        done.set()
        await asyncio.gather(prober, *drips)
        await asyncio.sleep(1)
        after = srv.fds()
        rep.fig.update(slow=n, closed=len(closed), last_closed_s=round(max(closed or [0]), 1), probes=len(lat),
                       failed_probes=len(failed), probe_p99_ms=quantile(lat, .99), honest_upload=got, fds=f"{before}->{after}")
        rep.need(not failed, f"{len(failed)} of {len(lat)} ordinary requests failed meanwhile")
        rep.need((quantile(lat, .99) or 0) <= cfg["health_s"] * 1000, f"ordinary requests took {quantile(lat, .99)} ms (p99)")
        rep.need(len(closed) >= n, f"{n - len(closed)} of {n} slow connections still open after {cfg['slow_close_s']} s")
        rep.need(got in cfg["write"]["ok"], f"an honest slow upload answered {got}")
        rep.need(after <= before + 20, f"descriptors not given back: {before} before, {after} after")
        cl.size = cfg["payload"]
        rep.audit(cl.audit(await cl.read_all()))


# ------------------------------------------------------------------ power cut, by replaying system calls
CALLS = "openat,open,creat,pwrite64,pwritev,pwritev2,write,writev,lseek,fsync,fdatasync,sync_file_range,ftruncate,truncate,fallocate,unlink,unlinkat,rename,renameat,renameat2"
LINE = re.compile(r"^(\d+\.\d+) (\w+)\((.*)\)\s+= (-?\d+|\?|0x[0-9a-f]+)(?:<[^>]*>)?.*?<(\d+\.\d+)>$")


def unhex(s):
    return bytes.fromhex(s.replace("\\x", ""))


def read_trace(prefix, data):
    """[(entry, exit, kind, path, offset, bytes)] of everything done below `data`, in order."""
    root, out, odd = str(data).rstrip("/") + "/", [], Counter()
    raw = []
    for f in Path(prefix).parent.glob(Path(prefix).name + ".*"):
        for line in f.read_text(errors="replace").splitlines():
            m = LINE.match(line)
            if m and m[4] not in ("?",) and not m[4].startswith("-"):
                t = float(m[1])
                raw.append((t, t + float(m[5]), m[2], m[3], int(m[4], 0)))
    raw.sort()
    pos = {}

    def fd_path(args):
        m = re.match(r"(\d+)<([^>]*)>", args)
        if not m:
            return None, None
        p = unhex(m[2]).decode() if m[2].startswith("\\x") else m[2]
        return int(m[1]), p[len(root):] if p.startswith(root) else None
    for t, e, call, args, ret in raw:
        if call in ("openat", "open", "creat"):
            m = re.search(r'"((?:\\x[0-9a-f]{2})*)"', args)
            name = unhex(m[1]).decode() if m else ""
            if name.startswith(root):
                pos[(ret, name[len(root):])] = 0
                if "O_TRUNC" in args or call == "creat":
                    out.append((t, e, "trunc", name[len(root):], 0, b""))
            continue
        if call in ("unlink", "unlinkat", "rename", "renameat", "renameat2"):
            names = [unhex(x).decode() for x in re.findall(r'"((?:\\x[0-9a-f]{2})*)"', args)]
            names = [n[len(root):] for n in names if n.startswith(root)]
            if names:
                out.append((t, e, "unlink" if call.startswith("unlink") else "rename", names[0], 0,
                            names[-1].encode()))
            continue
        fd, p = fd_path(args)
        if p is None or p.endswith("-shm"):
            continue
        if call in ("fsync", "fdatasync"):
            out.append((t, e, "sync", p, 0, b""))
        elif call == "ftruncate":
            out.append((t, e, "trunc", p, int(args.rsplit(",", 1)[1]), b""))
        elif call == "lseek":
            pos[(fd, p)] = ret
        elif call in ("pwrite64", "write"):
            m = re.search(r'"((?:\\x[0-9a-f]{2})*)"(\.\.\.)?', args)
            b = unhex(m[1])[:ret]
            if m[2] or len(b) < ret:
                odd["cut short in the trace"] += 1
            off = int(args.rsplit(",", 1)[1]) if call == "pwrite64" else pos.get((fd, p), 0)
            if call == "write":
                pos[(fd, p)] = off + ret
            out.append((t, e, "write", p, off, b))
        elif call != "fallocate" and call != "sync_file_range":
            odd[call] += 1
    return out, odd


def crash_image(base, events, cut, mode, rng):
    """The files as they may look after power failed at `cut`.

    Simplifications: a directory entry is durable as soon as it is made, and a truncation
    or rename as soon as it returns.  Writes are durable only once a later sync of that file
    has returned before the cut; the others are dropped, kept at random, or torn by sector."""
    files = {p: bytearray(b) for p, b in base.items()}
    last_sync = {}
    for t, e, kind, p, off, b in events:
        if kind == "sync" and e <= cut:
            last_sync[p] = max(last_sync.get(p, 0), t)
    for t, e, kind, p, off, b in events:
        if t > cut:
            break
        f = files.setdefault(p, bytearray())
        if kind == "write":
            pieces = [(off, b)]
            if e > last_sync.get(p, 0):
                if mode == "drop":
                    pieces = []
                if mode == "random" and rng.random() < .5:
                    pieces = []
                if mode == "torn":
                    pieces = [(off + i, b[i:i + 512]) for i in range(0, len(b), 512) if rng.random() < .5]
            for o, x in pieces:
                if len(f) < o + len(x):
                    f.extend(b"\0" * (o + len(x) - len(f)))
                f[o:o + len(x)] = x
        elif kind == "trunc" and e <= cut:
            del f[off:]
        elif kind == "unlink" and e <= cut:
            files.pop(p, None)
        elif kind == "rename" and e <= cut:
            files[b.decode()] = files.pop(p)
    return files


async def powercut(cfg, rep, rng):
    if not shutil.which("strace"):
        raise Skip("strace is not installed")
    with tempfile.TemporaryDirectory(prefix="faults-trace-") as tdir:
        prefix = f"{tdir}/t"
        wrap = ["strace", "-ff", "-ttt", "-T", "-y", "-xx", "-s", "4194304", "-e", "signal=none",
                "-e", f"trace={CALLS}", "-o", prefix]
        async with bench({**cfg, "ready": {**cfg["ready"], "timeout_s": 60}}, rep) as (srv, cl):
            # What was there before the traced run counts as safely on disk.
            await asyncio.gather(*(cl.write() for _ in range(20)))
            await srv.stop()
            base = {str(f.relative_to(srv.data)): f.read_bytes() for f in srv.data.rglob("*")
                    if f.is_file() and not f.name.endswith("-shm")}
            await srv.up(wrap)
            await cl.open()
            cl.size = max(cl.size, 2000)  # so that the log is checkpointed and reused within the trace
            stop, db = asyncio.Event(), srv.data / cfg["db"]["file"]
            task, mtime, t = asyncio.create_task(cl.load(stop)), db.stat().st_mtime_ns, time.monotonic()
            while time.monotonic() - t < cfg["trace_s"] or (
                    db.stat().st_mtime_ns == mtime and time.monotonic() - t < 10 * cfg["trace_s"]):
                await asyncio.sleep(0.2)
            await asyncio.sleep(cfg["trace_s"] / 2)
            stop.set()
            await task
            want = dict(check_file(cfg, srv.data, rep, " at the end") or [])
            srv.kill9()
            events, odd = read_trace(prefix, srv.data)
        writes = sum(1 for x in events if x[2] == "write")
        into_db = sum(1 for x in events if x[2] == "write" and x[3] == cfg["db"]["file"])
        rep.fig.update(acknowledged=len(cl.acked), writes=writes, checkpoint_writes=into_db,
                       syncs=sum(1 for x in events if x[2] == "sync"))
        rep.need(not odd, f"the trace holds calls that this replay does not know: {dict(odd)}")
        if not rep.need(writes and len(cl.acked) > 40, f"nothing to replay (writes seen {writes}, acknowledged {len(cl.acked)})"):
            return
        rep.need(into_db, "no checkpoint happened within the trace; raise trace_s")

        def image(cut, mode):
            sub = Report("image")
            with tempfile.TemporaryDirectory() as d:
                for p, b in crash_image(base, events, cut, mode, rng).items():
                    Path(d, p).parent.mkdir(parents=True, exist_ok=True)
                    Path(d, p).write_bytes(b)
                return check_file(cfg, d, sub), sub.bad
        # The replay must first reproduce the real file, or nothing below means anything.
        rows, bad = image(time.time() + 60, "keep")
        if not rep.need(rows is not None and not bad and dict(rows) == want, f"the replay does not reproduce the real database {bad}"):
            return
        acks = sorted(cl.acked.values())[20:]
        half = cfg["cuts"] // 2
        cuts = [rng.choice(acks) + 0.0002 for _ in range(half)]                        # just after a promise
        cuts += [rng.uniform(acks[0], acks[-1]) for _ in range(cfg["cuts"] - half)]    # any time
        ckpt = [x[0] for x in events if x[2] == "write" and x[3] == cfg["db"]["file"]]
        cuts += [rng.uniform(min(ckpt) - .005, max(ckpt) + .005) for _ in range(half)] if ckpt else []  # around checkpoints
        tally, unsound, worst = Counter(), 0, 0
        for cut in cuts:
            for mode in ("drop", "random", "torn"):
                rows, bad = image(cut, mode)
                if rows is None or bad:
                    unsound += 1
                    rep.bad.append(f"{mode}: {bad[0]}")
                    continue
                a = cl.audit(rows, before=cut)
                a.pop("refused_but_kept")
                worst = max(worst, len(a["lost"]))
                for k, v in a.items():
                    tally[k] += len(v)
                    if v:
                        rep.bad.append(f"{mode}: {len(v)} {k} at one cut ({bisect.bisect(acks, cut)} acknowledged by then)")
        rep.bad.sort(key=lambda b: -int((re.search(r"(\d+) lost", b) or [0, 0])[1]))
        rep.fig.update(cuts=len(cuts), images=3 * len(cuts), unsound=unsound, lost_worst=worst, **tally)


SCENARIOS = {f.__name__: f for f in (kill9, powercut, diskfull, readonly, corrupt, sigterm, backup, clock,
                                    disconnect, duplicates, oversized, slowloris)}


# ------------------------------------------------------------------ running
async def run_one(name, cfg):
    rep, t = Report(name), time.monotonic()
    seed = cfg["seed"] if cfg["seed"] is not None else random.randrange(1 << 30)
    try:
        await SCENARIOS[name](cfg, rep, random.Random(seed))
    except Skip as e:
        rep.skip = str(e)
    except Exception as e:  # a harness or server failure is a failed scenario, not a crash of the run
        rep.bad.append(f"{type(e).__name__}: {e}")
    rep.fig["seed"] = seed
    rep.took = round(time.monotonic() - t, 1)
    return rep


def show(rep):
    state = "SKIP" if rep.skip else "FAIL" if rep.bad else "pass"
    print(f"{state}  {rep.name:<11} {rep.took:6.1f} s  " + (rep.skip or json.dumps(rep.fig, default=str)), flush=True)
    for b in rep.bad[:6]:
        print(f"        - {b}", flush=True)


def selftest(only, json_out):
    """Each broken variant must be caught by the scenario named, and the sound one must pass all."""
    here = Path(__file__).resolve().parent
    quick = {"cmd": [sys.executable, str(here / "standin.py"), "--port", "{port}", "--data", "{data}"],
             "login": {"path": "/login", "form": {"user": "coach@example.test", "password": "correct horse battery staple"},
                       "ok": [303]},
             "kill_rounds": 12, "cuts": 30, "hang_ups": 400, "trace_s": 2, "drain_s": 12, "stuck_s": 12, "slow_close_s": 15,
             "recover_s": 5, "seed": 7, "honest_kb": 96, "honest_kbps": 24, "session_days": 30,
             "backup_cmd": [sys.executable, str(here / "standin.py"), "--data", "{data}", "--backup", "{out}"],
             "restore_cmd": ["cp", "{out}", "{to}/app.db"]}
    # (variant, scenario, what its failure must say): failing for another reason proves nothing
    expect = [
        ("ack-early", "kill9", r"\d+ lost after kill"), ("mem-session", "kill9", "signed out by a restart"),
        ("sync-normal", "powercut", r"\d+ lost at one cut"), ("sync-off", "powercut", r"\d+ lost at one cut"),
        ("swallow-full", "diskfull", r"\d+ lost"), ("die-on-full", "diskfull", "process ended when the disk was full"),
        ("wedge-on-full", "diskfull", "writing did not resume"), ("silent-start", "readonly", "without saying why"),
        ("ignore-corrupt", "corrupt", "started and reports itself healthy"),
        ("abrupt-term", "sigterm", "requests in flight answered"), ("hang-term", "sigterm", "stuck client held up the stop"),
        ("copy-backup", "backup", "restored copy"), ("clock-back", "clock", r"clock at -2h: writes answered"),
        ("immortal-session", "clock", "expired session still answers"),
        ("wedge-on-leave", "disconnect", r"others' writes answered .* hung up"),
        ("no-dedupe", "duplicates", r"\d+ doubled"), ("overwrite", "duplicates", r"\d+ altered after a clash"),
        ("no-limit", "oversized", "MiB were swallowed"), ("inflate", "oversized", r"memory grew by \d+"),
        ("no-timeout", "slowloris", "slow connections still open"), ("conn-cap", "slowloris", "ordinary requests failed"),
        ("cut-slow", "slowloris", "honest slow upload answered"), ("log-secrets", "duplicates", "secrets in the server's output")]
    unproven = set(SCENARIOS) - {n for _, n, _ in expect}
    assert not unproven, f"no broken variant proves {unproven}"
    rows, wrong = [], 0
    for name in SCENARIOS:
        if only and name not in only:
            continue
        rep = asyncio.run(run_one(name, quick_cfg(quick, None)))
        show(rep)
        wrong += bool(rep.bad)
        rows.append({"variant": "sound", "scenario": name, "caught": None, "skip": rep.skip, "bad": rep.bad, "figures": rep.fig, "s": rep.took})
    for bug, name, reason in expect:
        if only and name not in only:
            continue
        rep = asyncio.run(run_one(name, quick_cfg(quick, bug)))
        hit = [b for b in rep.bad if re.search(reason, b)]
        state = "SKIP" if rep.skip else "caught" if hit else "MISSED" if not rep.bad else "WRONG REASON"
        print(f"{state}  {bug:<15} by {name:<11} {rep.took:6.1f} s  {(hit or rep.bad or [rep.skip or ''])[0][:110]}", flush=True)
        wrong += not hit and not rep.skip
        rows.append({"variant": bug, "scenario": name, "caught": bool(hit), "skip": rep.skip, "bad": rep.bad, "figures": rep.fig, "s": rep.took})
    # And the reverse: a kill -9 alone cannot see missing syncs, which is why powercut exists.
    if not only or "kill9" in only:
        rep = asyncio.run(run_one("kill9", quick_cfg(quick, "sync-normal")))
        print(f"note    sync-normal under kill9: {'fails' if rep.bad else 'passes, as expected'}", flush=True)
    if json_out:
        Path(json_out).write_text(json.dumps(rows, indent=1, default=str))
    skipped = sum(1 for r in rows if r["skip"])
    print(f"{len(rows) - wrong - skipped} passed, {wrong} failed, {skipped} skipped")
    return 1 if wrong else 0


def quick_cfg(quick, bug):
    cfg = {**DEFAULTS, **quick}
    if bug:
        for k in ("cmd", "backup_cmd"):
            cfg[k] = [*cfg[k], "--bug", bug]
    return cfg


def main():
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("--config")
    p.add_argument("--only", help="comma-separated scenario names")
    p.add_argument("--set", action="append", default=[], metavar="KEY=JSON", help="override one config value")
    p.add_argument("--json", help="write the figures here")
    p.add_argument("--strict", action="store_true", help="a skipped scenario counts as failed")
    p.add_argument("--selftest", action="store_true")
    a = p.parse_args()
    only = a.only.split(",") if a.only else None
    if only and set(only) - set(SCENARIOS):
        p.error(f"no such scenario: {sorted(set(only) - set(SCENARIOS))}")
    if a.selftest:
        return selftest(only, a.json)
    if not a.config:
        p.error("--config or --selftest")
    cfg = load(a.config)
    for s in a.set:
        k, _, v = s.partition("=")
        if k not in DEFAULTS:
            p.error(f"no such config key: {k}")
        cfg[k] = json.loads(v)
    reps = []
    for name in only or SCENARIOS:
        rep = asyncio.run(run_one(name, cfg))
        show(rep)
        reps.append(rep)
    if a.json:
        Path(a.json).write_text(json.dumps([{"scenario": r.name, "skip": r.skip, "bad": r.bad, "figures": r.fig, "s": r.took}
                                            for r in reps], indent=1, default=str))
    bad = sum(1 for r in reps if r.bad or (a.strict and r.skip))
    skip = sum(1 for r in reps if r.skip and not a.strict)
    print(f"{len(reps) - bad - skip} passed, {bad} failed, {skip} skipped")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
