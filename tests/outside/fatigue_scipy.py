"""The fatigue model computed a second time, by SciPy's initial value solvers, from its differential equations alone.

Reads the cases that fatigue_print (first argument) prints, computes each anew with tolerances far below ours, and prints one TAP line
for each kind and name with the greatest difference and the tolerance it is held to. Knows the equations of Xia & Frey-Law 2008 and the
phases of a repetition; shares no code with the engine.
"""

import subprocess
import sys

import numpy as np
from scipy.integrate import solve_ivp

GAIN = 10.0
ECCENTRIC = 1.2
TIGHT = {"rtol": 1e-10, "atol": 1e-12}

# What the engine may be off by: Runge-Kutta steps of .05 s at a gain of 10 per second in the full model, rounding in the closed forms,
# chords of a sixty-fourth of a phase in repetitions.
TOLERANCE = {
    "time": (0.005,),  # s; the worst is a load whose active share only just touches what is enough
    "run": (2e-4, 5e-6),  # shares: active, fatigued
    "after": (1e-8,),  # share
    "curve": (5e-6,),  # s, of up to an hour
    "repetitions": (1e-3, 3e-6),  # s, share
}


def full_model(load, fatigue, recovery, rest):
    """d(MA, MF)/dt of the three compartments; recovery multiplied in true rest only."""
    recovery = recovery * rest if load == 0 else recovery

    def derivative(_t, y):
        active, fatigued = y
        resting = 1 - active - fatigued
        if active < load:
            drive = GAIN * (load - active) if resting >= load - active else GAIN * resting
        else:
            drive = GAIN * (load - active)
        return [drive - fatigue * active, fatigue * active - recovery * fatigued]

    return derivative


def fast_limit(load_at, fatigue, recovery, rest):
    """dMF/dt when activation is instant: what is asked works, or what is left."""

    def derivative(t, y):
        load = load_at(t)
        rate = recovery * rest if load == 0 else recovery
        return [fatigue * min(load, 1 - y[0]) - rate * y[0]]

    return derivative


def solved(derivative, seconds, start, event=None, max_step=np.inf, method="LSODA"):
    if event:
        event.terminal = True
    return solve_ivp(derivative, (0, seconds), start, events=event, max_step=max_step, method=method, **TIGHT)


def time_to_failure(rates, load, tolerance, limit_s):
    def below(_t, y):
        return y[0] - (1 - tolerance) * load

    below.direction = -1
    result = solved(full_model(load, *rates), limit_s, [0, 0], below, max_step=1.0)
    if result.t_events[0].size:
        return (result.t_events[0][0],)
    # Never fell below: either it holds, or it never rose so high.
    return (limit_s if max(result.y[0]) >= (1 - tolerance) * load else 0,)


def parts_of(text):
    return [tuple(map(float, part.split(":"))) for part in text.split(";")]


def run(rates, parts):
    state = [0, 0]
    for load, seconds in parts:
        state = solved(full_model(load, *rates), seconds, state, max_step=min(0.5, seconds / 4)).y[:, -1]
    return tuple(state)


def after(rates, parts):
    state = [0]
    for load, seconds in parts:
        state = solved(fast_limit(lambda _t, load=load: load, *rates), seconds, state, max_step=seconds / 50).y[:, -1]
    return tuple(state)


def curve(rates, load, mean_share):
    fatigue, recovery, _rest = rates

    def spent(_t, y):
        return y[0] - (1 - load)

    result = solved(lambda _t, y: [fatigue * mean_share * load - recovery * y[0]], 1e5, [0], spent)
    return (result.t_events[0][0],) if result.t_events[0].size else (np.inf,)


def repetitions(rates, tempo, lifting_first, share, fatigued, limit_s=900):
    share = np.array(share)
    place = np.linspace(0, 1, share.size)

    def load(seconds, first, last, weight):
        return lambda t: np.interp(first + (last - first) * t / seconds, place, share) * weight

    lowering, low, lifting, high = tempo
    phases = [(lowering, 1, 0, 1 / ECCENTRIC, False), (low, 0, 0, 1, False), (lifting, 0, 1, 1, True), (high, 1, 1, 1, False)]
    if lifting_first:
        phases = [phases[2], phases[3], phases[0], phases[1]]
    now = 0.0
    while now < limit_s:
        for seconds, first, last, weight, lifts in phases:
            load_at = load(seconds, first, last, weight)

            def too_much(t, y, load_at=load_at):
                return load_at(t) + y[0] - 1

            too_much.direction = 1
            if lifts and too_much(0, [fatigued]) > 0:
                return now, fatigued
            step = seconds / 64 if first != last else seconds
            result = solved(fast_limit(load_at, *rates), seconds, [fatigued], too_much if lifts else None, step, "RK45")
            fatigued = result.y[0, -1]
            if lifts and result.t_events[0].size:
                return now + result.t_events[0][0], fatigued
            now += seconds
    return limit_s, fatigued


def numbers(text):
    return [float(x) for x in text.split(":")]


def compared(line):
    """Kind, name, and (expected, obtained) pairs of one printed line."""
    kind, name, *rest = line.split(",")
    rates, rest = tuple(map(float, rest[:3])), rest[3:]
    if kind == "time":
        load, tolerance, limit_s, *obtained = map(float, rest)
        expected = time_to_failure(rates, load, tolerance, limit_s)
    elif kind in ("run", "after"):
        obtained = map(float, rest[1:])
        expected = (run if kind == "run" else after)(rates, parts_of(rest[0]))
    elif kind == "curve":
        load, mean_share, *obtained = map(float, rest)
        expected = curve(rates, load, mean_share)
    elif kind == "repetitions":
        obtained = map(float, rest[4:])
        expected = repetitions(rates, numbers(rest[0]), rest[1] == "1", numbers(rest[2]), float(rest[3]))
    else:
        raise ValueError(f"no such kind: {line}")
    return kind, name, list(zip(expected, obtained))


def main():
    printed = subprocess.run([sys.argv[1]], check=True, capture_output=True, text=True).stdout
    worst, count, failed = {}, {}, set()
    for line in printed.splitlines():
        kind, name, pairs = compared(line)
        key = (kind, name)
        assert len(pairs) == len(TOLERANCE[kind]), line
        count[key] = count.get(key, 0) + 1
        worst.setdefault(key, [0.0] * len(pairs))
        for i, (expected, obtained) in enumerate(pairs):
            off = 0.0 if expected == obtained else abs(expected - obtained)
            worst[key][i] = max(worst[key][i], off)
            if not off <= TOLERANCE[kind][i]:
                failed.add(key)
                print(f"# {line[:90]}...: expected {expected:.12g}, obtained {obtained:.12g}, tolerance {TOLERANCE[kind][i]:g}")
    print(f"1..{len(worst)}")
    for i, key in enumerate(worst, 1):
        figures = "; ".join(f"{off:.1e} of {allowed:g}" for off, allowed in zip(worst[key], TOLERANCE[key[0]]))
        print(f"{'not ok' if key in failed else 'ok'} {i} - {key[0]} {key[1]}: {count[key]} cases, greatest difference {figures}")
    return 1 if failed or not worst else 0


if __name__ == "__main__":
    sys.exit(main())
