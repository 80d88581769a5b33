"""Series solutions, enthalpy and half-temperature times with scipy's root finders and Bessel
functions. Results stand as rows in shared/checks/section.toml and hardness.toml.

Worked with Python 3.11.7, numpy 2.4.6, scipy 1.17.1. Not needed to run the tests.
"""

import sys

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

TERMS = 40


def plate(bi):
    roots = [
        brentq(lambda z: z * np.sin(z) - bi * np.cos(z), n * np.pi + 1e-12, n * np.pi + np.pi / 2)
        for n in range(TERMS)
    ]
    z = np.array(roots)
    return z, 4 * np.sin(z) / (2 * z + np.sin(2 * z))


def round_bar(bi):
    zeros0, zeros1 = jn_zeros(0, TERMS), np.concatenate([[1e-9], jn_zeros(1, TERMS - 1)])
    if np.isinf(bi):
        z = zeros0
    else:
        z = np.array(
            [
                brentq(lambda x: x * j1(x) - bi * j0(x), low, high)
                for low, high in zip(zeros1, zeros0)
            ]
        )
    return z, 2 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2)


def theta(series, fo):
    z, c = series
    return float(np.sum(c * np.exp(-(z**2) * fo)))


def half_time(series):
    return brentq(lambda fo: theta(series, fo) - 0.5, 1e-3, 1e4)


def grossmann_round(di, h):
    """Ideal diameter di (in) to real diameter (in) at severity h (1/in), h = film/(2 k)."""
    ideal = half_time(round_bar(np.inf)) * di**2
    # Bi on the radius = film R/k = (2 h) (d/2) = h d
    return brentq(lambda d: half_time(round_bar(h * d)) * d**2 - ideal, 0.01 * di, di)


def grossmann_plate(di, h):
    """Ideal diameter di (in) to plate thickness (in)."""
    ideal = half_time(round_bar(np.inf)) * (di / 2) ** 2
    return brentq(lambda s: half_time(plate(h * s)) * (s / 2) ** 2 - ideal, 0.005 * di, di)


def heat(t):
    if t < 600:
        return 425 + 0.773 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3
    if t < 735:
        return 666 + 13002 / (738 - t)
    if t < 900:
        return 545 + 17820 / (t - 731)
    return 650.0


if __name__ == "__main__":
    print("python", sys.version.split()[0], "numpy", np.__version__, "scipy", scipy.__version__)
    for bi in (0.1, 1.0, 10.0):
        z, c = plate(bi)
        print(f"plate Bi {bi}: zeta1 {z[0]:.6f} C1 {c[0]:.6f} theta(Fo=0.1) {theta((z, c), 0.1):.6f}")
        z, c = round_bar(bi)
        print(f"round Bi {bi}: zeta1 {z[0]:.6f} C1 {c[0]:.6f} theta(Fo=0.1) {theta((z, c), 0.1):.6f}")
    print(f"round Bi inf, half left: Fo {half_time(round_bar(np.inf)):.7f}")
    print(f"plate Bi 0.3, half left: Fo {half_time(plate(0.3)):.6f}")
    a = 2.034e-5
    beam = lambda t: theta(plate(100 * 0.15 / 73), a * t / 0.15**2) * theta(
        plate(100 * 0.1 / 73), a * t / 0.1**2
    )
    print(f"300x200 mm beam, 0.6 left: {brentq(lambda t: beam(t) - 0.6, 10, 1e5):.3f} s")
    wall = plate(500 * 0.04 / 63.9)
    fo = 18.8e-6 * 480 / 0.04**2
    print(f"40 mm wall, 480 s: centre {60 - 80 * theta(wall, fo):.3f} C")
    for upper in (600, 735, 800, 1200):
        points = [p for p in (600, 735, 900) if p < upper]
        total = quad(heat, 20, upper, points=points or None, limit=500)[0]
        print(f"enthalpy 20 to {upper} C: {total / 1000:.4f} kJ/kg")
    for di, h in ((1.0, 0.35), (1.0, 2.0), (2.0, 0.35), (2.0, 5.0), (3.0, 0.5)):
        print(f"DI {di} in, H {h}: D {grossmann_round(di, h):.4f} in")
    for di, h in ((0.946, 0.5), (1.238, 0.5), (1.427, 0.25), (1.427, 1.0), (2.0, 0.35)):
        print(f"DI {di} in, H {h}: plate {25.4 * grossmann_plate(di, h):.3f} mm")
