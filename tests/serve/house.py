"""house: a served studio for tests: the program, a studio of its own, accounts of every role, and eyes on every answer.

Knows how to start, ask and stop, and holds every answer under /api/ against the interface's own description (OpenAPI). Leaves to the
tests: what is right. All people and records are invented. One test is a function; `run` prints TAP.
"""
import http.client
import json
import os
import pathlib
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import traceback
import urllib.parse
import uuid

import jsonschema

TODAY_YEAR = time.gmtime().tm_year
PASSWORD = "kettle lamp orchard nine"


class Failed(AssertionError):
    pass


def expect(why, expected, obtained):
    if expected != obtained:
        raise Failed(f"{why}\n  expected: {expected!r}\n  obtained: {obtained!r}")


def name():
    return str(uuid.uuid4())


class Answer:
    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body

    @property
    def json(self):
        return json.loads(self.body)

    def pointers(self):
        return sorted(error["pointer"] for error in self.json["errors"])

    def __repr__(self):
        return f"{self.status} {self.body[:300]!r}"


class Description:
    """The OpenAPI description, as a judge of answers."""

    def __init__(self, whole):
        self.whole, self.seen, self.made = whole, set(), {}
        self.patterns = [(re.compile(re.sub(r"\\\{\w+\\\}", "[^/]+", re.escape(path)) + r"\Z"), path) for path in whole["paths"]]

    def judge(self, method, path, answer):
        path = path.partition("?")[0]
        known = next((pattern for regex, pattern in self.patterns if regex.match(path)), None)
        kind = answer.headers.get("Content-Type", "").partition(";")[0]
        if answer.status >= 400:
            if kind != "application/problem+json":
                raise Failed(f"{method} {path}: {answer.status} comes as {kind}")
            self.holds("Problem" if "faults" not in answer.json else "ImportProblem", answer.json, f"{method} {path}")
            return
        if known is None or method == "HEAD" or answer.status == 304:
            return
        operation = self.whole["paths"][known].get(method.lower())
        response = (operation or {}).get("responses", {}).get(str(answer.status))
        if response is None:
            raise Failed(f"{method} {path}: {answer.status} is not described")
        content = response.get("content", {})
        if bool(content) != bool(answer.body) or (content and kind not in content):
            raise Failed(f"{method} {path}: {kind} is not what is described: {list(content)}")
        self.seen.add((method, known))
        schema = content.get("application/json", {}).get("schema") if content else None
        if schema:
            self.check(json.dumps(schema), schema, answer.json, f"{method} {path}")

    def holds(self, component, value, where):
        self.check(component, {"$ref": f"#/components/schemas/{component}"}, value, where)

    def check(self, key, schema, value, where):
        if key not in self.made:
            self.made[key] = jsonschema.Draft202012Validator({**schema, "components": self.whole["components"]},
                                                             format_checker=jsonschema.FormatChecker())
        fault = next(iter(self.made[key].iter_errors(value)), None)
        if fault:
            raise Failed(f"{where}: the answer is not as described at /{'/'.join(map(str, fault.absolute_path))}: {fault.message[:300]}")


