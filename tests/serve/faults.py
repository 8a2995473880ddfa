#!/usr/bin/env python3
"""faults: killed while it writes; a disk that is full; a file that cannot be written: nothing that was acknowledged is lost, nothing is half
there, what can be read is read, and the sentence is clear.

  faults THEW [ROUNDS]
"""
import os
import pathlib
import random
import resource
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time

from house import Client, House, expect, furnish, new_set, person_change, program, run

ROUNDS = int(sys.argv[2]) if len(sys.argv) > 2 else int(os.environ.get("THEW_KILL_ROUNDS", "25"))
WRITERS = 4


def killed_while_writing():
    """kill -9 while four clients write batches of three: every acknowledged batch is there, none is half there"""
    random.seed(1)
    house = House(program())
    try:
        coach = furnish(house)["coach"]
        for number in range(WRITERS):
            coach.post("/api/people", {"person": f"writer-{number}", **person_change(f"Writer {number}")})
        acknowledged, begun = [], 0
        for turn in range(ROUNDS):
            sent = threading.Event()

            def work(number, turn=turn, sent=sent):
                client = Client(house)
                client.cookie, client.token = coach.cookie, coach.token
                for i in range(1000):
                    batch = [new_set(f"writer-{number}", record=f"{turn}-{number}-{i}-{part}") for part in range(3)]
                    try:
                        if client.ask("POST", "/api/sets", {"sets": batch}, judged=False).status == 200:
                            acknowledged.append(f"{turn}-{number}-{i}")
                            sent.set()
                    except Exception:  # pylint: disable=broad-except
                        return

            threads = [threading.Thread(target=work, args=(number,)) for number in range(WRITERS)]
            for thread in threads:
                thread.start()
            sent.wait(20)
            time.sleep(random.random() * 0.1)
            house.process.send_signal(signal.SIGKILL)
            house.process.wait()
            for thread in threads:
                thread.join()
            house.start()
            begun += 1
        coach.connection = None
        there = {}
        for number in range(WRITERS):
            for one in coach.get(f"/api/people/writer-{number}/sets?history=true").json:
                batch, _, part = one["record"].rpartition("-")
                there.setdefault(batch, set()).add(part)
        expect("something was at stake", True, len(acknowledged) >= ROUNDS)
        expect("acknowledged, and lost", [], [batch for batch in acknowledged if batch not in there])
        expect("half there", {}, {batch: parts for batch, parts in there.items() if len(parts) != 3})
        print(f"# killed {begun} times: {len(acknowledged)} batches acknowledged, all there; {len(there) - len(acknowledged)} kept and not yet said")
    finally:
        house.close()
    # Sent again, as a phone would that heard nothing: the wire's tests do that.


def is_whole(path):
    """SQLite's own eyes."""
    with sqlite3.connect(path) as database:
        return database.execute("PRAGMA integrity_check").fetchone()[0]


def full_disk():
    """A disk that is full: 507 with a sentence, nothing half done, reading goes on, and writing when there is room"""
    folder = tempfile.mkdtemp(prefix="small-")
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", folder], check=False, capture_output=True).returncode:
        print("# no small file system could be mounted: a limit on the size of files stands in for it")
        return full_by_limit()
    house = None
    try:
        house = House(program(), folder=folder)
        coach = furnish(house)["coach"]
        pathlib.Path(folder, "ballast").write_bytes(b"x" * (256 << 10))
        kept, refused = 0, None
        for number in range(5000):
            answer = coach.post("/api/people", {"person": f"p{number}", **person_change(f"P{number}", note="x" * 2000)})
            if answer.status != 201:
                refused = answer
                break
            kept += 1
        look_at_fullness(coach, refused, kept)
        pathlib.Path(folder, "ballast").unlink()
        expect("room again", 201, until_it_writes(coach))
        house.stop()
        expect("whole", "ok", is_whole(house.studio))
    finally:
        if house and house.process.poll() is None:
            house.stop()
        subprocess.run(["umount", "-l", folder], check=False)
        os.rmdir(folder)
    return None


def look_at_fullness(coach, refused, kept):
    expect("it was refused in the end", True, refused is not None)
    expect(f"status: {refused} after {kept}", 507, refused.status)
    expect("a sentence", True, "disk is full" in refused.json["detail"])
    expect("something was kept", True, kept > 5)
    people = {one["person"] for one in coach.get("/api/people").json}
    expect("those acknowledged are there, the refused one is not", (kept, False),
           (sum(one[1:].isdigit() for one in people), f"p{kept}" in people))
    for path in ("/api/me", "/api/people/ada", "/api/people/ada/sets", "/api/kit", "/api/catalogue", "/api/health", "/"):
        expect(f"{path} is read", 200, coach.get(path, judged=False).status)


