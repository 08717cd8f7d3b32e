#!/usr/bin/env python3
"""Asks a running demo whatever its OpenAPI document allows, and more, with schemathesis: as a coach and as a member.

usage: api_with_schemathesis.py BINARY [SECONDS]      needs schemathesis; exit 0 where no answer is a 5xx or not as documented
"""
import datetime
import http.cookiejar
import json
import pathlib
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.parse
import urllib.request

CHECKS = ",".join((
    "not_a_server_error", "status_code_conformance", "content_type_conformance", "response_headers_conformance",
    "response_schema_conformance", "ignored_auth", "unsupported_method",
))
SEED = "20261125"


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


def start(binary, folder):
    """The demo's process, its address, and what it printed."""
    port = free_port()
    demo = subprocess.Popen(
        [binary, "demo", "--data", folder, "--listen", f"127.0.0.1:{port}"], stdout=subprocess.PIPE, text=True
    )
    printed = ""
    for line in demo.stdout:
        printed += line
        if "password:" in line:
            break
    address = f"http://127.0.0.1:{port}"
    for _ in range(300):
        try:
            urllib.request.urlopen(address + "/sign-in")
            return demo, address, printed
        except OSError:
            time.sleep(0.1)
    raise SystemExit("the demo does not answer:\n" + printed)


def token(address, name, password, scopes):
    """Signs in on the pages and makes a token there, as a person would."""
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar()))
    browser.addheaders = [("Origin", address)]
    post = lambda path, fields: browser.open(address + path, urllib.parse.urlencode(fields).encode()).read().decode()
    post("/sign-in", {"name": name, "password": password})
    page = post("/you/tokens", {"name": "check", "days": "2", "password": password, **{s: "on" for s in scopes}})
    return re.search(r"<code>(dowel_[\w-]+)</code>", page)[1]


def get(address, token, path):
    request = urllib.request.Request(address + "/api/v1" + path, headers={"Authorization": "Bearer " + token})
    return json.load(urllib.request.urlopen(request))


def real_places(address, token, member):
    """Rows that are there, so that more than 404 is asked for: by parameter, for each path."""
    group = get(address, token, "/groups")[0]["id"]
    today = datetime.date.today()
    monday = today - datetime.timedelta(days=today.weekday())
    weeks = (get(address, token, f"/groups/{group}/weeks/{monday - datetime.timedelta(weeks=n)}") for n in range(8))
    people = [] if member else get(address, token, f"/groups/{group}/members")
    results = get(address, token, "/results") if member else []
    # what was logged already is changed by a second log, and makes no new result
    done = {(r["session_id"], r["part"]) for r in results}
    # a part without a score can be logged without words that are read as one, so that logging is come to
    session, part = next(
        (s, n) for week in weeks for s in week["sessions"] for n, p in enumerate(s["session"]["parts"])
        if p["score"] == "none" and s["day"] <= str(today) and (s["id"], n) not in done
    )
    return {
        "groups": group, "sessions": session["id"], "members": people[0]["id"] if people else 1,
        "results": results[-1]["id"] if results else 1,
        "monday": str(monday), "date": session["day"], "part": part, "name": "goblet squat",
    }


def kept(address, coach):
    """How many results there are, taken back or not."""
    return sum(len(get(address, coach, f"/groups/{g['id']}/results")) for g in get(address, coach, "/groups"))


def config(places, paths):
    """Half of the run on rows that are there: schemathesis takes these values for its parameters."""
    lines = []
    for path in paths:
        kind = path.split("/")[3]
        values = {n: places[kind] if n == "id" else places[n] for n in re.findall(r"{(\w+)}", path)}
        if values:
            inner = ", ".join(f'"path.{n}" = {json.dumps(v)}' for n, v in values.items())
            lines.append(f"[[operations]]\ninclude-path = {json.dumps(path)}\nparameters = {{ {inner} }}\n")
    return "\n".join(lines)


def main():
    binary = sys.argv[1]
    seconds = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    temporary = tempfile.TemporaryDirectory()
    folder = pathlib.Path(temporary.name)
    demo, address, printed = start(binary, str(folder / "demo"))
    failed, coach = [], None
    try:
        password = re.search(r"password:\s+(.+)", printed)[1].strip()
        names = {who: re.search(rf"as {who}:\s+(\S+)", printed)[1] for who in ("the coach", "a member")}
        document = json.load(urllib.request.urlopen(address + "/api/v1/openapi.json"))
        for who, scopes in (("the coach", ["read", "coach"]), ("a member", ["read", "log"])):
            key = token(address, names[who], password, scopes)
            places = real_places(address, key, who == "a member")
            coach = key if who == "the coach" else coach
            before = kept(address, coach)
            for known in (True, False):
                settings = folder / "schemathesis.toml"
                settings.write_text(config(places, document["paths"]) if known else "")
                run = subprocess.run(
                    [
                        str(pathlib.Path(sys.executable).parent / "schemathesis"), "--config-file", str(settings), "run",
                        address + "/api/v1/openapi.json", "--header", f"Authorization: Bearer {key}", "--checks", CHECKS,
                        "--seed", SEED, "--max-time", str(seconds), "--workers", "1", "--continue-on-failure",
                        "--warnings", "off", "--no-color", "--generation-database", "none",
                    ],
                    cwd=folder, capture_output=True, text=True,
                )
                print(f"as {who}, on {'rows that are there' if known else 'anything'}:")
                print(summary(run.stdout))
                if run.returncode != 0:
                    failed.append(run.stdout + run.stderr)
            if who == "a member":
                logged = kept(address, coach) - before
                print(f"{logged} results were logged and kept on the way")
                if logged < 1:
                    failed.append("nothing was ever logged: the run did not come past 404")
        if demo.poll() is not None:
            failed.append("the server ended")
    finally:
        demo.terminate()
        demo.wait(timeout=20)
    temporary.cleanup()
    print("\n".join(failed))
    sys.exit(1 if failed else 0)


def summary(text):
    at = text.rfind("SUMMARY")
    return text[at:] if at >= 0 else text[-2000:]


main()
