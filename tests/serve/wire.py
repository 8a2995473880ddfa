#!/usr/bin/env python3
"""wire: what comes over the wire: bodies of every wrong kind, sizes, methods, encodings, tags, pipelines, slow clients, and the end.

  wire THEW
"""
import gzip
import json
import os
import re
import signal
import socket
import subprocess
import threading
import time

from house import Client, Failed, House, expect, furnish, name, new_item, new_readings, new_set, person_change, program, run

house = House(program(), options=["--threads", "2", "--workers", "4"])
clients = furnish(house)
coach = clients["coach"]


def sent(raw, **headers):
    return coach.ask("POST", "/api/sets", raw=raw, headers=headers)


def wrong_kinds_of_content():
    """Another kind of content is 415; what is no JSON is 400, with line and column"""
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/jsonx", "text/json", None):
        headers = {"Content-Type": kind}
        expect(f"Content-Type: {kind}", 415, coach.ask("POST", "/api/sets", raw=b'{"sets": []}', headers=headers).status)
    expect("with a charset", 422, coach.ask("POST", "/api/sets", raw=b'{"sets": []}', headers={"Content-Type": "application/JSON; charset=utf-8"}).status)
    for why, raw in (("nothing", b""), ("a word", b"hello"), ("cut off", b'{"sets": ['), ("two documents", b"{}{}"), ("a trailing comma", b'{"sets": [],}'),
                     ("bad UTF-8", b'{"sets": "\xff\xfe"}'), ("a lone surrogate", b'{"sets": "\\ud800"}'), ("a zero byte", b'{"sets": "\\u0000"}'),
                     ("NaN", b'{"sets": NaN}'), ("too large a number", b'{"sets": 1e999}'), ("a name twice", b'{"sets": [], "sets": []}'),
                     ("a comment", b'{"sets": [] /* none */}'), ("deep", b'{"sets": ' + b"[" * 100000 + b"]" * 100000 + b"}"),
                     ("a byte order mark", b"\xef\xbb\xbf{}"), ("binary", bytes(range(256)))):
        expect(why, 400, sent(raw).status)


def every_fault_at_once():
    """Every fault is named at once, by its place"""
    bad = new_set("ada", side="up", seconds="many", day="2026-02-30", exertion=11, colour="blue")
    del bad["note"]
    answer = coach.post("/api/sets", {"sets": [new_set("ada"), bad]})
    expect("status", 422, answer.status)
    expect("places", ["/sets/1/colour", "/sets/1/day", "/sets/1/exertion", "/sets/1/note", "/sets/1/seconds", "/sets/1/side"], answer.pointers())
    answer = coach.post("/api/sets", {"sets": [new_set("ada", exercise="no-such-exercise"), new_set("ada", seconds=3599.5, variant="no-such")]})
    expect("what the studio finds", 422, answer.status)
    expect("places of both", {0, 1}, {int(pointer.split("/")[2]) for pointer in answer.pointers()})
    expect("not even the good one was kept", 422, coach.post("/api/sets", {"sets": [new_set("ada", record="good-one"), bad]}).status)
    expect("", [], [one for one in coach.get("/api/people/ada/sets").json if one["record"] == "good-one"])


def wrong_members():
    """Members: unknown, missing, null where they may not be, of another kind"""
    whole = {"person": "new", **person_change("New")}
    for why, change, pointer in (
            ("unknown", {"naem": "x"}, "/naem"), ("a slash and a tilde in a name", {"a/b~c": 1}, "/a~1b~0c"), ("null", {"called": None}, "/called"),
            ("a number", {"called": 5}, "/called"), ("an array", {"goals": "legs"}, "/goals"), ("in an array", {"goals": [1]}, "/goals/0"),
            ("an object", {"limits": [3]}, "/limits/0"), ("in an object of an array", {"limits": [{"kind": "movement", "what": "x", "reason": "", "until_day": "soon"}]}, "/limits/0/until_day"),
            ("half a year", {"birth_year": 1970.5}, "/birth_year"), ("too tall", {"height_m": 25}, "/height_m"), ("a line break", {"called": "a\nb"}, "/called"),
            ("too long", {"called": "x" * 101}, "/called"), ("only blanks", {"called": "  "}, "/called"), ("a word", {"sex": "F"}, "/sex"),
            ("yes", {"heat_sensitive": "yes"}, "/heat_sensitive")):
        answer = coach.post("/api/people", {**whole, **change})
        expect(why, 422, answer.status)
        expect(why, [pointer], answer.pointers())
    for missing in whole:
        answer = coach.post("/api/people", {key: value for key, value in whole.items() if key != missing})
        expect(f"without {missing}", (422, [f"/{missing}"]), (answer.status, answer.pointers()))
    expect("the hint", True, "called" in coach.post("/api/people", {**whole, "caled": "x"}).json["errors"][0]["detail"])
    expect("nobody came of it", 404, coach.get("/api/people/new").status)