class Client:
    """A browser of its own: a connection, a cookie, a token."""

    def __init__(self, house, login=None):
        self.house, self.cookie, self.token, self.me, self.connection = house, None, None, None, None
        if login:
            self.enter("/api/login", {"login": login, "password": PASSWORD})

    def enter(self, path, body):
        answer = self.ask("POST", path, body)
        if answer.status != 200:
            raise Failed(f"{path}: {answer}")
        self.take_in(answer)
        return answer

    def take_in(self, answer):
        self.cookie = answer.headers["Set-Cookie"].partition(";")[0]
        self.me, self.token = answer.json, answer.json["csrf_token"]

    def ask(self, method, path, body=None, headers=None, raw=None, judged=True):
        given = {"Host": f"127.0.0.1:{self.house.port}"}
        if self.cookie:
            given["Cookie"] = self.cookie
        if self.token and method not in ("GET", "HEAD"):
            given["X-CSRF-Token"] = self.token
        if body is not None:
            raw = json.dumps(body).encode()
        if raw is not None:
            given["Content-Type"] = "application/json"
        given.update(headers or {})
        given = {key: value for key, value in given.items() if value is not None}
        for attempt in range(2):
            if self.connection is None:
                self.connection = http.client.HTTPConnection("127.0.0.1", self.house.port, timeout=30)
            try:
                self.connection.request(method, path, raw, given)
                response = self.connection.getresponse()
                answer = Answer(response.status, response.headers, response.read())
                break
            except (ConnectionError, http.client.HTTPException):
                self.connection.close()
                self.connection = None
                if attempt == 1 or method not in ("GET", "HEAD"):
                    raise
        if judged and path.startswith("/api/") and method != "HEAD":
            self.house.description.judge(method, path, answer)
        return answer

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def post(self, path, body, **more):
        return self.ask("POST", path, body, **more)

    def put(self, path, body, **more):
        return self.ask("PUT", path, body, **more)

    def delete(self, path, body=None, **more):
        return self.ask("DELETE", path, body, **more)


