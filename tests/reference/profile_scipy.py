"""Carbon through layers worked out with scipy's LSODA on every cell of every layer, for rows of
shared/checks/diffusion.toml.

The brute way, apart from the program: no merging of layers, no mirror planes, diffusivity and its
exponential at every cell and call, banded Jacobian, tight tolerances.

Made with Python 3.11.7, numpy 2.4.6, scipy 1.17.1:

    pip install numpy scipy
    python tests/reference/profile_scipy.py

Takes about two minutes. Not needed to run the tests.
"""

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.special import erfc, erfcx

GAS = 8.314462618


def agren(percent, kelvin):
    w = np.clip(percent, 0.0, 1.5)
    y = (w / 12.011) / ((100 - w) / 55.845)
    spread = 1 + y * (1 - y) * 8339.9 / kelvin
    return 4.53e-7 * spread * np.exp(-(1 / kelvin - 2.221e-4) * (17767 - 26436 * y))


def callister(percent, kelvin):
    return 2.3e-5 * np.exp(-148000 / (GAS * kelvin)) * np.ones_like(percent)


def heat_kelvin(t):
    if t < 180:
        return 1073.15 + 350 * t / 180
    return 1423.15 if t <= 780 else 1423.15 - 350 * (t - 780) / 120


class Stack:
    """Cells of a stack of layers, `n` to a layer, thickness in m."""

    def __init__(self, steels, metres, carbon, factors, n):
        self.n = n
        self.metres = np.repeat(np.asarray(metres) / n, n)
        self.factor = np.repeat(np.asarray(factors)[steels], n)
        self.steel = np.repeat(steels, n)
        self.a = np.repeat(np.asarray(carbon)[steels], n) * self.factor

    def percent(self):
        return self.a / self.factor

    def layer(self, i):
        return self.percent()[i * self.n:(i + 1) * self.n].mean()

    def mean(self, steel=None):
        keep = slice(None) if steel is None else self.steel == steel
        return np.average(self.percent()[keep], weights=self.metres[keep])

    def run(self, law, kelvin, spans, bare=(False, False), thinning=lambda t: 1.0,
            rtol=1e-6, atol=1e-8):
        """LSODA over the spans of time; `bare` faces hold no carbon."""
        capacity = self.metres / self.factor
        path = self.metres * self.factor
        evaluations = 0

        def rate(t, a):
            half = path / (2 * law(a / self.factor, kelvin(t)))
            flux = np.zeros(len(a) + 1)
            flux[1:-1] = (a[:-1] - a[1:]) / (half[:-1] + half[1:])
            if bare[0]:
                flux[0] = -a[0] / half[0]
            if bare[1]:
                flux[-1] = a[-1] / half[-1]
            return (flux[:-1] - flux[1:]) / (capacity * thinning(t) ** 2)

        for start, end in spans:
            answer = solve_ivp(rate, (start, end - 1e-9), self.a, method="LSODA", lband=1, uband=1,
                               rtol=rtol, atol=atol)
            self.a = answer.y[:, -1]
            evaluations += answer.nfev
        return evaluations


HEAT = [(0, 180), (180, 780), (780, 900)]


def laminate(law, bare, n, heats):
    """125 layers of 0.2 mm; yields the stack after each heat."""
    steels = np.arange(125) % 2
    stack = Stack(steels, [2e-4] * 125, [0.95, 0.75], [1.0, 1.06], n)
    for _ in range(heats):
        stack.run(law, heat_kelvin, HEAT, (bare, bare))
        yield stack


def restacked(law, bare, cells, stages):
    """Five layers of 5 mm, drawn 25 to 5 mm in each heat but the last, cut and stacked by five."""
    steels = np.array([0, 1, 0, 1, 0])
    stack = Stack(steels, [5e-3] * 5, [0.95, 0.75], [1.0, 1.06], cells[0])
    for k in range(stages):
        if k > 0:
            # Layers get thinner, so fewer cells each will do: average neighbours where asked to.
            fewer = stack.n // cells[k]
            a = stack.a.reshape(-1, fewer).mean(axis=1)
            a = np.tile(a, 5)
            steels = np.tile(steels, 5)
            stack = Stack(steels, [5e-3 / 5 ** k] * len(steels), [0, 0], [1.0, 1.06], cells[k])
            stack.a = a
        drawn = k < 4

        def thinning(t):
            if not drawn or t <= 180:
                return 1.0
            return 5.0 ** (-(min(t, 780) - 180) / 600)

        stack.run(law, heat_kelvin, HEAT, (bare, bare), thinning, rtol=1e-5, atol=1e-7)
        yield stack


def main():
    print("numpy", np.__version__, "scipy", scipy.__version__)

    edges = np.concatenate([[0], np.geomspace(2e-6, 12e-3, 700)])
    slab = Stack(np.zeros(700, dtype=int), np.diff(edges), [0.95], [1.0], 1)
    slab.run(agren, lambda t: 1423.15, [(0, 3600)], (True, False))
    inside = np.concatenate([[0], np.cumsum(slab.metres * slab.percent())])
    for mm in (0.25, 0.5, 1.0, 2.0):
        around = np.interp([mm * 1e-3 - 5e-5, mm * 1e-3 + 5e-5], edges, inside)
        print("bare slab, follows carbon,", mm, "mm:", np.diff(around)[0] / 1e-4)
    print("bare slab loss:", 1e3 * (0.95 * edges[-1] - inside[-1]))

    beta, d, t = 1e-7, 2.3e-5 * np.exp(-148000 / (GAS * 1423.15)), 3600.0
    h, root = beta / d, np.sqrt(d * t)
    for mm in (0.05, 0.5, 1.0):
        x = mm * 1e-3
        z = x / (2 * root)
        part = erfc(z) - np.exp(-z * z) * erfcx(z + h * root)
        print("film, from 0.20 towards 0.90,", mm, "mm:", 0.20 + 0.70 * part)

    for n in (40, 80):
        for k, stack in enumerate(laminate(agren, True, n, 6), 1):
            if k in (1, 6):
                print("laminate bare follows carbon", n, "cells, heat", k, stack.mean(0),
                      stack.mean(1), stack.mean(), stack.layer(0), stack.layer(1))
    for k, stack in enumerate(laminate(callister, True, 40, 6), 1):
        if k == 6:
            print("laminate bare, heat 6", stack.mean(0), stack.mean(1), stack.layer(0))
    for k, stack in enumerate(laminate(agren, False, 40, 1), 1):
        print("laminate sealed follows carbon, heat 1", stack.mean(0), stack.mean(1),
              stack.layer(0), stack.layer(1))
    for k, stack in enumerate(restacked(callister, False, [80, 40], 2)):
        print("restacked sealed, stage", k, [stack.layer(i) for i in range(3)])
    for k, stack in enumerate(restacked(callister, True, [160, 160, 40, 10, 5], 5)):
        print("restacked bare, stage", k, stack.mean(), [stack.layer(i) for i in range(3)])
    for k, stack in enumerate(restacked(agren, True, [160, 160, 40, 10, 5], 5)):
        print("restacked bare follows carbon, stage", k, stack.mean(),
              [stack.layer(i) for i in range(3)])


if __name__ == "__main__":
    main()