def too_large():
    """A megabyte is taken in, more is 413; files may have 32"""
    expect("just below", 422, sent(b'{"sets": [' + b" " * ((1 << 20) - 12) + b"]}").status)
    expect("just above", 413, sent(b'{"sets": [' + b" " * (1 << 20) + b"]}").status)
    expect("much more", 413, sent(b" " * (20 << 20)).status)
    files = {"people": None, "kit": None, "diary": "x" * (5 << 20), "days": None, "dry": True}
    expect("five megabytes of a file", 422, coach.post("/api/import", files).status)
    expect("beyond", 413, coach.ask("POST", "/api/import", raw=b" " * (33 << 20)).status)
    said = house.raw(b"POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 99999999999\r\n\r\n{", 1)
    expect("a claim alone keeps it waiting, no more", b"", said)
    expect("still serves", 200, coach.get("/api/me").status)


def paths_and_methods():
    """What is not there is 404, what is not done that way 405 with Allow"""
    for path in ("/api", "/api/", "/api/nothing", "/api/people/", "/api/people/ada/", "/api/people//sets", "/api/people/%", "/api/people/%00",
                 "/api/people/%ff", "/api/people/%zz", "/api/Me", "/api/me/x", "/no.thing", "/assets/none.js", "/api/../etc/passwd"):
        expect(path, 404, coach.get(path, judged=path.startswith("/api/")).status)
    for method, path, allow in (("PUT", "/api/people", "GET, HEAD, POST"), ("POST", "/api/people/ada", "GET, HEAD, PUT, DELETE"), ("DELETE", "/api/me", "GET, HEAD"),
                                ("GET", "/api/login", "POST"), ("PATCH", "/api/people/ada", "GET, HEAD, PUT, DELETE"), ("OPTIONS", "/api/sets", "POST")):
        answer = coach.ask(method, path)
        expect(f"{method} {path}", (405, allow), (answer.status, answer.headers["Allow"]))
    expect("a page", 405, coach.ask("POST", "/", judged=False).status)
    expect("an identifier with a blank", 404, coach.get("/api/people/zo%C3%AB%20%26%20co").status)


def parameters():
    """Parameters: unknown ones and wrong ones are 400"""
    for query in ("day=2026-02-30", "day=today", "dya=2026-02-01", "day=2026-02-01&x=1", "day=%ff", "=", "=x", "&=&", "da", "day%20day=1"):
        expect(query, 400, coach.get(f"/api/today?{query}").status)
    for query in ("from=x", "history=1", "history=TRUE", "until=2026-13-01"):
        expect(query, 400, coach.get(f"/api/people/ada/sets?{query}").status)
    expect("an exercise is missing", 400, coach.get("/api/people/ada/strength").status)
    expect("a side", 400, coach.get("/api/people/ada/strength?exercise=seated-row&side=middle").status)
    expect("a width", 400, coach.get("/api/kit/blue/curve.svg?width=99999").status)
    expect("in order", 200, coach.get("/api/people/ada/sets?from=2026-11-01&until=2026-11-30&history=true").status)