def until_it_writes(coach):
    for number in range(20):
        status = coach.post("/api/people", {"person": f"after-{number}", **person_change(f"After {number}")}).status
        if status == 201:
            return status
        time.sleep(0.5)
    return status


def full_by_limit():
    """The same where no file system can be mounted: files may grow no further (RLIMIT_FSIZE)"""
    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (1 << 20, resource.RLIM_INFINITY))
    house = House(program(), before=limit)
    try:
        coach = furnish(house)["coach"]
        refused, kept = None, 0
        for number in range(3000):
            answer = coach.post("/api/people", {"person": f"p{number}", **person_change(f"P{number}", note="x" * 2000)})
            if answer.status != 201:
                refused = answer
                break
            kept += 1
        expect("it was refused in the end", True, refused is not None)
        expect(f"status: {refused}", True, refused.status in (503, 507))
        expect("a sentence", True, len(refused.json["detail"]) > 20)
        expect("reading goes on", 200, coach.get("/api/people").status)
        expect("what was refused is not there", 404, coach.get(f"/api/people/p{kept}").status)
        house.stop()
        expect("whole", "ok", is_whole(house.studio))
    finally:
        house.close()


def read_only():
    """A file that can only be read: reading goes on, writing is 503 with a sentence"""
    house = House(program())
    folder = house.folder
    try:
        furnish(house)
        house.stop()
        mounted = subprocess.run(["mount", "--bind", folder, folder], check=False, capture_output=True).returncode == 0 and subprocess.run(
            ["mount", "-o", "remount,bind,ro", folder], check=False, capture_output=True).returncode == 0
        if not mounted and os.getuid() == 0:
            print("# nothing can be mounted read-only here, and root may write everywhere: not looked at")
            return
        if not mounted:
            os.chmod(house.studio, 0o444)
            os.chmod(folder, 0o555)
        house.start()
        anybody = Client(house)
        expect("health", 200, anybody.get("/api/health").status)
        expect("a page", 200, anybody.get("/", judged=False).status)
        answer = anybody.post("/api/login", {"login": "cora", "password": "kettle lamp orchard nine"})
        expect("a login is written down, so it cannot be", 503, answer.status)
        expect("a sentence", True, "written" in answer.json["detail"])
    finally:
        if house.process and house.process.poll() is None:
            house.stop()
        subprocess.run(["umount", "-l", folder], check=False, capture_output=True)
        os.chmod(folder, 0o755)
        house.process = None
        import shutil
        shutil.rmtree(folder, ignore_errors=True)


def read_only_with_a_session():
    """The same for who was logged in before: everything is read, nothing is written"""
    house = House(program())
    folder = house.folder
    try:
        coach = furnish(house)["coach"]
        house.stop()
        mounted = subprocess.run(["mount", "--bind", folder, folder], check=False, capture_output=True).returncode == 0 and subprocess.run(
            ["mount", "-o", "remount,bind,ro", folder], check=False, capture_output=True).returncode == 0
        if not mounted:
            print("# nothing can be mounted read-only here: not looked at")
            return
        house.start()
        coach.connection = None
        for path in ("/api/me", "/api/people", "/api/people/ada", "/api/people/ada/sets", "/api/people/ada/advice", "/api/today", "/api/kit", "/api/classes"):
            expect(f"{path} is read", 200, coach.get(path).status)
        answer = coach.post("/api/sets", {"sets": [new_set("ada")]})
        expect("a set", 503, answer.status)
        expect("a sentence", True, "written" in answer.json["detail"])
    finally:
        if house.process and house.process.poll() is None:
            house.stop()
        subprocess.run(["umount", "-l", folder], check=False, capture_output=True)
        house.process = None
        import shutil
        shutil.rmtree(folder, ignore_errors=True)


def no_studio():
    """What is no studio is refused with a sentence before anything is served"""
    with tempfile.TemporaryDirectory() as folder:
        bad = pathlib.Path(folder, "bad.thew")
        bad.write_bytes(b"this is no database, but a text that is long enough to be looked at" * 100)
        done = subprocess.run([program(), "serve", "--studio", bad, "--port", "0"], capture_output=True, text=True, timeout=20, check=False)
        expect("exit status", 1, done.returncode)
        expect(f"one sentence: {done.stderr}", 1, len(done.stderr.strip().splitlines()))
        expect("untouched", True, bad.read_bytes().startswith(b"this is no database"))


run([killed_while_writing, full_disk, full_by_limit, read_only, read_only_with_a_session, no_studio])
