"""The joint filter a second time, plainly, with NumPy arrays: what engine/capacity.c, settle.c and outlook.c are held to.

Reads the person, the diaries and the engine's results that scene_print (last argument) prints, computes the same anew and prints one
TAP line for each diary and kind of number. With --time it prints `case,count,us` and the ratio of the two times instead.

Knows the model (engine/capacity.h tells it in words), and shares with the engine only how a day's sites are settled. The
state is one vector with one dense covariance matrix, and every site is a row of factors on it: nothing is done to be fast but what NumPy
does by itself.
"""

import json
import subprocess
import sys
import time
from types import SimpleNamespace

import numpy as np
from scipy.special import log_ndtr, ndtr

DAY, JUMP, DRIFT, HEAT, FATIGUE, SLEEP, FIXED = range(7)
TOLERANCE = 1e-6


# ---- endurance and tempo (endurance.h) ----


def arrived(task, seconds):
    """Fatigue that has arrived per unit of mean demand, in units of tau: L = 1 / (1 + a q)."""
    return -np.expm1(-task.rho * seconds / task.tau_s) / task.rho


def tau_lever(task, seconds, mean_share):
    """d ln L / d ln tau."""
    t = seconds / task.tau_s
    return mean_share * t * np.exp(-task.rho * t) / (1 + mean_share * arrived(task, seconds))


def endurance_s(task, load_share, mean_share):
    with np.errstate(divide="ignore", invalid="ignore"):
        left = 1 - task.rho * (1 - load_share) / (mean_share * load_share)
        seconds = -task.tau_s / task.rho * np.log(left)
    return np.where(load_share >= 1, 0, np.where(left <= 0, np.inf, seconds))


def lift(task, seconds):
    """End of the lifting phase before, start and end of this repetition's, start of the next one's."""
    lowering, low, lifting, high = task.tempo
    cycle = lowering + low + lifting + high
    start = np.floor(seconds / cycle) * cycle
    first = start + (0 if task.starts_lifting else lowering + low)
    last_end = np.where(start > 0, np.minimum(first - cycle + lifting, start), 0)
    return last_end, first, np.minimum(first + lifting, start + cycle), first + cycle


def tired_before_s(task, seen_s):
    if task.hold:
        return seen_s
    last_end, first, end, _ = lift(task, seen_s)
    return np.where(seen_s <= first, last_end, np.minimum(seen_s, end))


def tired_from_s(task, seen_s, notice_s):
    if task.hold:
        return seen_s
    last_end, first, end, _ = lift(task, seen_s)
    return np.where(seen_s >= end, end, np.where(seen_s <= first + notice_s, last_end, seen_s))


def seen_failing_s(task, tired_s):
    if task.hold:
        return tired_s
    _, first, end, following = lift(task, np.where(np.isfinite(tired_s), tired_s, 0))
    seen = np.where(tired_s < first, first, np.where(tired_s < end, tired_s, following))
    return np.where(np.isfinite(tired_s), seen, np.inf)


# ---- what a set says (evidence.h) ----


def capacity_ln(task, rung, tired_s):
    return np.log(rung.peak_share * (1 + rung.mean_share * arrived(task, max(tired_s, 0.5))))


def evidence_of(task, record):
    """low, high, reading, its SD (0: none) of u + noise."""
    seconds, rung = record.seconds, record.rung
    if record.ended == "failure":
        since = float(tired_from_s(task, seconds, 1)) if seconds > 1 else 0
        high = capacity_ln(task, rung, seconds)
        return (capacity_ln(task, rung, since) if since > 0 else -np.inf), high, 0, 0
    tired = float(tired_before_s(task, seconds))
    low = capacity_ln(task, rung, tired) if tired > 0 else -np.inf
    if record.ended != "reserve" or record.reserve_s < 0:
        return low, np.inf, 0, 0
    repetition = 10 if task.hold else sum(task.tempo)
    felt = seconds + record.reserve_s + repetition / 2
    spread = capacity_ln(task, rung, felt + repetition) - capacity_ln(task, rung, max(felt - repetition, felt / 2))
    return low, np.inf, capacity_ln(task, rung, felt), max(spread / 2, 0.02)


def normal_ln(x, variance):
    return -0.5 * (x * x / variance + np.log(2 * np.pi * variance))