def repeats_and_conflicts():
    """Sending again is harmless; something else of that name is a conflict, and changes nothing"""
    body = {"sets": [new_set("ada"), new_set("ada")]}
    expect("kept", ["kept", "kept"], [one["status"] for one in coach.post("/api/sets", body).json["results"]])
    expect("again", ["repeated", "repeated"], [one["status"] for one in coach.post("/api/sets", body).json["results"]])
    body["sets"].append(new_set("ada"))
    expect("one more", ["repeated", "repeated", "kept"], [one["status"] for one in coach.post("/api/sets", body).json["results"]])
    other = {"sets": [{**body["sets"][0], "seconds": 12.0}, new_set("ada", record="not-kept")]}
    expect("another", 409, coach.post("/api/sets", other).status)
    expect("nothing of it", [], [one for one in coach.get("/api/people/ada/sets").json if one["record"] == "not-kept"])
    correction = new_set("ada", replaces=body["sets"][0]["record"], seconds=44.0)
    expect("a correction", 200, coach.post("/api/sets", {"sets": [correction]}).status)
    expect("a second one of the same", 409, coach.post("/api/sets", {"sets": [new_set("ada", replaces=body["sets"][0]["record"])]}).status)
    current = {one["record"]: one["current"] for one in coach.get("/api/people/ada/sets?history=true").json}
    expect("history", (False, True), (current[body["sets"][0]["record"]], current[correction["record"]]))
    person = {"person": "again", **person_change("Again")}
    expect("a person", (201, 201), (coach.post("/api/people", person).status, coach.post("/api/people", person).status))
    expect("another of that name", 409, coach.post("/api/people", {**person, "called": "Other"}).status)
    expect("an item's label", 409, coach.post("/api/kit", new_item("blue-2", "blue")).status)
    expect("an item's address", 422, coach.put("/api/kit/blue", new_item("red", "blue")).status)
    expect("readings again", 200, coach.post("/api/kit/blue/readings", new_readings("blue")).status)


def texts_stay_texts():
    """Whatever is typed comes back as it was, and never as a part of a drawing"""
    nasty = "<script>alert(1)</script>\"'&</svg>]]> ẞ 🏋"
    expect("a person", 201, coach.post("/api/people", {"person": "nasty", **person_change(nasty)}).status)
    expect("comes back", nasty, coach.get("/api/people/nasty").json["called"])
    expect("an item", 201, coach.post("/api/kit", new_item("nasty", nasty)).status)
    answer = coach.post("/api/kit/nasty/readings", new_readings("nasty"))
    for svg in (answer.json["curve"]["svg"], coach.get("/api/kit/nasty/curve.svg").body.decode()):
        expect("no script", False, "<script" in svg.lower())
        expect("no end of the drawing", 1, svg.count("</svg>"))
    headers = coach.get("/api/kit/nasty/curve.svg").headers
    expect("a drawing may do nothing", True, headers["Content-Security-Policy"].startswith("default-src 'none'"))


def every_answer_has_its_headers():
    """Every answer forbids to be framed, sniffed, kept"""
    for path in ("/", "/api/me", "/api/nothing", "/nothing.js", "/api/kit/blue/curve.svg"):
        headers = coach.get(path, judged=False).headers
        policy = headers["Content-Security-Policy"]
        expect(f"{path}: frames", True, "frame-ancestors 'none'" in policy)
        expect(f"{path}: scripts of its own only", True, "unsafe-inline" not in policy.partition("script-src")[2].partition(";")[0] and "*" not in policy)
        for header, value in (("X-Content-Type-Options", "nosniff"), ("Referrer-Policy", "no-referrer"), ("Cross-Origin-Opener-Policy", "same-origin"),
                              ("Cross-Origin-Resource-Policy", "same-origin")):
            expect(f"{path}: {header}", value, headers[header])
        if path.startswith("/api/"):
            expect(f"{path}: not kept", "no-store", headers["Cache-Control"])


def tags_and_encodings():
    """Pages: encodings that are asked for, tags, what may be kept for ever; deep links are the desk's"""
    page = coach.get("/", headers={"Accept-Encoding": "identity"}, judged=False)
    expect("a page", (200, "text/html; charset=utf-8", "no-cache"), (page.status, page.headers["Content-Type"], page.headers["Cache-Control"]))
    for path in ("/person/ada", "/class/x/fit", "/kit", "/welcome"):
        expect(path, page.body, coach.get(path, headers={"Accept-Encoding": "identity"}, judged=False).body)
    asset = re.search(rb'src="(/assets/[^"]+\.js)"', page.body)
    expect("the page has a script", True, asset is not None)
    path, bodies = asset[1].decode(), {}
    for accept, encoding in (("gzip", "gzip"), ("br;q=1.0, gzip;q=0.5", "br"), ("br;q=0, gzip", "gzip"), ("identity", None), ("", None), ("gzip;q=0", None)):
        answer = coach.get(path, headers={"Accept-Encoding": accept}, judged=False)
        expect(f"{accept!r}", (200, encoding), (answer.status, answer.headers["Content-Encoding"]))
        expect("immutable", True, "immutable" in answer.headers["Cache-Control"])
        expect("varies", "Accept-Encoding", answer.headers["Vary"])
        bodies[encoding] = answer
    expect("the same script", bodies[None].body, gzip.decompress(bodies["gzip"].body))
    expect("a tag for each form", 3, len({one.headers["ETag"] for one in bodies.values()}))
    tag = bodies["gzip"].headers["ETag"]
    for given, status in ((tag, 304), ("W/" + tag, 304), (f'"other", {tag}', 304), ("*", 304), ('"other"', 200), (tag[:-2] + '"', 200)):
        answer = coach.get(path, headers={"Accept-Encoding": "gzip", "If-None-Match": given}, judged=False)
        expect(f"If-None-Match: {given}", (status, 0 if status == 304 else len(bodies["gzip"].body)), (answer.status, len(answer.body)))
    tag = coach.get("/api/catalogue").headers["ETag"]
    expect("the catalogue", 304, coach.get("/api/catalogue", headers={"If-None-Match": tag}).status)


