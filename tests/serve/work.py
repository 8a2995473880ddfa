#!/usr/bin/env python3
"""work: a day at the desk through the interface: people, screening, kit, sets, advice and the answers to it, classes, blocks, check-ins,
outcome measures, files. Every answer is held against the interface's description; in the end every route has been asked.

  work THEW
"""
import io
import json
import zipfile

from house import Client, House, expect, furnish, name, new_item, new_readings, new_set, person_change, program, run

house = House(program())
clients = furnish(house)
coach = clients["coach"]
TODAY = coach.me["studio"]["today"]
catalogue = coach.get("/api/catalogue").json


def mild_answers():
    """Answers of somebody in good health: no, the first choice, an ordinary blood pressure."""
    def answer(question):
        usual = {"yes_no": "no", "number": "75" if question["question"] == "diastolic" else "120"}
        return usual.get(question["kind"]) or question["choices"][0]["choice"]
    return [{"question": question["question"], "answer": answer(question), "note": ""} for question in catalogue["screening"]]


def people():
    """Take on, change, screen"""
    goal = catalogue["goals"][0]["goal"]
    whole = {"person": "eve", **person_change("Eve", goals=[goal], exercises=["seated-row"], sex="female", since_day="2026-01-05", note="Two\nlines.",
                                              limits=[{"kind": "position", "what": "lying", "reason": "cannot get up again", "until_day": None}])}
    made = coach.post("/api/people", whole)
    expect("made", 201, made.status)
    expect("as it was given", whole, {key: made.json[key] for key in whole})
    expect("not screened", "not_asked", made.json["screening"]["verdict"])
    changed = coach.put("/api/people/eve", {key: value for key, value in {**whole, "called": "Eva", "limits": []}.items() if key != "person"})
    expect("changed", ("Eva", []), (changed.json["called"], changed.json["limits"]))
    screened = coach.post("/api/people/eve/screening", {"answers": mild_answers()})
    expect(f"screened: {screened}", 200, screened.status)
    expect("nothing is missing", [], screened.json["missing"])
    expect("it is kept", screened.json, coach.get("/api/people/eve").json["screening"])


def advice():
    """Advice: made, accepted, taken back, overridden, settled by the set"""
    for day in ("2026-11-14", "2026-11-17", "2026-11-20"):
        expect("a set", 200, coach.post("/api/sets", {"sets": [new_set("ada", day=day, seconds=70)]}).status)
    expect("screened", 200, coach.post("/api/people/ada/screening", {"answers": mild_answers()}).status)
    whole = coach.get(f"/api/people/ada/advice?day={TODAY}")
    expect(f"advice: {whole}", 200, whole.status)
    expect(f"for an exercise: {whole.json['notes']}", True, len(whole.json["advised"]) > 0)
    one = whole.json["advised"][0]
    odds = one["odds"]
    expect("odds add up", True, abs(odds["floor"] + odds["early"] + odds["window"] + odds["beyond"] - 1) < 1e-9)
    expect("one rung is advised", 1, sum(rung["advised"] for rung in one["ladder"]))
    expect("the same again", whole.json, coach.get(f"/api/people/ada/advice?day={TODAY}").json)
    path = f"/api/advice/{one['advice']}"
    expect("accepted", "taken", coach.post(f"{path}/accept", {}).json["became"])
    expect("accepted again", 200, coach.post(f"{path}/accept", {}).status)
    expect("taken back", "open", coach.delete(f"{path}/answer").json["became"])
    rung = next((rung for rung in one["ladder"] if not rung["advised"]), one["ladder"][0])
    choice = {"override": name(), "variant": rung["variant"], "implement": rung["implement"], "setting": rung["setting"], "reason": "a long week"}
    overridden = coach.post(f"{path}/override", choice)
    expect(f"overridden: {overridden}", ("overridden", "a long week"), (overridden.json["became"], overridden.json["override"]["reason"]))
    expect("an override without a reason", 422, coach.post(f"{path}/override", {**choice, "override": name(), "reason": ""}).status)
    expect("a load that there is not", 422, coach.post(f"{path}/override", {**choice, "override": name(), "implement": "no such band"}).status)
    expect("no such advice", 404, coach.post("/api/advice/none/accept", {}).status)
    expect("not the participant's to decide", 403, clients["participant"].post(f"{path}/accept", {}).status)
    expect("the ladder's drawing", 200, coach.get(f"/api/people/ada/ladder.svg?exercise={one['exercise']}&side={one['side']}&day={TODAY}").status)
    today = coach.get("/api/today").json
    expect("today is today", TODAY, today["day"])