def log_parts(sd, tail, z):
    """ln of what the two halves of the Laplace give at z with a normal of this SD about it: near and far (noise.c), for z of either sign."""
    a, t = sd / tail, z / sd
    return a * (a / 2 - t) + log_ndtr(t - a), a * (a / 2 + t) + log_ndtr(-t - a)


def plainly(sd, tail):
    """Whether the tail counts by its variance only, and the SD with it."""
    return (True, np.sqrt(sd * sd + 2 * tail * tail)) if tail == 0 or sd > 24 * tail else (False, sd)


def noise_density(sd, tail, z):
    """Density of normal + Laplace, its first and its second derivative."""
    plain, sd = plainly(sd, tail)
    phi = np.exp(normal_ln(z, sd * sd))
    if plain:
        return phi, -z / sd**2 * phi, (z * z / sd**2 - 1) / sd**2 * phi
    near, far = np.exp(log_parts(sd, tail, z))
    return (near + far) / (2 * tail), (far - near) / (2 * tail**2), ((near + far) / (2 * tail) - phi) / tail**2


def noise_above(sd, tail, z):
    """Chance of more than z."""
    plain, sd = plainly(sd, tail)
    if plain:
        return ndtr(-z / sd)
    near, far = np.exp(log_parts(sd, tail, z))
    return ndtr(-z / sd) + (near - far) / 2


def chance_of(low, high, sd, tail, mean):
    """Chance (or density) of v + tail as it should be, v ~ N(mean, sd^2), and its two derivatives by the mean."""
    if low == high:
        density, slope, bend = noise_density(sd, tail, low - mean)
        return density, -slope, bend
    chance, first, second = 0, 0, 0
    for limit, sign in ((low, 1), (high, -1)):
        if np.isfinite(limit):
            density, slope, _ = noise_density(sd, tail, limit - mean)
            first, second = first + sign * density, second - sign * slope
    if mean < (low if np.isfinite(low) else high):  # the upper tail has the digits
        chance = noise_above(sd, tail, low - mean) if np.isfinite(low) else 1
        chance -= noise_above(sd, tail, high - mean) if np.isfinite(high) else 0
    else:
        chance = noise_above(sd, tail, mean - high) if np.isfinite(high) else 1
        chance -= noise_above(sd, tail, mean - low) if np.isfinite(low) else 0
    return chance, first, second


def moments(evidence, noise_sd, tail, extra, mean, variance):
    """Mean, variance, ln evidence of u ~ N(mean, variance) once u + noise is known to be as the evidence says."""
    low, high, reading, reading_sd = evidence
    seen, seen_variance, ln_evidence = mean, variance + noise_sd**2 + extra, 0
    gain = variance / seen_variance
    left = variance - gain * variance
    if reading_sd > 0:
        error = reading_sd**2 + 2 * tail**2
        ln_evidence += normal_ln(reading - seen, seen_variance + error)
        weight = seen_variance / (seen_variance + error)
        seen, seen_variance = seen + weight * (reading - seen), weight * error
    if np.isfinite(low) or np.isfinite(high):
        chance, first, second = chance_of(low, high, np.sqrt(seen_variance), tail, seen)
        seen += seen_variance * first / chance
        seen_variance += seen_variance**2 * (second / chance - (first / chance) ** 2)
        ln_evidence += np.log(chance)
    return mean + gain * (seen - mean), left + gain**2 * seen_variance, ln_evidence


# ---- the filter (capacity.h, settle.h) ----


# ---- sites (settle.h): a normal about u = h x, as precision and precision times mean ----


def times_site(belief, h, by):
    """A belief (mean, covariance) times a site."""
    mean, covariance = belief
    with_u = covariance @ h
    scale = 1 / (1 + by[0] * (h @ with_u))
    return mean + (by[1] - by[0] * (h @ mean)) * scale * with_u, covariance - by[0] * scale * np.outer(with_u, with_u)


def without(mean, variance, site):
    """Mean and variance of u without its site."""
    cavity_variance = 1 / (1 / variance - site[0])
    return cavity_variance * (mean / variance - site[1]), cavity_variance


def site_of(cavity, told_mean, told_variance):
    """The site that makes of the cavity a normal of these moments; it may not take away."""
    precision = max(1 / told_variance - 1 / cavity[1], 1e-9)
    return np.array([precision, precision * told_mean + (told_mean - cavity[0]) / cavity[1]])


def ln_integral(mean, variance, site):
    """ln of the integral of N(u; mean, variance) exp(-precision u^2 / 2 + precision_mean u)."""
    total, linear = 1 / variance + site[0], mean / variance + site[1]
    return 0.5 * (linear**2 / total - mean**2 / variance - np.log1p(site[0] * variance))