class House:
    """`thew serve` with a studio in a folder of its own."""

    def __init__(self, thew, studio=None, options=(), folder=None, environment=None, before=None):
        self.thew, self.options = thew, list(options)
        self.folder = folder or tempfile.mkdtemp(prefix="served-")
        self.own_folder = folder is None
        self.studio = studio or os.path.join(self.folder, "studio.thew")
        self.environment, self.before = {**os.environ, **(environment or {})}, before
        self.process = self.port = self.secret = self.description = None
        self.start()

    def start(self):
        self.process = subprocess.Popen([self.thew, "serve", "--studio", self.studio, "--port", "0", *self.options], stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, text=True, env=self.environment, preexec_fn=self.before)
        line = self.process.stdout.readline()
        found = re.search(r":(\d+)/$", line.strip()) or re.search(r":(\d+)/\s", line)
        if not found:
            raise Failed(f"the server did not start: {line}{self.process.communicate(timeout=20)}")
        self.port = int(found[1])
        self.wait()
        if self.description is None:
            self.description = Description(Client(self).get("/api/openapi.json", judged=False).json)

    def wait(self):
        until = time.time() + 10
        while time.time() < until:
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=1).close()
                return
            except OSError:
                time.sleep(0.02)

    def first_coach(self):
        """The first coach comes in by the link that the terminal shows."""
        while True:
            line = self.process.stdout.readline()
            if "#" in line:
                break
            if not line:
                raise Failed("no link was shown")
        self.secret = line.strip().partition("#")[2]
        coach = Client(self)
        coach.enter("/api/invitation", {"secret": self.secret, "login": "cora", "password": PASSWORD, "called": "Cora"})
        return coach

    def account(self, coach, login, role, person=None, sees=()):
        made = coach.post("/api/accounts", {"account": login, "login": login, "role": role, "called": login.capitalize(), "person": person,
                                            "sees": [{"person": one, "until_day": f"{TODAY_YEAR + 1}-12-31"} for one in sees]})
        if made.status != 201:
            raise Failed(f"an account for {login}: {made}")
        client = Client(self)
        client.enter("/api/invitation", {"secret": made.json["link"].partition("#")[2], "login": login, "password": PASSWORD,
                                         "called": login.capitalize()})
        return client

    def raw(self, data, seconds=5.0):
        """What comes back for bytes, until the server ends or is silent."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=seconds) as wire:
            wire.sendall(data)
            wire.settimeout(seconds)
            said = b""
            try:
                while chunk := wire.recv(65536):
                    said += chunk
            except (TimeoutError, ConnectionError):
                pass
            return said

    def stop(self, how=signal.SIGTERM, seconds=20):
        if self.process and self.process.poll() is None:
            self.process.send_signal(how)
            try:
                self.process.wait(seconds)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
                raise Failed("the server did not end") from None
        status = self.process.returncode if self.process else None
        for stream in (self.process.stdout, self.process.stderr):
            stream.close()
        return status

    def close(self):
        try:
            self.stop()
        finally:
            if self.own_folder:
                shutil.rmtree(self.folder, ignore_errors=True)


# --- invented people and records

def person_change(called, **more):
    return {"called": called, "sex": None, "birth_year": 1970, "height_m": 1.7, "mass_kg": 70, "condition": "ms", "endpoint": None,
            "weaker_side": None, "heat_sensitive": True, "note": "", "since_day": None, "left_day": None, "goals": [], "exercises": [],
            "limits": [], **more}


def new_set(person, **more):
    return {"record": name(), "person": person, "day": "2026-11-02", "at": None, "replaces": None, "withdrawn": False, "note": "",
            "exercise": "seated-row", "variant": None, "side": "both", "implement": "blue", "setting": None, "ended": "failure",
            "seconds": 61.5, "reserve_s": None, "exertion": None, **more}


def new_item(item, label, person=None, **more):
    return {"item": item, "person": person, "label": label, "kind": "band", "mass_kg": None, "rest_length_m": 2.0, "step": None, "note": "",
            "retired_day": None, **more}


def new_readings(item):
    return {"readings": [{"reading": f"{item}-{i}", "length_m": length, "force_n": force, "measured_day": "2026-10-01", "note": ""}
                         for i, (length, force) in enumerate([(2.5, 20), (3.0, 33), (4.0, 52)])]}


def furnish(house):
    """A coach, two people with kit and sets, a class; and an account of every role. Returns clients by name."""
    coach = house.first_coach()
    for person, called in (("ada", "Ada"), ("ben", "Ben")):
        expect("taken on", 201, coach.post("/api/people", {"person": person, **person_change(called, exercises=["seated-row"])}).status)
    expect("an item", 201, coach.post("/api/kit", new_item("blue", "blue")).status)
    expect("readings", 200, coach.post("/api/kit/blue/readings", new_readings("blue")).status)
    expect("an item of Ada's", 201, coach.post("/api/kit", new_item("red", "red", "ada")).status)
    answer = coach.post("/api/sets", {"sets": [new_set("ada", day=f"2026-11-{day:02}") for day in (2, 5, 9, 12)] + [new_set("ben")]})
    expect("sets", 200, answer.status)
    clients = {"coach": coach, "nobody": Client(house)}
    clients["assistant"] = house.account(coach, "anna", "assistant")
    clients["participant"] = house.account(coach, "adas", "participant", person="ada")
    clients["helper"] = house.account(coach, "hugo", "helper", sees=["ada"])
    clients["clinician"] = house.account(coach, "clara", "clinician", sees=["ada"])
    return clients


def get_exercise(client):
    """An exercise of the catalogue that is done with a band."""
    for exercise in client.get("/api/catalogue").json["exercises"]:
        if any(one["kind"] == "band" for one in exercise["variants"][0]["implements"]):
            return exercise
    raise Failed("no exercise with a band")


# --- TAP

def run(tests):
    """Each test is called with nothing; what it raises is its failure."""
    print(f"1..{len(tests)}", flush=True)
    failed = 0
    for number, test in enumerate(tests, 1):
        said = (test.__doc__ or test.__name__).strip().splitlines()[0].rstrip(".")
        try:
            test()
            print(f"ok {number} - {said}", flush=True)
        except Exception as error:  # pylint: disable=broad-except
            failed += 1
            print(f"not ok {number} - {said}", flush=True)
            text = str(error) if isinstance(error, Failed) else traceback.format_exc()
            print("\n".join("# " + line for line in text.splitlines()), flush=True)
    sys.exit(failed > 0)


def program():
    return str(pathlib.Path(sys.argv[1]).resolve())