def strength():
    """Strength over months, in numbers and drawn"""
    answer = coach.get("/api/people/ada/strength?exercise=seated-row&side=both")
    expect(f"{answer}", 200, answer.status)
    expect("estimates", True, all(one["low"] <= one["percent"] <= one["high"] for one in answer.json["estimates"]) and answer.json["estimates"] != [])
    svg = coach.get("/api/people/ada/strength.svg?exercise=seated-row&side=both&width=500").body
    expect("a drawing", True, svg.startswith(b"<svg") or b"<svg" in svg[:200])
    expect("no such exercise", 404, coach.get("/api/people/ada/strength?exercise=none").status)


def check_ins():
    """A check-in has its verdict, a heavy one asks first or says not today"""
    def given(**more):
        return {"record": name(), "person": "ben", "day": TODAY, "at": None, "replaces": None, "withdrawn": False, "note": "", "room_c": 21,
                "humidity_percent": 40, "fatigue": 2, "sleep": 2, "readiness": None, "answers": None, **more}
    answer = coach.post("/api/check-ins", {"check_ins": [given()]})
    expect(f"{answer}", (200, "go"), (answer.status, answer.json["results"][0]["verdict"]))
    hot = coach.post("/api/check-ins", {"check_ins": [given(room_c=38, humidity_percent=70)]})
    expect("in great heat", True, hot.json["results"][0]["verdict"] != "go" and hot.json["results"][0]["words"] != [])
    listed = coach.get("/api/people/ben/check-ins").json
    expect("both are kept", 2, len(listed))
    expect("with heat", True, any(one["heat_index_c"] and one["heat_index_c"] > 38 for one in listed))
    expect("an answer that is none", 422, coach.post("/api/check-ins", {"check_ins": [given(answers={"no-such": "yes"})]}).status)


def outcomes():
    """Outcome measures with what a change means"""
    measure = next(one for one in catalogue["measures"] if one["measure"] == "five-times-sit-to-stand")
    def given(day, value, **more):
        return {"record": name(), "person": "ben", "day": day, "at": f"{day}T10:00:00Z", "replaces": None, "withdrawn": False, "note": "",
                "measure": measure["measure"], "value": value, "unit": measure["unit"], "side": "both", "practice": False, "aid": None, **more}
    answer = coach.post("/api/outcomes", {"outcomes": [given("2026-09-01", 20), given("2026-11-01", 12.5)]})
    expect(f"{answer}", 200, answer.status)
    listed = coach.get("/api/people/ben/outcomes").json
    expect("values as they were", [12.5, 20], [one["value"] for one in listed])
    expect("the instant too", "2026-11-01T10:00:00Z", listed[0]["at"])
    expect("a change is told of", True, listed[0]["change_words"] is not None)


def kit():
    """Kit: added, measured, changed, retired; curves while typing"""
    item = new_item("green", "green")
    expect("added", 201, coach.post("/api/kit", item).status)
    expect("again", 201, coach.post("/api/kit", item).status)
    measured = coach.post("/api/kit/green/readings", new_readings("green")).json
    expect("three readings", 3, len(measured["readings"]))
    expect("a curve", True, measured["curve"]["at_double_n"] > 20)
    typed = coach.post("/api/curve", {"rest_length_m": 2.0, "readings": [{"length_m": one["length_m"], "force_n": one["force_n"]} for one in measured["readings"]],
                                      "width": 400}).json
    expect("the same curve as one types", True, abs(typed["at_double_n"] - measured["curve"]["at_double_n"]) < 1e-9)
    expect("shorter than at rest", 422, coach.post("/api/curve", {"rest_length_m": 2.0, "readings": [{"length_m": 1.0, "force_n": 5}], "width": None}).status)
    retired = coach.put("/api/kit/green", {**item, "retired_day": TODAY, "note": "torn"}).json
    expect("retired", TODAY, retired["retired_day"])
    expect("no such item", 404, coach.put("/api/kit/none", new_item("none", "none")).status)