class Belief:
    def __init__(self, prior, tracks):
        self.prior, self.tracks = prior, tracks
        count = len(tracks)
        self.mean = np.zeros(FIXED + count)
        self.mean[DRIFT], self.mean[HEAT] = prior["drift_per_day"], prior["heat_per_c"]
        self.mean[FATIGUE], self.mean[SLEEP] = prior["fatigue_per_point"], prior["sleep_per_point"]
        self.mean[FIXED:] = [t.ln_mean for t in tracks]
        sd = np.array([t.ln_sd for t in tracks])
        same_joint = np.array([[s.joint == t.joint for s in tracks] for t in tracks])
        alike = prior["alike_all"] + prior["alike_joint"] * same_joint
        np.fill_diagonal(alike, 1)
        self.covariance = np.zeros((FIXED + count, FIXED + count))
        self.covariance[FIXED:, FIXED:] = alike * np.outer(sd, sd)
        for i, name in ((DRIFT, "drift_sd_per_day"), (HEAT, "heat_sd_per_c"), (FATIGUE, "fatigue_sd_per_point"), (SLEEP, "sleep_sd_per_point")):
            self.covariance[i, i] = prior[name] ** 2
        self.day = self.last_set = None
        self.symptom = False
        self.offsets, self.sites = {}, []
        self.jump = SimpleNamespace(chance=0, precision=0, precision_mean=0)
        self.excess = np.zeros(3)
        self.usual, self.usual_count = np.array([4.0, 6.0]), np.array([0, 0])
        self.visits, self.last_visit = [0] * count, [None] * count
        self.lever = np.array([tau_lever(t, 75, 1) for t in tracks])
        self.lever_before = self.lever.copy()
        self.expected = self.mean[FIXED:].copy()

    def factors(self, track, offset):
        h = np.zeros(len(self.mean))
        h[[DAY, JUMP]] = 1
        h[HEAT:FIXED] = self.excess
        if track is not None:
            h[FIXED + track] = 1
            h[FIXED + len(self.tracks) + offset] = 1
        return h

    def tell(self, site, mean, variance):
        """Mean and variance of a site's u after its evidence, and ln of the chance of that evidence, from those before."""
        sd, tail = self.prior["noise.sd"], self.prior["noise.tail"]
        by = self.prior["readiness_sd"] / np.sqrt(sd**2 + 2 * tail**2) if site.track is None else 1
        told_mean, told_variance, ln_evidence = moments(site.evidence, by * sd, by * tail, site.extra, mean + site.shift, variance)
        return told_mean - site.shift, told_variance, ln_evidence

    def settle_hypothesis(self, bare):
        """The day's sites settled on a belief (mean, covariance): their natural parameters, the belief, ln of the chance of the day."""
        belief, rows = bare, [self.factors(site.track, site.offset) for site in self.sites]
        natural = [(0, 0) for site in self.sites]
        step, off_before = 1, np.inf
        for _ in range(400):
            off = 0
            for i, (h, site) in enumerate(zip(rows, self.sites)):
                mean, variance = h @ belief[0], h @ belief[1] @ h
                cavity = without(mean, variance, natural[i])
                told_mean, told_variance, _ = self.tell(site, *cavity)
                by = step * (site_of(cavity, told_mean, told_variance) - np.array(natural[i]))
                belief = times_site(belief, h, by)
                natural[i] = tuple(np.array(natural[i]) + by)
                off = max(off, abs(told_mean - mean) / np.sqrt(variance))
            if off < 1e-4:
                break
            if off > 0.7 * off_before:
                step = max(step / 2, 0.2)
            off_before = off
        grown, ln_evidence = bare, 0
        for h, site, by in zip(rows, self.sites, natural):
            cavity = without(h @ belief[0], h @ belief[1] @ h, by)
            ln_evidence += self.tell(site, *cavity)[2] - ln_integral(*cavity, by)
            ln_evidence += ln_integral(h @ grown[0], h @ grown[1] @ h, by)
            grown = times_site(grown, h, by)
        return natural, belief, ln_evidence

    def settle(self):
        """With and without a sudden change, each by itself; then the mixture of the two."""
        jump = np.eye(len(self.mean))[JUMP]
        bare = times_site((self.mean, self.covariance), jump, (-self.jump.precision, -self.jump.precision_mean))
        for site in self.sites:
            bare = times_site(bare, self.factors(site.track, site.offset), (-site.precision, -site.precision_mean))
        if self.jump.chance <= 0:
            natural, by = self.settle_hypothesis(bare)[0], (0, 0)
        else:
            natural, sudden, ln_sudden = self.settle_hypothesis(bare)
            calm, _, ln_calm = self.settle_hypothesis(times_site(bare, jump, (1e12, 0)))
            weight = 1 / (1 + (1 - self.jump.chance) / self.jump.chance * np.exp(ln_calm - ln_sudden))
            natural = [tuple(weight * np.array(s) + (1 - weight) * np.array(c)) for s, c in zip(natural, calm)]
            mean = weight * sudden[0][JUMP]
            variance = weight * (sudden[1][JUMP, JUMP] + sudden[0][JUMP] ** 2) - mean**2
        belief = bare
        for site, (site.precision, site.precision_mean) in zip(self.sites, natural):
            belief = times_site(belief, self.factors(site.track, site.offset), (site.precision, site.precision_mean))
        if self.jump.chance > 0:
            by = site_of((jump @ belief[0], belief[1][JUMP, JUMP]), mean, variance)
            belief = times_site(belief, jump, by)
        self.jump.precision, self.jump.precision_mean = by
        self.mean, self.covariance = belief

    def add_site(self, track, offset, evidence, extra=0, shift=0, lever=0):
        site = SimpleNamespace(
            track=track, offset=offset, evidence=evidence, extra=extra, shift=shift, lever=lever, precision=0, precision_mean=0
        )
        self.sites.append(site)
        h = self.factors(track, offset)
        cavity = h @ self.mean, h @ self.covariance @ h
        site.precision, site.precision_mean = site_of(cavity, *self.tell(site, *cavity)[:2])
        self.mean, self.covariance = times_site((self.mean, self.covariance), h, (site.precision, site.precision_mean))
        self.settle()

    def transition(self, day):
        """Days to come, of them training, what those away cost, what the drift keeps, and the chance of a jump."""
        days = 0 if self.day is None else day - self.day
        since = 0 if self.last_set is None else self.day - self.last_set
        training = 0 if self.last_set is None else min(max(self.prior["away_after_days"] - since, 0), days)
        away = 0 if self.last_set is None else days - training
        before, fade = max(since - self.prior["away_after_days"], 0), self.prior["away_fade_days"]
        lost = self.prior["away_per_day"] * fade * (np.exp(-before / fade) - np.exp(-(before + away) / fade))
        jump = -np.expm1(-self.prior["jump_per_day"] * days)
        if self.symptom and days > 0:
            jump = max(jump, self.prior["jump_after_symptom"])
        return days, training, lost, np.exp(-training / self.prior["drift_fade_days"]), jump

    def begin_day(self, day):
        prior, tracks = self.prior, slice(FIXED, FIXED + len(self.tracks))
        days, training, lost, keep, jump = self.transition(day)
        carry = np.eye(len(self.mean))
        carry[DAY, DAY] = carry[JUMP, JUMP] = 0
        carry[tracks, JUMP], carry[tracks, DRIFT], carry[DRIFT, DRIFT] = 1, training, keep
        self.mean = carry @ self.mean
        self.mean[tracks] += lost
        self.mean[DRIFT] += (1 - keep) * prior["drift_settled_per_day"]
        self.covariance = carry @ self.covariance @ carry.T
        walk = prior["walk_sd_per_root_day"] ** 2 * days
        common = prior["walk_common_share"]
        self.covariance[tracks, tracks] += walk * (common + (1 - common) * np.eye(len(self.tracks)))
        self.covariance[DRIFT, DRIFT] += (1 - keep**2) * prior["drift_sd_per_day"] ** 2
        self.covariance[DAY, DAY] = prior["day_sd"] ** 2
        self.covariance[JUMP, JUMP] = prior["jump_sd"] ** 2 if jump > 0 else 0
        self.jump = SimpleNamespace(chance=jump, precision=0, precision_mean=0)
        self.day, self.symptom, self.sites, self.excess = day, False, [], np.zeros(3)
        self.lever_before = self.lever.copy()
        self.expected = self.mean[tracks].copy()
        self.settle()

    def check_in(self, said):
        if hasattr(said, "heat"):
            self.excess[0] = max(said.heat - self.prior["heat_from_c"], 0)
        for i, name in enumerate(("fatigue", "sleep")):
            if hasattr(said, name):
                self.excess[1 + i] = getattr(said, name) - self.usual[i]
                self.usual_count[i] += 1
                self.usual[i] += self.excess[1 + i] / (self.usual_count[i] + 3)
        if hasattr(said, "readiness"):
            self.add_site(None, None, (said.readiness, said.readiness, 0, 0))

    def offset_of(self, track, rung):
        key = (track, rung.key)
        if key not in self.offsets:
            self.offsets[key] = len(self.offsets)
            self.mean = np.append(self.mean, 0)
            self.covariance = np.pad(self.covariance, (0, 1))
            self.covariance[-1, -1] = rung.ln_sd**2
        return self.offsets[key]

    def level_of(self, task, record, expected_ln):
        """Lever of the time that a set speaks about: what was felt to be left, or when it was expected to end."""
        about = float(endurance_s(task, record.rung.peak_share / np.exp(expected_ln), record.rung.mean_share))
        about = min(max(about, task.floor_s), task.window_to_s)
        if record.ended == "reserve" and record.reserve_s >= 0:
            about = record.seconds + record.reserve_s
        return tau_lever(task, max(about, 1), record.rung.mean_share)

    def record(self, record):
        k, task = record.track, self.tracks[record.track]
        self.visits[k] += self.last_visit[k] != record.day
        self.last_visit[k] = self.last_set = record.day
        self.symptom |= record.ended == "symptom"
        evidence = evidence_of(task, record)
        if evidence[0] == -np.inf and evidence[1] == np.inf and evidence[3] == 0:
            return
        offset = self.offset_of(k, record.rung)
        sooner, lever, later = (self.level_of(task, record, self.expected[k] + by) for by in (-0.15, 0, 0.15))
        learning = self.prior["learning_hold" if task.hold else "learning_repetitions"] if self.visits[k] <= 1 else 0
        extra = task.tau_ln_sd**2 * ((sooner - self.lever_before[k]) ** 2 + (later - self.lever_before[k]) ** 2) / 2
        self.add_site(k, offset, evidence, extra, -learning, lever)
        self.lever = self.lever_before.copy()
        for site in self.sites:
            if site.track is not None:
                pull = self.covariance[FIXED + site.track] @ self.factors(site.track, site.offset) * site.precision
                self.lever[site.track] += np.clip(pull, 0, 1) * (site.lever - self.lever_before[site.track])

    def capacities(self):
        h = np.zeros((len(self.tracks), len(self.mean)))
        h[:, JUMP] = 1
        h[np.arange(len(h)), FIXED + np.arange(len(h))] = 1
        return np.stack([h @ self.mean, np.sqrt(np.einsum("ij,jk,ik->i", h, self.covariance, h))], axis=1)

    def odds(self, k, day):
        """[rungs, 7]: the four chances and the three quantiles of one ladder on a later day."""
        task, prior, ladder = self.tracks[k], self.prior, self.tracks[k].ladder
        days, training, lost, _, jump = self.transition(day)
        h = np.zeros((len(ladder), len(self.mean)))
        h[:, [JUMP, FIXED + k]], h[:, DRIFT] = 1, training
        unused = np.zeros(len(ladder))
        for r, rung in enumerate(ladder):
            offset = self.offsets.get((k, rung.key))
            if offset is None:
                unused[r] = rung.ln_sd**2
            else:
                h[r, FIXED + len(self.tracks) + offset] = 1
        mean = h @ self.mean + lost
        variance = np.einsum("ij,jk,ik->i", h, self.covariance, h) + unused
        variance += prior["day_sd"] ** 2 + prior["walk_sd_per_root_day"] ** 2 * days
        peak, share = np.array([(r.peak_share, r.mean_share) for r in ladder]).T
        tail = prior["noise.tail"]
        variance += prior["noise.sd"] ** 2

        def below(u, variance):
            sd, wide = np.sqrt(variance), np.sqrt(variance + 2 * tail**2 + prior["jump_sd"] ** 2)
            above = np.array([noise_above(s, tail, z) for s, z in zip(sd, mean - u)])
            return above + jump * (ndtr((u - mean) / wide) - above)

        def density(u):
            sd, wide = np.sqrt(variance), np.sqrt(variance + 2 * tail**2 + prior["jump_sd"] ** 2)
            here = np.array([noise_density(s, tail, z)[0] for s, z in zip(sd, u - mean)])
            return here + jump * (np.exp(normal_ln(u - mean, wide**2)) - here)

        def fails_before(seen_s):
            tired = max(float(tired_before_s(task, seen_s)), 1)
            off = (tau_lever(task, tired, share) - self.lever[k]) * task.tau_ln_sd
            return below(np.log(peak * (1 + share * arrived(task, tired))), variance + off**2)

        floor = fails_before(task.floor_s)
        early = np.maximum(fails_before(task.window_from_s), floor)
        late = np.maximum(fails_before(task.window_to_s), early)
        tenth = mean - 1.2815515655446004 * np.sqrt(variance)
        for _ in range(40):  # Newton's steps from above, where the distribution is convex
            by = (below(tenth, variance) - 0.1) / density(tenth)
            tenth = tenth - by
            if np.max(np.abs(by)) < 1e-12:
                break
        seconds = [seen_failing_s(task, endurance_s(task, peak / np.exp(c), share)) for c in (tenth, mean, 2 * mean - tenth)]
        return np.stack([floor, early - floor, late - early, 1 - late, *seconds], axis=1)


