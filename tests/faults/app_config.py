"""How faults.py is pointed at Dowel. `run` makes the template folder first and says where it is."""
import json, os

BINARY = os.environ["DOWEL_BINARY"]
TEMPLATE = os.environ["FAULTS_TEMPLATE"]
SEED = json.loads(os.environ["FAULTS_SEED"])


def place(cid):
    """Each id its own part of its own session: `kill9-0000017` is the seventeenth."""
    n = int(cid.rsplit("-", 1)[1]) - 1
    session, part = divmod(n, SEED["parts"])
    if session >= SEED["sessions"]:
        raise SystemExit("more writes than the template has parts")
    return {"session": SEED["session"] + session, "version": SEED["version"] + session, "part": part}


CONFIG = {
    "cmd": [BINARY, "serve", "--listen", "127.0.0.1:{port}", "--data", "{data}"],
    "env": {"DOWEL_LOG": "debug", "DOWEL_LOG_JSON": "true"},
    "ready": {"path": "/healthz", "status": 200, "timeout_s": 10},
    "setup_cmds": [["cp", "-a", TEMPLATE + "/.", "{data}"]],
    "login": {"path": "/sign-in", "form": {"name": "faults", "password": "look around"}, "ok": [303]},
    "place": place,
    # what a member's phone sends when a part is logged; the field `filler` is read by nobody and makes bodies large
    "write": {"method": "POST", "path": "/sessions/{session}/parts/{part}/result", "ok": [303],
              "form": {"client_id": "{id}", "version_id": "{version}", "version": "full", "score": "3+4",
                       "note": "{note}", "filler": "{payload}", "done_on": "2016-01-02"}},
    # the page shows that the sign-in still counts; the rows are read from the file that is being served
    "read": {"path": "/you", "sql": f"select client_id, note from results where person_id = {SEED['person']}"},
    "db": {"file": "dowel.db", "sql": f"select client_id, note from results where person_id = {SEED['person']}"},
    "keep": 1500,
    # the device's id with other words is an edit: the last one stands, the one before is kept beside it
    "conflict": "edit",
    "edits_sql": "select r.client_id, json_extract(e.before, '$.note') from result_edits e join results r on r.id = e.result_id",
    "backup_cmd": ["sh", "-c", f"{BINARY} backup --data {{data}} --to {{out}}"],
    "restore_cmd": ["sh", "-c", f"{BINARY} restore {{out}}/dowel-* --data {{to}}"],
    "session_days": 60,
    "body_limit": 256 << 10,
    # the same log as a program sends it: odd bodies meet the reader of JSON behind a token that counts
    "json_door": {"path": f"/api/v1/sessions/{SEED['session']}/parts/0/results",
                  "headers": {"Authorization": f"Bearer {SEED['token']}", "Content-Type": "application/json"}},
    "tmpfs_mb": 40,
    "honest_kb": 96,
}
