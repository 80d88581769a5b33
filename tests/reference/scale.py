"""Scale over a heat's temperature history and carbon lost under a receding face, by scipy.

Worked with Python 3.11.7, numpy 2.4.6, scipy 1.17.1. Not needed to run the tests; results stand as
rows in shared/checks/scale.toml. The loss of carbon is solved as the differential equation in a
frame that moves with the face, not by the closed form that the product uses.
"""

import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.special import erf
from scipy.optimize import brentq

R = 8.314
CM_PER_OXYGEN = 3.3161 / 7.87


def kp(celsius):
    return np.where(celsius < 570, 0.0, 6.1 * np.exp(-169452 / (R * (celsius + 273.15))))


def metal_mm(times, temps, factor=1.0):
    """Metal lost per face, mm; times in s, temps in C, straight lines between."""

    def rate(t, _square):
        return 100 * CM_PER_OXYGEN**2 * kp(np.interp(t, times, temps)) * factor**2

    out = solve_ivp(rate, (times[0], times[-1]), [0.0], rtol=1e-10, atol=1e-14, max_step=2.0)
    return float(np.sqrt(out.y[0, -1]))


def carbon_depth(d, k_recession, seconds, left, nodes=1500):
    """Depth in mm below today's face with `left` of the carbon; d and X^2/t in mm2/s."""
    far = 12 * np.sqrt(d * seconds)
    y = far * np.linspace(0, 1, nodes) ** 2
    start = 1e-4 * seconds
    # a thin first skin, forgotten long before the end
    first = erf(y / (2 * np.sqrt(d * start)))

    def rates(t, c):
        c = np.concatenate([[0.0], c, [1.0]])
        v = 0.5 * np.sqrt(k_recession / t)
        h = np.diff(y)
        slope = np.diff(c) / h
        curve = (slope[1:] - slope[:-1]) / (0.5 * (h[1:] + h[:-1]))
        centre = (slope[1:] * h[:-1] + slope[:-1] * h[1:]) / (h[1:] + h[:-1])
        return d * curve + v * centre

    out = solve_ivp(
        rates, (start, seconds), first[1:-1], method="BDF", rtol=1e-7, atol=1e-9
    )
    c = np.concatenate([[0.0], out.y[:, -1], [1.0]])
    return float(np.interp(left, c, y))


if __name__ == "__main__":
    print("python", sys.version.split()[0], "numpy", np.__version__, "scipy", scipy.__version__)
    print(f"10 min at 1200 C: {metal_mm([0, 600], [1200, 1200]):.6f} mm")
    print(f"20 to 1250 C in 15 min: {metal_mm([0, 900], [20, 1250]):.6f} mm")
    heat = ([0, 480, 900, 960], [20, 1150, 1230, 900])
    print(f"up, soak, work: {metal_mm(*heat):.6f} mm in air, {metal_mm(*heat, factor=0.45):.6f} mm x0.45")
    for d, km, t in ((1.874e-4, 1.0617e-4, 600), (8.034e-5, 3.876e-5, 600)):
        print(
            f"D {d} mm2/s, X^2/t {km} mm2/s, {t} s:"
            f" 90 % at {carbon_depth(d, km, t, 0.9):.4f} mm, 50 % at {carbon_depth(d, km, t, 0.5):.4f} mm"
        )
    z = brentq(lambda x: erf(x) - (1.2 - 0.8) / (1.2 - 0.25), 0, 2)
    print(f"carburising 0.25 to 0.80 % under 1.20 %: z {z:.5f}, {(0.5e-3 / (2 * z)) ** 2 / 1.6e-11:.0f} s")
