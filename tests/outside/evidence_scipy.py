"""Truncated standard normals computed a second time: by scipy.stats.truncnorm, and by Gauss-Legendre sums over the density itself.

Reads what `filter_print moments` (first argument) prints. SciPy's closed forms lose all digits of thin intervals (its variance can be
negative there), so it judges where the interval is at least .3 SDs wide; the sums judge everywhere. Prints one TAP line a judge.
"""

import subprocess
import sys

import numpy as np
from scipy.special import log_ndtr
from scipy.stats import truncnorm

# What may be off, in standard deviations of the whole normal, its variance, and ln. The engine works by differences of hazards: absolute
# errors of some 1e-16 z^2, which is all that counts once a prior and noise are added; thin intervals are treated as points (7e-5).
TOLERANCE = {"mean": 1e-9, "variance": 1e-9, "ln chance": 1e-8}
NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)


def by_sums(low, high):
    """Mean, variance, ln chance of a standard normal between; the mirror image if most of it lies below 0."""
    if low + high < 0:
        mean, variance, ln_chance = by_sums(-high, -low)
        return -mean, variance, ln_chance
    high = min(high, np.sqrt(low * low + 1500))  # from low to there the density falls by e^-750
    edges = np.linspace(0, high - low, 101)
    half = (edges[1:] - edges[:-1]) / 2
    x = (edges[:-1] + half)[:, None] + half[:, None] * NODES
    top = max(low, 0)
    density = half[:, None] * WEIGHTS * np.exp(-x * x / 2 - low * x - (low * low - top * top) / 2)
    total = density.sum()
    mean = (density * x).sum() / total
    variance = (density * (x - mean) ** 2).sum() / total
    return low + mean, variance, np.log(total) - top * top / 2 - np.log(2 * np.pi) / 2


def by_scipy(low, high):
    if high - low < 0.3 or low < -38 and high < 0 or low > 38:
        return None  # its own tails end there
    if low + high < 0:
        mean, variance, ln_chance = by_scipy(-high, -low)
        return -mean, variance, ln_chance
    mean, variance = truncnorm.stats(low, high, moments="mv")
    a, b = log_ndtr(-low), log_ndtr(-high)
    return float(mean), float(variance), a + np.log1p(-np.exp(b - a))


def main():
    printed = subprocess.run([sys.argv[1], "moments"], check=True, capture_output=True, text=True).stdout
    judges = {"sums over the density": by_sums, "scipy.stats.truncnorm": by_scipy}
    print(f"1..{len(judges)}")
    all_well = True
    for number, (name, judge) in enumerate(judges.items(), 1):
        worst, cases, well = dict.fromkeys(TOLERANCE, 0.0), 0, True
        for line in printed.splitlines():
            low, high, *obtained = map(float, line.split(","))
            expected = judge(low, high)
            if expected is None:
                continue
            cases += 1
            for what, x, y in zip(TOLERANCE, expected, obtained):
                worst[what] = max(worst[what], abs(x - y))
                if not abs(x - y) <= TOLERANCE[what]:
                    well = False
                    print(f"# between {low:.17g} and {high:.17g}, {what}: expected {x:.15g}, obtained {y:.15g}, tolerance {TOLERANCE[what]:g}")
        well = well and cases > 100
        all_well = all_well and well
        figures = "; ".join(f"{what} {off:.1e}" for what, off in worst.items())
        print(f"{'ok' if well else 'not ok'} {number} - {name}: {cases} cases, greatest differences: {figures}")
    return 0 if all_well else 1


if __name__ == "__main__":
    sys.exit(main())