def classes():
    """Classes: composed, judged, kept version by version, fitted to each"""
    wishes = {"goals": [{"goal": one["goal"], "weight": 1} for one in catalogue["goals"][:3]], "minutes": 30, "positions": ["seated", "standing"],
              "kinds": ["body", "band"], "sets": 1, "rest_s": 90, "fixed": [], "excluded": []}
    plan = coach.post("/api/compose", wishes)
    expect(f"composed: {plan}", 200, plan.status)
    expect("within the minutes", True, 0 < plan.json["minutes"] <= 30)
    slots = [{key: slot[key] for key in ("exercise", "variant", "sets", "rest_s")} for slot in plan.json["slots"]]
    for slot in slots:
        slot["rest_s"] = 90
    judged = coach.post("/api/compose/check", {"wishes": wishes, "order": slots})
    expect("its own order breaks nothing", [], judged.json["broken"])
    twice = coach.post("/api/compose/check", {"wishes": wishes, "order": slots + slots[:1]})
    expect("twice is found", True, len(twice.json["broken"]) > 0)
    given = {"class": "thursday", "version": 1, "called": "Thursday", "wishes": wishes, "slots": slots, "retired": False}
    kept = coach.post("/api/classes", given)
    expect(f"kept: {kept}", 200, kept.status)
    expect("as it was given", given, {key: kept.json[key] for key in given})
    expect("again", 200, coach.post("/api/classes", given).status)
    expect("another first version", 409, coach.post("/api/classes", {**given, "called": "Friday"}).status)
    expect("the next", 2, coach.post("/api/classes", {**given, "version": 2, "called": "Thursday, longer"}).json["version"])
    expect("one line", [("thursday", 2)], [(one["class"], one["version"]) for one in coach.get("/api/classes").json])
    expect("read", "Thursday, longer", coach.get("/api/classes/thursday").json["called"])
    fits = coach.get(f"/api/classes/thursday/fits?people=ada,ben&day={TODAY}")
    expect(f"fits: {fits}", 200, fits.status)
    expect("a cell for each slot", [len(slots)] * 2, [len(one["cells"]) for one in fits.json["people"]])
    expect("of everybody", 200, coach.get("/api/classes/thursday/fits").status)
    expect("no such goal", 422, coach.post("/api/compose", {**wishes, "goals": [{"goal": "none", "weight": 1}]}).status)


def blocks():
    """Training blocks, version by version"""
    given = {"block": "autumn", "version": 1, "called": "Autumn", "from_day": "2026-11-02", "until_day": "2026-12-20", "retired": False,
             "plan": {"sessions_a_week": 2, "weekdays": [1, 4], "class": None, "sets": 2, "easier_every_weeks": None}}
    expect("kept", given, coach.post("/api/people/ada/blocks", given).json)
    expect("the next", 2, coach.post("/api/people/ada/blocks", {**given, "version": 2}).json["version"])
    expect("a gap", 409, coach.post("/api/people/ada/blocks", {**given, "version": 4}).status)
    expect("ends before it begins", 422, coach.post("/api/people/ada/blocks", {**given, "version": 3, "until_day": "2026-01-01"}).status)
    expect("listed", [2], [one["version"] for one in coach.get("/api/people/ada/blocks").json])


def drawings():
    """Drawings: a set, a figure"""
    exercise = catalogue["exercises"][0]
    for path in (f"/api/set-line.svg?exercise={exercise['exercise']}&ended=failure&seconds=72&p10=50&p50=70&p90=95&width=600",
                 f"/api/set-line.svg?exercise={exercise['exercise']}&variant={exercise['usual']}",
                 f"/api/figure.svg?variant={exercise['usual']}&implement={exercise['variants'][0]['implements'][0]['implement']}&width=300"):
        answer = coach.get(path)
        expect(f"{path}: {answer}", (200, True), (answer.status, b"</svg>" in answer.body))
    expect("no such exercise", 404, coach.get("/api/set-line.svg?exercise=none").status)
    expect("no such variant", 404, coach.get("/api/figure.svg?variant=none").status)


