#!/usr/bin/env python3
"""cases: black-box tests of the program, from text files, in TAP.

  cases THEW FILE...

A file holds cases. Each runs in an empty folder that holds copies of studio/*.

  === why this case exists
  --- file NAME[, option...]      a file beside those of studio/; options: bom, crlf, no newline (at the end), escaped (\\xFF and the
                                  like), repeat N (its last line, so often), bytes N (made that long, with zeros)
  --- input[, option...]          standard input (default: nothing)
  --- needs locale NAME           else the case is skipped
  --- on a terminal               standard output is one
  --- run                         for sh; `thew` is the program
  --- exit N                      default 0
  --- output CHECK                default: nothing at all on standard output
  --- error CHECK                 the same for standard error

  CHECK (what it is checked against stands below):
    is              these lines and no others
    has             these lines somewhere in it, in this order; a line that begins with "~ " is a regular expression
    lacks           none of these lines anywhere; "~ " as above
    xml             one well-formed document (nothing below)
    json SCHEMA     one document that follows SCHEMA (a file beside this one), and what schemas cannot say: odds sum to 1

A file that ends in .stream is a talk with `thew stream`, one process for each case, one line at a time: the answer must be there before
the next line is sent. Lines of a case:

  > line sent as it is            >> the same without its end, then end of input
  >@ the same after json-escapes of bytes (\\xFF) are taken
  >* N text                       text N times over, as one line
  < the answer, as JSON; every number may be off by 1e-9
  <~ part of the answer: objects may have more keys
  <? nothing is checked but that an answer came
  ! N                             exit status at the end (default 0); "any" for 0 or 1
"""
import json
import os
import pathlib
import pty
import re
import select
import shutil
import subprocess
import sys
import tempfile
import xml.dom.minidom
import xml.parsers.expat

import jsonschema

HERE = pathlib.Path(__file__).resolve().parent
TIMEOUT_S = 120


class Failed(Exception):
    """What was expected, and what came."""


def shorten(text, most=1500):
    return text if len(text) <= most else f"{text[:most]}\n... ({len(text)} characters)"


def contents_of(text, options):
    """The bytes of a file or of standard input."""
    data = text.encode()
    if "escaped" in options:
        data = text.encode().decode("unicode_escape").encode("latin-1")
    for option in options:
        if option.startswith("repeat "):
            lines = data.splitlines(keepends=True)
            data = b"".join(lines[:-1]) + lines[-1] * int(option.split()[1])
        if option.startswith("bytes "):
            data += bytes(int(option.split()[1]) - len(data))
    if "crlf" in options:
        data = data.replace(b"\n", b"\r\n")
    if "bom" in options:
        data = b"\xef\xbb\xbf" + data
    return data.rstrip(b"\r\n") if "no newline" in options else data


# --- checks of what was written ------------------------------------------------------------------------------------------------


def matches(wanted, line):
    return re.search(wanted[2:], line) if wanted.startswith("~ ") else wanted in line


def check_has(body, text):
    lines = text.splitlines()
    at = 0
    for wanted in body.splitlines():
        while at < len(lines) and not matches(wanted, lines[at]):
            at += 1
        if at == len(lines):
            raise Failed(f"expected in this order: {wanted}\nobtained:\n{shorten(text)}")


def check_lacks(body, text):
    for unwanted in body.splitlines():
        for line in text.splitlines():
            if matches(unwanted, line):
                raise Failed(f"expected nowhere: {unwanted}\nobtained: {line}")


def check_odds(at, where="$"):
    """The four chances of every set of odds cover everything, and the likely times come in order."""
    if isinstance(at, list):
        for i, item in enumerate(at):
            check_odds(item, f"{where}[{i}]")
    elif isinstance(at, dict):
        for key, item in at.items():
            check_odds(item, f"{where}.{key}")
        if "p_floor" in at:
            total = at["p_floor"] + at["p_early"] + at["p_window"] + at["p_beyond"]
            if abs(total - 1) > 1e-9:
                raise Failed(f"{where}: expected odds that sum to 1, obtained {total}")
            times = [float("inf") if at["seconds"][q] is None else at["seconds"][q] for q in ("p10", "p50", "p90")]
            if times != sorted(times):
                raise Failed(f"{where}: expected likely times in order, obtained {times}")


def check_json(schema, text):
    document = json.loads(text)
    rules = json.loads((HERE / schema).read_text())
    faults = [f"{e.json_path}: {e.message}" for e in jsonschema.Draft7Validator(rules).iter_errors(document)]
    if faults:
        raise Failed("expected by the schema:\n" + shorten("\n".join(faults[:10])))
    check_odds(document)


