#!/usr/bin/env python3
"""door: who may ask what: every route as every role and as nobody; sessions, links, forged requests, names of the host.

  door THEW
"""
import time

from house import Client, Failed, House, PASSWORD, expect, furnish, name, new_item, new_set, person_change, program, run

ROLES = ("coach", "assistant", "participant", "helper", "clinician", "nobody")
house = House(program())
clients = furnish(house)
coach = clients["coach"]
exercises = coach.get("/api/catalogue").json["exercises"]
GOAL = coach.get("/api/catalogue").json["goals"][0]["goal"]
MEASURE = coach.get("/api/catalogue").json["measures"]
WISHES = {"goals": [{"goal": GOAL, "weight": 1}], "minutes": 20, "positions": ["seated"], "kinds": ["body", "band"], "sets": 1, "rest_s": 90,
          "fixed": [], "excluded": []}
SLOT = {"exercise": exercises[0]["exercise"], "variant": exercises[0]["usual"], "sets": 1, "rest_s": 90}
BLOCK = {"block": "weeks", "version": 1, "called": "Weeks", "from_day": "2026-11-02", "until_day": "2026-12-20", "retired": False,
         "plan": {"sessions_a_week": 2, "weekdays": [1, 4], "class": None, "sets": 2, "easier_every_weeks": 4}}
ENTRY = {"day": "2026-11-20", "at": None, "replaces": None, "withdrawn": False, "note": ""}


def check_in(person):
    return {"check_ins": [{"record": name(), "person": person, **ENTRY, "room_c": 22, "humidity_percent": 40, "fatigue": 3, "sleep": 2,
                           "readiness": None, "answers": None}]}


def outcome(person):
    return {"outcomes": [{"record": name(), "person": person, **ENTRY, "measure": MEASURE[0]["measure"], "value": 15, "unit": MEASURE[0]["unit"],
                          "side": "both", "practice": False, "aid": None}]}