# ---- diaries, comparison, times ----


def read(text):
    def named(o):
        return SimpleNamespace(**{name.split(".")[-1]: value for name, value in o.items()})

    scene = json.loads(text)
    for diary in scene["diaries"]:
        diary["tracks"] = [named(t) for t in diary["tracks"]]
        for track in diary["tracks"]:
            track.ladder = [named(r) for r in track.ladder]
        diary["checkins"] = {c["day"]: named(c) for c in diary["checkins"]}
        diary["sets"] = [named(s) for s in diary["sets"]]
        for record in diary["sets"]:
            record.rung = named(record.rung)
    return scene


def play(diary, days_ahead):
    belief = Belief(diary["prior"], diary["tracks"])
    result = []
    for record in diary["sets"]:
        if belief.day != record.day:
            belief.begin_day(record.day)
            belief.check_in(diary["checkins"][record.day])
        belief.record(record)
        result.append((belief.capacities(), belief.odds(record.track, record.day + days_ahead)))
    return result


def differences(record, capacities, odds):
    """Greatest difference of each kind: means and SDs of ln k, chances, and times (relative)."""
    known, engine = np.array(record.capacity), np.array(record.odds)
    chances, times = np.abs(engine - odds)[:, :4], engine[:, 4:]
    with np.errstate(invalid="ignore", divide="ignore"):
        times_off = np.where(times == odds[:, 4:], 0, np.abs(times / odds[:, 4:] - 1))
    return (*np.abs(known - capacities).max(axis=0), chances.max(), times_off.max())


