#!/usr/bin/env python3
"""Fits the coefficients of engine/real.c and prints them as C.

Knows Remez's exchange for polynomials with a weight, and which function each kernel of real.c approximates on which interval.
Needs python3-mpmath; takes a few seconds. Run by hand after a change of a kernel: the coefficients are kept in real.c.
"""
from mpmath import atanh, cos, erfc, erfinv, exp, findroot, log, lu_solve, matrix, mp, mpf, pi, sin, sqrt

mp.prec = 240


def remez(f, low, high, degree, weight):
    """Coefficients, lowest first, of the polynomial that makes the greatest |weight * (f - p)| on [low, high] least; that error."""
    low, high, count = mpf(low), mpf(high), degree + 2
    middle, half = (low + high) / 2, (high - low) / 2
    # An even number of grid points: none falls on the middle, where a kernel's remainder is 0 / 0.
    grid_count = 40 * count
    grid = [middle - half * cos(pi * k / (grid_count - 1)) for k in range(grid_count)]
    value = [(f(x), weight(x)) for x in grid]
    node = [round((grid_count - 1) * k / (count - 1)) for k in range(count)]
    for _ in range(60):
        # p(x) + (-1)^k e / w(x) = f(x) at every node k; solved in the scaled variable, where it is well conditioned.
        rows = [[((grid[k] - middle) / half) ** j for j in range(degree + 1)] + [(-1) ** i / value[k][1]] for i, k in enumerate(node)]
        answer = lu_solve(matrix(rows), matrix([value[k][0] for k in node]))
        scaled = list(answer[: degree + 1])
        error = [w * (y - horner(scaled, (x - middle) / half)) for x, (y, w) in zip(grid, value)]
        # The highest point of every run of one sign, then the runs that keep the greatest errors.
        peak = []
        for k, e in enumerate(error):
            if peak and (error[peak[-1]] > 0) == (e > 0):
                if abs(e) > abs(error[peak[-1]]):
                    peak[-1] = k
            else:
                peak.append(k)
        while len(peak) > count:
            peak.pop(0 if abs(error[peak[0]]) < abs(error[peak[-1]]) else -1)
        worst = max(abs(e) for e in error)
        if len(peak) < count or peak == node:
            break
        node = peak
    return unscale(scaled, middle, half), worst


def horner(coefficient, x):
    total = mpf(0)
    for c in reversed(coefficient):
        total = total * x + c
    return total


def unscale(scaled, middle, half):
    """From powers of (x - middle) / half to powers of x."""
    out = [mpf(0)]
    for c in reversed(scaled):
        moved = [mpf(0)] + [a / half for a in out]
        for j, a in enumerate(out):
            moved[j] -= a * middle / half
        moved[0] += c
        out = moved
    return out[: len(scaled)]


def hexadecimal(x):
    return float(x).hex().replace("000000000000p", "p")


def show(name, f, low, high, degree, weight=lambda x: mpf(1), pin=None):
    """Fits and prints. With pin, an end of the interval, the polynomial is exact there: else the greatest error lies at the ends."""
    if pin is None:
        coefficient, worst = remez(f, low, high, degree, weight)
    else:
        at_pin = f(mpf(pin))
        slope, worst = remez(lambda x: (f(x) - at_pin) / (x - pin), low + mpf(2) ** -60, high, degree - 1, lambda x: weight(x) * abs(x - pin))
        coefficient = [a - pin * b for a, b in zip([mpf(0)] + slope, slope + [mpf(0)])]
        coefficient[0] += at_pin
    print(f"// {name}: greatest error 2^{float(log(worst, 2)):.1f}")
    print(", ".join(hexadecimal(c) for c in coefficient) + "\n")


def split(name, x, bits):
    """x as a double with only its first bits set, and the rest as doubles."""
    parts = []
    for b in bits:
        scale = mpf(2) ** (b - 1 - mp.floor(log(abs(x), 2)))
        part = mp.nint(x * scale) / scale
        parts.append(part)
        x -= part
    print(f"// {name}\n" + ", ".join(hexadecimal(p) for p in parts) + "\n")


def erfcx(x):
    return exp(x * x) * erfc(x)


def tail(x):
    return (x + mpf(7) / 8) * erfcx(x)


def tail_centre():
    """A centre near 3.62, where degree 20 suffices, with few bits and so that one double holds tail() there to 60 bits."""
    best = min((mpf(k) / 4096 for k in range(14730, 14950)), key=lambda c: abs(tail(c) - mpf(float(tail(c)))))
    off = abs(tail(best) - mpf(float(tail(best))))
    print(f"// tail: centre {hexadecimal(best)}; there {hexadecimal(tail(best))}, off by 2^{float(log(off, 2)):.1f}\n")
    return best


def normal_quantile_above(q):
    """z with upper tail q."""
    z = sqrt(-2 * log(q))
    z -= log(z * sqrt(2 * pi)) / z
    return findroot(lambda t: log(erfc(t / sqrt(mpf(2))) / 2) - log(q), max(z, mpf("0.5")))


def main():
    ln2 = log(mpf(2))
    split("ln 2", ln2, [42, 53])
    split("pi / 2", pi / 2, [33, 33, 33, 53])
    split("1 / sqrt 2", 1 / sqrt(mpf(2)), [26, 53])
    split("1 / sqrt(2 pi)", 1 / sqrt(2 * pi), [26, 53])

    half = ln2 / 2 * (1 + mpf(2) ** -20)
    show("exp", lambda r: (exp(r) - 1 - r) / r**2, -half, half, 9, lambda r: r**2 / exp(r))

    s_max = (sqrt(mpf(2)) - 1) / (sqrt(mpf(2)) + 1)
    show("log", lambda s2: (2 * atanh(sqrt(s2)) / sqrt(s2) - 2) / s2, mpf(2) ** -80, s_max**2, 6, lambda s2: s2)

    quarter = (pi / 4 * (1 + mpf(2) ** -20)) ** 2
    show("sin", lambda r2: (sin(sqrt(r2)) / sqrt(r2) - 1) / r2, mpf(2) ** -80, quarter, 5, lambda r2: r2)
    show("cos", lambda r2: (cos(sqrt(r2)) - 1 + r2 / 2) / r2**2, mpf(2) ** -60, quarter, 5, lambda r2: r2**2)

    c = tail_centre()
    at_c = tail(c)

    def tail_slope(t):
        x = c * (1 + t) / (1 - t)
        return (tail(x) - at_c) / t

    x_max = mpf("26.6")
    show("tail", tail_slope, -1, (x_max - c) / (x_max + c), 20, lambda t: abs(t) / tail(c * (1 + t) / (1 - t)), pin=-1)

    def centre(v):
        d = sqrt(v)
        return sqrt(mpf(2)) * erfinv(2 * d) / d - mpf(5) / 2

    show("quantile, centre", centre, mpf(2) ** -80, mpf(1) / 16, 13)

    def start(v):
        r = 1 / v - 4
        return r - normal_quantile_above(exp(-r * r / 2))

    show("quantile, start", start, 1 / mpf("42.7"), 1 / mpf("5.66"), 7)


if __name__ == "__main__":
    main()