# The roles that are let in; all others hear 403, and nobody 401. Written down here once more, beside studio/may.c: two lists that have to
# agree. Ada is whose account the participant has, and whom helper and clinician may see; Ben is somebody else.
C, A, P, H, K = "coach", "assistant", "participant", "helper", "clinician"
ALL, TEAM, BOTH = {C, A, P, H, K}, {C, A}, {C, A, P, H}
TABLE = [
    ("GET", "/api/me", None, ALL),
    ("GET", "/api/accounts", None, {C}),
    ("POST", "/api/accounts", lambda: {"account": name(), "login": name()[:12], "role": "assistant", "called": "X", "person": None, "sees": []}, {C}),
    ("POST", "/api/accounts/anna/invitation", lambda: {}, {C}),
    ("DELETE", "/api/accounts/no-such", None, {C}),
    ("GET", "/api/access", None, {C}),
    ("GET", "/api/access?person=ada", None, {C, P}),
    ("GET", "/api/studio", None, TEAM),
    ("PUT", "/api/studio", lambda: {"called": "A studio", "zone": "Europe/Vienna", "language": "en",
                                    "settings": {"heat_caution_c": 27, "window_from_s": 60, "window_to_s": 90, "floor_s": 30}}, {C}),
    ("GET", "/api/catalogue", None, ALL),
    ("GET", "/api/today", None, TEAM),
    ("GET", "/api/people", None, ALL),
    ("POST", "/api/people", lambda: {"person": name(), **person_change("New")}, TEAM),
    ("GET", "/api/people/ada", None, BOTH),
    ("GET", "/api/people/ben", None, TEAM),
    ("GET", "/api/people/no-such", None, TEAM),
    ("PUT", "/api/people/ben", lambda: person_change("Ben"), TEAM),
    ("PUT", "/api/people/ada", lambda: person_change("Ada", exercises=["seated-row"]), TEAM),
    ("DELETE", "/api/people/ben", lambda: {"called": "not his name"}, {C}),
    ("GET", "/api/people/ada/export", None, {C, A, P}),
    ("GET", "/api/people/ben/export", None, TEAM),
    ("POST", "/api/people/ben/screening", lambda: {"answers": [{"question": "no-such", "answer": "yes", "note": ""}]}, TEAM),
    ("GET", "/api/people/ada/advice", None, BOTH),
    ("GET", "/api/people/ben/advice", None, TEAM),
    ("GET", "/api/people/ada/strength?exercise=seated-row", None, ALL),
    ("GET", "/api/people/ben/strength?exercise=seated-row", None, TEAM),
    ("GET", "/api/people/ada/strength.svg?exercise=seated-row", None, ALL),
    ("GET", "/api/people/ada/ladder.svg?exercise=seated-row", None, BOTH),
    ("GET", f"/api/set-line.svg?exercise={exercises[0]['exercise']}", None, ALL),
    ("GET", f"/api/figure.svg?variant={exercises[0]['usual']}", None, ALL),
    ("GET", "/api/people/ada/sets", None, BOTH),
    ("GET", "/api/people/ben/sets", None, TEAM),
    ("POST", "/api/sets", lambda: {"sets": [new_set("ada")]}, BOTH),
    ("POST", "/api/sets", lambda: {"sets": [new_set("ada"), new_set("ben")]}, TEAM),
    ("GET", "/api/people/ada/check-ins", None, BOTH),
    ("POST", "/api/check-ins", lambda: check_in("ada"), BOTH),
    ("POST", "/api/check-ins", lambda: check_in("ben"), TEAM),
    ("GET", "/api/people/ada/outcomes", None, ALL),
    ("POST", "/api/outcomes", lambda: outcome("ada"), TEAM),
    ("GET", "/api/people/ada/blocks", None, BOTH),
    ("POST", "/api/people/ada/blocks", lambda: BLOCK, TEAM),
    ("GET", "/api/kit", None, TEAM),
    ("GET", "/api/kit?person=ada", None, BOTH),
    ("GET", "/api/kit?person=ben", None, TEAM),
    ("POST", "/api/kit", lambda: new_item(name(), name()[:20], "ada"), TEAM),
    ("PUT", "/api/kit/red", lambda: new_item("red", "red", "ada"), TEAM),
    ("POST", "/api/kit/red/readings", lambda: {"readings": [{"reading": name(), "length_m": 3.0, "force_n": 30.0, "measured_day": None, "note": ""}]}, BOTH),
    ("POST", "/api/kit/blue/readings", lambda: {"readings": [{"reading": name(), "length_m": 3.0, "force_n": 33.0, "measured_day": None, "note": ""}]}, TEAM),
    ("GET", "/api/kit/blue/curve.svg", None, ALL),
    ("GET", "/api/kit/red/curve.svg", None, BOTH),
    ("POST", "/api/curve", lambda: {"rest_length_m": 2, "readings": [{"length_m": 3, "force_n": 30}], "width": None}, ALL),
    ("GET", "/api/classes", None, BOTH),
    ("GET", "/api/classes/no-such", None, BOTH),
    ("POST", "/api/classes", lambda: {"class": name(), "version": 1, "called": "A class", "wishes": WISHES, "slots": [SLOT], "retired": False}, TEAM),
    ("POST", "/api/compose", lambda: WISHES, TEAM),
    ("POST", "/api/compose/check", lambda: {"wishes": WISHES, "order": [SLOT]}, TEAM),
    ("GET", "/api/classes/no-such/fits", None, TEAM),
    ("GET", "/api/classes/no-such/fits?people=ada", None, BOTH),
    ("GET", "/api/export/people.csv", None, TEAM),
    ("GET", "/api/export/kit.csv", None, TEAM),
    ("GET", "/api/export/diary.csv", None, TEAM),
    ("GET", "/api/export/days.csv", None, TEAM),
    ("GET", "/api/export.zip", None, TEAM),
    ("POST", "/api/import", lambda: {"people": None, "kit": None, "diary": None, "days": None, "dry": True}, {C}),
]
OPEN = {("POST", "/api/login"), ("GET", "/api/invitation/{secret}"), ("POST", "/api/invitation"), ("GET", "/api/health"), ("GET", "/api/openapi.json")}
ELSEWHERE = {("POST", "/api/logout"), ("POST", "/api/password"), ("POST", "/api/advice/{advice}/accept"), ("POST", "/api/advice/{advice}/override"),
             ("DELETE", "/api/advice/{advice}/answer")}