def check_text(kind, body, text, name):
    try:
        if kind == "is" and text != body:
            raise Failed(f"expected:\n{shorten(body) or '(nothing)'}\nobtained:\n{shorten(text) or '(nothing)'}")
        if kind == "has":
            check_has(body, text)
        if kind == "lacks":
            check_lacks(body, text)
        if kind == "xml":
            xml.dom.minidom.parseString(text)
        if kind.startswith("json "):
            check_json(kind.split()[1], text)
    except (ValueError, xml.parsers.expat.ExpatError) as fault:
        raise Failed(f"{name}: {fault}\nobtained:\n{shorten(text)}") from fault
    except Failed as fault:
        raise Failed(f"{name}: {fault}") from fault


# --- one case --------------------------------------------------------------------------------------------------------------------


def environment(thew, folder):
    """The case's own; what sanitizers are told comes from outside."""
    kept = {name: value for name, value in os.environ.items() if name.endswith("SAN_OPTIONS") or name.startswith("G_")}
    bin_folder = folder / ".bin"
    bin_folder.mkdir()
    (bin_folder / "thew").symlink_to(thew)
    path = f"{bin_folder}:/usr/bin:/bin"
    return kept | {"PATH": path, "LC_ALL": "C.UTF-8", "TZ": "UTC", "HOME": str(folder), "TERM": "xterm"}


def has_locale(name, folder, env):
    """Whether the system has it, or can make it."""
    known = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout
    plain = name.lower().replace("-", "")
    if plain in known.lower().replace("-", "").split():
        return True
    source, charset = name.split(".")
    try:
        made = subprocess.run(["localedef", "-i", source, "-f", charset, str(folder / ".locale" / name)], capture_output=True, check=False)
    except FileNotFoundError:
        return False
    env["LOCPATH"] = str(folder / ".locale")
    return made.returncode in (0, 1) and (folder / ".locale" / name / "LC_NUMERIC").exists()