def heads():
    """HEAD says what GET would, without a body"""
    for path in ("/", "/api/me", "/api/people", "/api/nothing", "/api/kit/blue/curve.svg"):
        get, head = coach.get(path, judged=False), coach.ask("HEAD", path, judged=False)
        for header in ("Content-Type", "Content-Length", "Cache-Control"):
            expect(f"{path}: {header}", (get.status, get.headers[header]), (head.status, head.headers[header]))
        expect(f"{path}: no body", b"", head.body)


def wire_of(path, body=None, **more):
    lines = [f"{'POST' if body else 'GET'} {path} HTTP/1.1", f"Host: 127.0.0.1:{house.port}", f"Cookie: {coach.cookie}", f"X-CSRF-Token: {coach.token}"]
    if body:
        lines += ["Content-Type: application/json", f"Content-Length: {len(body)}"]
    lines += [f"{key}: {value}" for key, value in more.items()]
    return ("\r\n".join(lines) + "\r\n\r\n").encode() + (body or b"")


def pipelines():
    """Requests one behind the other on one connection are answered in their order"""
    sets = [json.dumps({"sets": [new_set("ada", record=f"pipelined-{i}")]}).encode() for i in range(20)]
    data = b"".join(wire_of("/api/sets", one) + wire_of("/api/health") for one in sets) + wire_of("/api/me", Connection="close")
    said = house.raw(data, 20)
    expect("all are answered", 41, said.count(b"HTTP/1.1 200 OK"))
    places = [said.find(f"pipelined-{i}".encode() + b'"') for i in range(20)]
    expect("in their order", True, places == sorted(places) and places[0] >= 0)