def every_route_as_every_role():
    """Every route as every role and as nobody: let in, 403, or 401"""
    wrong = []
    for method, path, body, who in TABLE:
        for role in ROLES:
            answer = clients[role].ask(method, path, body() if body else None)
            expected = "401" if role == "nobody" else "in" if role in who else "403"
            obtained = str(answer.status) if answer.status in (401, 403) else "in"
            if answer.status >= 500:
                obtained = f"{answer.status}: {answer.body[:200]}"
            if expected != obtained:
                wrong.append(f"{method} {path} as {role}: expected {expected}, obtained {obtained} ({answer})")
    if wrong:
        raise Failed("\n".join(wrong))


def table_is_whole():
    """The table above asks every route that there is"""
    paths = house.description.patterns
    asked = {(method, next(known for regex, known in paths if regex.match(path.partition("?")[0]))) for method, path, _, _ in TABLE}
    there = {(method.upper(), path) for path, methods in house.description.whole["paths"].items() for method in methods}
    expect("routes that nobody asks", set(), there - asked - OPEN - ELSEWHERE)
    expect("routes that are not there", set(), asked - there)


def lists_hold_whom_they_may():
    """A list holds those whom the account may see, and no others"""
    for role, expected in (("coach", True), ("assistant", True), ("participant", False), ("helper", False), ("clinician", False)):
        people = {one["person"] for one in clients[role].get("/api/people").json}
        expect(f"{role} sees Ada", True, "ada" in people)
        expect(f"{role} sees Ben", expected, "ben" in people)


def token_is_asked_for():
    """Nothing is changed without the session's own token against forged requests"""
    body = {"sets": [new_set("ada")]}
    expect("no token", 403, coach.ask("POST", "/api/sets", body, {"X-CSRF-Token": None}).status)
    expect("another's token", 403, coach.ask("POST", "/api/sets", body, {"X-CSRF-Token": clients["helper"].token}).status)
    expect("an empty one", 403, coach.ask("POST", "/api/sets", body, {"X-CSRF-Token": ""}).status)
    expect("DELETE asks too", 403, coach.ask("DELETE", "/api/accounts/anna", None, {"X-CSRF-Token": None}).status)
    expect("PUT asks too", 403, coach.ask("PUT", "/api/studio", {}, {"X-CSRF-Token": None}).status)
    expect("reading asks for none", 200, coach.ask("GET", "/api/people", None, {"X-CSRF-Token": None}).status)
    expect("the right one", 200, coach.post("/api/sets", body).status)


def other_sites_are_refused():
    """What another site makes a browser send is refused, logins too"""
    login = {"login": "cora", "password": PASSWORD}
    for header, value, status in (("Origin", "http://evil.example.org", 403), ("Origin", "null", 403), ("Sec-Fetch-Site", "cross-site", 403),
                                  ("Sec-Fetch-Site", "same-site", 403), ("Origin", f"http://127.0.0.1:{house.port}", 200),
                                  ("Sec-Fetch-Site", "same-origin", 200)):
        expect(f"a login with {header}: {value}", status, Client(house).ask("POST", "/api/login", login, {header: value}).status)
        if status == 403:
            expect(f"a record with {header}: {value}", 403, coach.ask("POST", "/api/sets", {"sets": [new_set("ada")]}, {header: value}).status)
            expect(f"a link with {header}: {value}", 403, Client(house).ask("POST", "/api/invitation", {
                "secret": "x", "login": "x", "password": "x", "called": "x"}, {header: value}).status)


def host_is_looked_at():
    """Only its own names are answered to (DNS rebinding)"""
    for host, status in (("evil.example.org", 421), (f"evil.example.org:{house.port}", 421), ("127.0.0.1.example.org", 421), ("localhost", 200),
                         (f"LOCALHOST:{house.port}", 200), (f"127.0.0.1:{house.port}", 200), ("[::1]:1", 200), ("127.0.0.1:7060x", 421)):
        expect(f"/api/me for {host}", status, coach.ask("GET", "/api/me", None, {"Host": host}).status)
        page = coach.ask("GET", "/", None, {"Host": host}, judged=False).status
        expect(f"a page for {host}", status == 421, page == 421)