def run_on_terminal(command, env, folder):
    """Standard output is a terminal."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(command, cwd=folder, env=env, stdin=subprocess.DEVNULL, stdout=theirs, stderr=subprocess.PIPE) as process:
        os.close(theirs)
        said = b""
        try:
            while chunk := os.read(ours, 65536):
                said += chunk
        except OSError:
            pass  # the other side is gone
        error = process.stderr.read()
    os.close(ours)
    return process.returncode, said.replace(b"\r\n", b"\n"), error


class Case:
    def __init__(self, why):
        self.why, self.blocks = why, []

    def run(self, thew, folder):
        """None, or why it was skipped."""
        env = environment(thew, folder)
        given, on_terminal, script, status, checks = b"", False, None, 0, []
        for head, body in self.blocks:
            what, *options = [part.strip() for part in head.split(",")]
            kind, _, rest = what.partition(" ")
            if kind == "file":
                (folder / rest).write_bytes(contents_of(body, options))
            elif kind == "input":
                given = contents_of(body, options)
            elif kind == "needs":
                (folder / ".locale").mkdir()
                if not has_locale(rest.split()[1], folder, env):
                    return f"no {rest}"
            elif kind == "run":
                script = body
            elif kind == "exit":
                status = int(rest)
            elif what == "on a terminal":
                on_terminal = True
            elif kind in ("output", "error"):
                checks.append((kind, rest, body))
            else:
                raise Failed(f"the case itself is wrong: --- {head}")
        command = ["sh", "-e", "-c", script]
        if on_terminal:
            code, output, error = run_on_terminal(command, env, folder)
        else:
            done = subprocess.run(command, cwd=folder, env=env, input=given, capture_output=True, timeout=TIMEOUT_S, check=False)
            code, output, error = done.returncode, done.stdout, done.stderr
        self.judge(checks, status, code, output.decode(errors="backslashreplace"), error.decode(errors="backslashreplace"))
        return None

    @staticmethod
    def judge(checks, status, code, output, error):
        if code != status:
            raise Failed(f"exit status: expected {status}, obtained {code}\noutput:\n{shorten(output)}\nerror:\n{shorten(error)}")
        said = {"output": output, "error": error}
        for kind in said:
            if not any(checked == kind for checked, _, _ in checks):
                check_text("is", "", said[kind], kind)
        for kind, how, body in checks:
            check_text(how, body, said[kind], kind)


# --- a talk with the stream ------------------------------------------------------------------------------------------------------


def is_like(wanted, got, part):
    if isinstance(wanted, bool) or isinstance(got, bool):
        return wanted is got
    if isinstance(wanted, (int, float)) and isinstance(got, (int, float)):
        return abs(wanted - got) <= 1e-9 * max(1, abs(wanted))
    if isinstance(wanted, dict) and isinstance(got, dict):
        keys_fit = wanted.keys() <= got.keys() if part else wanted.keys() == got.keys()
        return keys_fit and all(is_like(wanted[key], got[key], part) for key in wanted)
    if isinstance(wanted, list) and isinstance(got, list):
        return len(wanted) == len(got) and all(is_like(w, g, part) for w, g in zip(wanted, got))
    return wanted == got


class Talk:
    """One process, a line at a time."""

    def __init__(self, thew, env):
        self.process = subprocess.Popen([thew, "stream"], env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)

    def send(self, data):
        self.process.stdin.write(data)
        self.process.stdin.flush()

    def answer(self):
        ready, _, _ = select.select([self.process.stdout], [], [], TIMEOUT_S)
        line = self.process.stdout.readline() if ready else b""
        if not line.endswith(b"\n"):
            raise Failed(f"expected an answer, obtained {line!r}; error: {self.process.stderr.read() if ready else '(waiting)'}")
        return json.loads(line)

    def end(self):
        """Exit status, and what else was written."""
        if not self.process.stdin.closed:
            self.process.stdin.close()
        rest, error = self.process.stdout.read(), self.process.stderr.read()
        return self.process.wait(TIMEOUT_S), rest.decode(), error.decode()


class StreamCase(Case):
    def run(self, thew, folder):
        talk, status, answer, sent = Talk(thew, environment(thew, folder)), 0, None, ""
        try:
            for line in self.blocks:
                mark, _, text = line.partition(" ")
                if mark == "!":
                    status = None if text == "any" else int(text)
                elif mark.startswith(">"):
                    sent = text
                    data = text.encode()
                    if mark == ">@":
                        data = text.encode().decode("unicode_escape").encode("latin-1")
                    if mark == ">*":
                        count, _, once = text.partition(" ")
                        data = once.encode() * int(count)
                    talk.send(data if mark == ">>" else data + b"\n")
                    if mark == ">>":
                        talk.process.stdin.close()
                    answer = talk.answer()
                    check_odds(answer)
                elif mark in ("<", "<~"):
                    if not is_like(json.loads(text), answer, mark == "<~"):
                        raise Failed(f"sent: {shorten(sent)}\nexpected: {text}\nobtained: {shorten(json.dumps(answer, ensure_ascii=False))}")
                elif mark != "<?":
                    raise Failed(f"the case itself is wrong: {line}")
            code, rest, error = talk.end()
        finally:
            talk.process.kill()
            talk.process.wait()
        fits = code in (0, 1) if status is None else code == status
        if not fits or rest or error:
            raise Failed(f"at the end: expected {status} and no more, obtained {code}, {rest!r}, {error!r}")


# --- files of cases --------------------------------------------------------------------------------------------------------------


def read_cases(path):
    """Every case of a file."""
    cases, is_stream = [], path.suffix == ".stream"
    for line in path.read_text(encoding="utf-8").splitlines(keepends=True):
        if line.startswith("=== "):
            cases.append((StreamCase if is_stream else Case)(line[4:].strip()))
        elif not cases:
            continue  # what stands above the first case is for readers
        elif is_stream:
            if line.strip() and not line.startswith("#"):
                cases[-1].blocks.append(line.rstrip("\n"))
        elif line.startswith("--- "):
            cases[-1].blocks.append((line[4:].strip(), ""))
        elif cases[-1].blocks:
            head, body = cases[-1].blocks[-1]
            cases[-1].blocks[-1] = (head, body + line)
    for case in cases if not is_stream else []:  # empty lines between cases belong to nobody
        case.blocks = [(head, re.sub(r"\n+\Z", "\n", body) if body.strip() else "") for head, body in case.blocks]
    return cases


def main(thew, names):
    jobs = [(pathlib.Path(name).stem, case) for name in names for case in read_cases(pathlib.Path(name))]
    print(f"1..{len(jobs)}")
    failed = 0
    for number, (file, case) in enumerate(jobs, 1):
        with tempfile.TemporaryDirectory() as temporary:
            folder = pathlib.Path(temporary)
            for shared in (HERE / "studio").iterdir():
                shutil.copy(shared, folder)
            try:
                skipped = case.run(thew, folder)
                print(f"ok {number} - {file}: {case.why}" + (f" # SKIP {skipped}" if skipped else ""), flush=True)
            except (Failed, ValueError, subprocess.TimeoutExpired) as fault:
                failed += 1
                print(f"not ok {number} - {file}: {case.why}", flush=True)
                print("\n".join("# " + line for line in str(fault).splitlines()), flush=True)
    return failed > 0


if __name__ == "__main__":
    sys.exit(main(os.path.abspath(sys.argv[1]), sys.argv[2:]))