def odd_requests():
    """What is no HTTP, or too much of it, is refused, and nobody else notices"""
    for why, data in (("rubbish", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc" * 20), ("no host", b"GET /api/me HTTP/1.1\r\n\r\n"), ("a line without end", b"GET /" + b"a" * 100000),
                      ("headers without end", b"GET / HTTP/1.1\r\n" + b"X-A: " + b"b" * 100000), ("a header's line end", b"GET / HTTP/1.1\r\nHost: localhost\r\nX\r\n\r\n"),
                      ("two lengths", b"POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nabcdef"),
                      ("a negative length", b"POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Length: -5\r\n\r\n")):
        said = house.raw(data, 1)
        expect(f"{why}: {said[:80]}", True, not said.startswith(b"HTTP/1.1 2"))
    chunked = b"5\r\n{\"log\r\n3\r\nin\"\r\n0\r\n\r\n"
    said = house.raw(b"POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n" + chunked, 2)
    expect("in chunks", True, said.startswith(b"HTTP/1.1 400"))
    expect("still serves", 200, coach.get("/api/me").status)


def slow_clients():
    """Clients who send a byte a second, or never read, hold up nobody"""
    slow = []
    for _ in range(50):
        wire = socket.create_connection(("127.0.0.1", house.port))
        wire.sendall(b"POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 50\r\n\r\n{")
        slow.append(wire)
    deaf = socket.create_connection(("127.0.0.1", house.port))
    deaf.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
    deaf.sendall(wire_of("/api/catalogue") * 50)
    begun = time.time()
    for _ in range(50):
        expect("others", 200, coach.get("/api/me").status)
    expect("soon", True, time.time() - begun < 5)
    for wire in (*slow, deaf):
        wire.close()
    expect("and after", 200, coach.get("/api/me").status)


def take_on(people):
    for person in people:
        expect("taken on", 201, coach.post("/api/people", {"person": person, **person_change(person.capitalize())}).status)


def everyone_at_once():
    """32 clients at once, each with its own records: every one is there once"""
    said, wrong = [], []
    take_on(f"crowd-{number}" for number in range(32))

    def work(number):
        try:
            client = Client(house)
            client.cookie, client.token = coach.cookie, coach.token
            for i in range(5):
                answer = client.post("/api/sets", {"sets": [new_set(f"crowd-{number}", record=f"at-once-{number}-{i}")]})
                said.append(answer.status)
                client.get("/api/people/ben/sets")
        except Exception as error:  # pylint: disable=broad-except
            wrong.append(repr(error))

    threads = [threading.Thread(target=work, args=(number,)) for number in range(32)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    expect("nothing went wrong", [], wrong[:3])
    expect("all kept", {200}, set(said))
    records = [one["record"] for number in range(32) for one in coach.get(f"/api/people/crowd-{number}/sets").json]
    expect("each once", (160, 160), (len(records), len(set(records))))


def imports():
    """Files: taken in once, repeated harmlessly, every fault with its line"""
    people = coach.get("/api/export/people.csv").body.decode()
    files = {"people": people, "kit": None, "diary": None, "days": None, "dry": False}
    answer = coach.post("/api/import", files)
    expect("the same again", (200, 0), (answer.status, answer.json["people"]))
    bad = coach.post("/api/import", {**files, "people": "person,birth_year\nzoe,19x4\nzoe,1970\n"})
    expect("faults", 422, bad.status)
    expect("with their lines", True, len(bad.json["faults"]) >= 2 and {fault["file"] for fault in bad.json["faults"]} == {"people.csv"}
           and all(fault["line"] >= 1 for fault in bad.json["faults"]))
    expect("and in the body", {"/people"}, set(bad.pointers()))


def the_port_is_taken():
    """A port that is taken: one sentence, exit status 1"""
    done = subprocess.run([program(), "serve", "--studio", os.path.join(house.folder, "other.thew"), "--port", str(house.port)], capture_output=True,
                          text=True, timeout=20, check=False)
    expect("exit status", 1, done.returncode)
    expect("one sentence", 1, len(done.stderr.strip().splitlines()))
    expect("says which", True, f"port {house.port}" in done.stderr and "taken" in done.stderr)
    for arguments, status in ((["--port", "70000"], 2), (["--port", "x"], 2), (["--address", "nowhere"], 1), (["more"], 2)):
        done = subprocess.run([program(), "serve", "--studio", os.path.join(house.folder, "other.thew"), *arguments], capture_output=True, text=True,
                              timeout=20, check=False)
        expect(f"{arguments}: {done.stderr}", (status, 1), (done.returncode, len(done.stderr.strip().splitlines())))


def ends_while_serving():
    """SIGTERM while 16 clients write: what was acknowledged is there, and it ends by itself within seconds"""
    acknowledged, stop = [], threading.Event()
    take_on(f"last-{number}" for number in range(16))

    def work(number):
        client = Client(house)
        client.cookie, client.token = coach.cookie, coach.token
        i = 0
        while not stop.is_set():
            record = f"ending-{number}-{i}"
            i += 1
            try:
                if client.ask("POST", "/api/sets", {"sets": [new_set(f"last-{number}", record=record)]}, judged=False).status == 200:
                    acknowledged.append(record)
            except Exception:  # pylint: disable=broad-except
                return

    threads = [threading.Thread(target=work, args=(number,)) for number in range(16)]
    for thread in threads:
        thread.start()
    time.sleep(1)
    begun = time.time()
    house.process.send_signal(signal.SIGTERM)
    status = house.process.wait(20)
    took_s = time.time() - begun
    stop.set()
    for thread in threads:
        thread.join()
    expect("exit status", 0, status)
    expect(f"soon ({took_s:.1f} s)", True, took_s < 10)
    house.start()
    again = Client(house)
    again.cookie, again.token = coach.cookie, coach.token
    there = {one["record"] for number in range(16) for one in again.get(f"/api/people/last-{number}/sets").json}
    expect("something was at stake", True, len(acknowledged) > 16)
    expect("none is lost", [], [record for record in acknowledged if record not in there])


try:
    run([wrong_kinds_of_content, every_fault_at_once, wrong_members, too_large, paths_and_methods, parameters, repeats_and_conflicts, texts_stay_texts,
         every_answer_has_its_headers, tags_and_encodings, heads, pipelines, odd_requests, slow_clients, everyone_at_once, imports, the_port_is_taken,
         ends_while_serving])
finally:
    house.close()