def compare(scene):
    kinds = ("means of ln k", "SDs of ln k", "odds", "quantiles of the time to failure, relative")
    print(f"1..{len(scene['diaries']) * len(kinds)}")
    number = failed = 0
    for n, diary in enumerate(scene["diaries"], 1):
        results = play(diary, scene["days_ahead"])
        off = np.array([differences(record, *result) for record, result in zip(diary["sets"], results)])
        for kind, each in zip(kinds, off.T):
            number += 1
            good = len(each) > 0 and bool(np.all(each <= TOLERANCE))
            failed += not good
            print(f"{'ok' if good else 'not ok'} {number} - diary {n}, {kind}: greatest difference {each.max():.1e} of {TOLERANCE:g}")
            if not good:
                print(f"# first beyond it after set {int(np.argmax(~(each <= TOLERANCE))) + 1} of {len(each)}")
    return failed


def tell_times(scene):
    ours = theirs = sets = 0
    for diary in scene["diaries"]:
        begin = time.process_time()
        play(diary, scene["days_ahead"])
        theirs += 1e6 * (time.process_time() - begin)
        ours += diary["us"]
        sets += len(diary["sets"])
    print(f"filter engine record and 12 rungs,{sets},{ours:.0f}\nfilter numpy record and 12 rungs,{sets},{theirs:.0f}")
    print(f"# {ours / sets:.1f} and {theirs / sets:.0f} us each; numpy / engine: {theirs / ours:.0f}; aim 100")


def main():
    printed = subprocess.run([sys.argv[-1]], check=True, capture_output=True, text=True).stdout
    if "--time" in sys.argv:
        tell_times(read(printed))
        return 0
    return 1 if compare(read(printed)) else 0


if __name__ == "__main__":
    sys.exit(main())
