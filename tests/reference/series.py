"""Closed forms of diffusion worked out with numpy and scipy, for rows of shared/checks/diffusion.toml.

Made with Python 3.11.7, numpy 2.4.6, scipy 1.17.1:

    pip install numpy scipy
    python tests/reference/series.py

Not needed to run the tests.
"""

import numpy as np
import scipy
from scipy.optimize import brentq
from scipy.special import erf, erfc, erfinv

GAS = 8.314462618


def sheet(f, place):
    """Plane sheet, faces at nothing, F = Dt / half thickness squared."""
    odd = 2 * np.arange(4000) + 1
    signs = (-1.0) ** np.arange(4000)
    terms = signs / odd * np.cos(odd * np.pi / 2 * place) * np.exp(-((odd * np.pi / 2) ** 2) * f)
    return 4 / np.pi * terms.sum()


def sheet_mean(f):
    odd = 2 * np.arange(4000) + 1
    return (8 / (odd * np.pi) ** 2 * np.exp(-((odd * np.pi / 2) ** 2) * f)).sum()


def couple(filled, place, f):
    k = np.pi * np.arange(1, 4000)
    return filled + 2 * (np.sin(k * filled) * np.cos(k * place) * np.exp(-k * k * f) / k).sum()


def block(mm, start, theta_mm2):
    """Layer means of a sealed stack."""
    edges = np.concatenate([[0], np.cumsum(mm)])
    whole = edges[-1]
    k = np.arange(1, 200_000) * np.pi / whole
    waves = np.array([(np.sin(k * b) - np.sin(k * a)) / k for a, b in zip(edges, edges[1:])])
    strength = (np.array(start)[:, None] * waves).sum(axis=0)
    means = 2 / whole * (strength * np.exp(-k * k * theta_mm2) * waves).sum(axis=1) / np.array(mm)
    return means + np.dot(mm, start) / whole


def main():
    print("numpy", np.__version__, "scipy", scipy.__version__)
    z = erfinv(1 - (0.80 - 0.25) / (1.20 - 0.25))
    print("carburise", (0.5e-3 / (2 * z)) ** 2 / 1.6e-11, "s")
    print("inverse erf of a half", erfinv(0.5), " blur", 4 * erfinv(0.8))
    d = 2.3e-5 * np.exp(-148000 / (GAS * 1423.15))
    root = np.sqrt(d * 3600) * 1e3
    for x in (0.1, 0.25, 0.5, 1.0, 2.0):
        print("half space", x, 0.95 * erf(x / (2 * root)))
    print("half space loss", 2 * 0.95 * root / np.sqrt(np.pi))
    for f in (0.05, 0.2, 0.5, 1.0):
        print("sheet", f, sheet(f, 0.0), sheet_mean(f))
    for case in ((0.5, 0, 0.05), (0.5, 0.25, 0.05), (0.5, 1, 0.05), (0.5, 0, 0.1),
                 (0.5, 0.75, 0.5), (0.25, 0, 0.05), (0.25, 1, 0.05)):
        print("couple", case, couple(*case))
    for f in (0.06379278, 0.1275856, 0.2551711):
        print("laminate", f, sheet(4 * f, 0.0), sheet_mean(4 * f))
    print("level to 5 %", brentq(lambda f: sheet_mean(4 * f) - 0.05, 0.1, 1.0))
    first = (0.478 + 0.441) / (1 + 1.86)
    for mm in (2, 5, 10, 20):
        spread = 2 * np.sqrt(3.3e-11 * 1123200) * 1e3
        print("joint", mm, 0.478 + (first - 0.478) * erfc(mm / spread))
    for theta in (1.942666e-11, 1.264676e-8, 1.303379e-6):
        print("nickel block", theta, block([5] * 5, [0, 2, 0, 2, 0], theta * 1e6)[:3])


if __name__ == "__main__":
    main()