def cookie_is_well_made():
    """The cookie is out of reach of scripts and of other sites"""
    answer = Client(house).post("/api/login", {"login": "cora", "password": PASSWORD})
    parts = [part.strip().lower() for part in answer.headers["Set-Cookie"].split(";")]
    for part in ("httponly", "samesite=strict", "path=/"):
        expect(f"{part} in {parts}", True, part in parts)
    expect("secure is for https only", False, "secure" in parts)
    behind = House(program(), options=["--public-https", "--host", "studio.example.org"])
    try:
        link = behind.process.stdout.readline() + behind.process.stdout.readline()
        expect("the link is https", True, "https://studio.example.org/welcome#" in link)
        answer = Client(behind).ask("POST", "/api/invitation", {"secret": link.strip().partition("#")[2], "login": "cora", "password": PASSWORD,
                                                                "called": "Cora"}, {"Host": "studio.example.org", "Origin": "https://studio.example.org"})
        expect("comes in", 200, answer.status)
        expect("secure", True, "; Secure" in answer.headers["Set-Cookie"])
        expect("strict transport", True, answer.headers["Strict-Transport-Security"] is not None)
    finally:
        behind.close()


def sessions_end():
    """Logging out, another password, a closed account end sessions"""
    one, two = Client(house, "hugo"), Client(house, "hugo")
    expect("log out", 204, one.post("/api/logout", None).status)
    expect("is out", 401, one.get("/api/me").status)
    expect("the other is in", 200, two.get("/api/me").status)
    third = Client(house, "hugo")
    expect("the old one is wrong", 422, two.post("/api/password", {"old": "not the password", "new": "another lamp and kettle"}).status)
    expect("change", 204, two.post("/api/password", {"old": PASSWORD, "new": "another lamp and kettle"}).status)
    expect("the session that changed it stays", 200, two.get("/api/me").status)
    expect("others are out", 401, third.get("/api/me").status)
    expect("the old password", 401, Client(house).post("/api/login", {"login": "hugo", "password": PASSWORD}).status)
    expect("close", 204, coach.delete("/api/accounts/hugo").status)
    expect("closed", 401, two.get("/api/me").status)
    expect("the last coach stays", 409, coach.delete(f"/api/accounts/{coach.me['account']}").status)


def links_work_once():
    """A one-time link is told once, says what it is for, works once"""
    made = coach.post("/api/accounts", {"account": "ivy", "login": "ivy", "role": "assistant", "called": "Ivy", "person": None, "sees": []})
    secret = made.json["link"].partition("#")[2]
    expect("the secret is behind the #", True, len(secret) > 40 and "/welcome" in made.json["link"])
    expect("what for", "assistant", Client(house).get(f"/api/invitation/{secret}").json["role"])
    expect("no such link", 404, Client(house).get("/api/invitation/nothing").status)
    body = {"secret": secret, "login": "ivy", "password": "short", "called": "Ivy"}
    expect("a short password", 422, Client(house).post("/api/invitation", body).status)
    body["password"] = PASSWORD
    expect("used", 200, Client(house).post("/api/invitation", body).status)
    expect("used again", 404, Client(house).post("/api/invitation", body).status)
    expect("gone", 404, Client(house).get(f"/api/invitation/{secret}").status)


def guessing_is_slowed():
    """After many wrong passwords a login has to wait, whether there is one or not, with the same words"""
    said = set()
    for login in ("clara", "nobody-at-all"):
        statuses = []
        for _ in range(8):
            answer = Client(house).post("/api/login", {"login": login, "password": "wrong password"})
            statuses.append(answer.status)
            if answer.status == 401:
                said.add(answer.json["detail"])
            else:
                expect("says how long", True, int(answer.headers["Retry-After"]) >= 1)
        expect(f"{login}: wrong at first", 401, statuses[0])
        expect(f"{login}: too many in the end", 429, statuses[-1])
    expect("the same sentence", 1, len(said))


def looks_are_noted():
    """Who looks at somebody's records is in the log, once within a while; who looks at their own is not"""
    for _ in range(3):
        clients["assistant"].get("/api/people/ben/check-ins")
        clients["participant"].get("/api/people/ada/check-ins")
    def looks(person, called):
        return [one for one in coach.get(f"/api/access?person={person}&count=1000").json
                if one["account_called"] == called and one["action"] == "read" and one["what"] == "check-ins"]
    expect("Anna's look at Ben's", 1, len(looks("ben", "Anna")))
    expect("Ada's at her own", 0, len(looks("ada", "Adas")))


try:
    time.sleep(0)
    run([every_route_as_every_role, table_is_whole, lists_hold_whom_they_may, token_is_asked_for, other_sites_are_refused, host_is_looked_at,
         cookie_is_well_made, looks_are_noted, links_work_once, sessions_end, guessing_is_slowed])
finally:
    house.close()