def the_studio():
    """The studio is renamed and moved to another zone: every thread knows"""
    settings = {"heat_caution_c": 26, "window_from_s": 60, "window_to_s": 90, "floor_s": 30}
    change = {"called": "By the lake", "zone": "Pacific/Kiritimati", "language": "en", "settings": settings}
    expect("changed", "By the lake", coach.put("/api/studio", change).json["called"])
    for _ in range(12):
        expect("known", ("By the lake", "Pacific/Kiritimati"), tuple(coach.get("/api/me").json["studio"][key] for key in ("called", "zone")))
    east = coach.get("/api/me").json["studio"]["today"]
    coach.put("/api/studio", {**change, "zone": "Pacific/Niue"})
    expect("another day 25 hours further west", True, {coach.get("/api/me").json["studio"]["today"] < east for _ in range(12)} == {True})
    coach.put("/api/studio", {**change, "zone": "Europe/Vienna"})
    expect("no such zone", (422, ["/zone"]), (lambda answer: (answer.status, answer.pointers()))(coach.put("/api/studio", {**change, "zone": "Moon/Sea"})))


def files_out_and_removal():
    """Files out; a person is removed once all of theirs was exported"""
    people = coach.get("/api/export/people.csv")
    expect("a file", True, people.body.startswith(b"person,") and "attachment" in people.headers["Content-Disposition"])
    for sheet in ("kit", "diary", "days"):
        expect(sheet, 200, coach.get(f"/api/export/{sheet}.csv").status)
    everything = zipfile.ZipFile(io.BytesIO(coach.get("/api/export.zip").body))
    expect("no secret is in it", [], [name for name in everything.namelist() if b"argon2" in everything.read(name)])
    coach.post("/api/people", {"person": "gone", **person_change("Gus")})
    coach.post("/api/sets", {"sets": [new_set("gone")]})
    expect("not before an export", 409, coach.delete("/api/people/gone", {"called": "Gus"}).status)
    own = zipfile.ZipFile(io.BytesIO(coach.get("/api/people/gone/export").body))
    expect("it holds them", True, "people.csv" in own.namelist() and b"Gus" in own.read("people.csv"))
    expect("by another name", 422, coach.delete("/api/people/gone", {"called": "Guy"}).status)
    expect("removed", 204, coach.delete("/api/people/gone", {"called": "Gus"}).status)
    expect("gone", 404, coach.get("/api/people/gone").status)


def every_route_was_asked():
    """Every route that the description has was asked, and answered as it is described"""
    coach.get("/api/accounts")
    coach.get("/api/people")
    coach.get("/api/people/ada/sets")
    coach.get("/api/access")
    link = coach.post(f"/api/accounts/{clients['clinician'].me['account']}/invitation", {}).json["link"]
    Client(house).get(f"/api/invitation/{link.partition('#')[2]}")
    made = Client(house, "anna")
    made.post("/api/password", {"old": "kettle lamp orchard nine", "new": "nine kettles and a lamp"})
    made.post("/api/logout", None)
    coach.delete("/api/accounts/anna")
    coach.post("/api/import", {"people": None, "kit": None, "diary": None, "days": None, "dry": True})
    coach.get("/api/health")
    coach.get("/api/openapi.json")
    coach.get("/api/kit?person=ada")
    coach.get("/api/studio")
    coach.get("/api/kit/blue/curve.svg")
    there = {(method.upper(), path) for path, methods in house.description.whole["paths"].items() for method in methods}
    expect("never answered", set(), there - house.description.seen)


def description_is_sound():
    """The description is OpenAPI as far as it can be told: every reference leads somewhere, every operation has its own name"""
    whole = house.description.whole
    text = json.dumps(whole)
    names = [operation["operationId"] for methods in whole["paths"].values() for operation in methods.values()]
    expect("each its own name", len(names), len(set(names)))
    for reference in {part.split('"')[0] for part in text.split('"$ref": "#/components/schemas/')[1:]}:
        expect(reference, True, reference in whole["components"]["schemas"])


try:
    run([people, advice, strength, check_ins, outcomes, kit, classes, blocks, drawings, the_studio, files_out_and_removal, every_route_was_asked,
         description_is_sound])
finally:
    house.close()
