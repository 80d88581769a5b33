"""Carbon through layers worked out with FiPy, for rows of shared/checks/diffusion.toml.

Made with Python 3.11.7, FiPy 4.0.3, scipy 1.17.1:

    pip install fipy
    python tests/reference/profile_fipy.py

Takes about a minute. Not needed to run the tests.
"""

import fipy
import numpy as np
from fipy import CellVariable, DiffusionTerm, Grid1D, TransientTerm
from fipy.solvers import LinearLUSolver

GAS = 8.314462618


def agren(w, kelvin):
    w = np.clip(w, 0.0, 1.5)
    y = (w / 12.011) / ((100 - w) / 55.845)
    spread = 1 + y * (1 - y) * 8339.9 / kelvin
    return 4.53e-7 * spread * np.exp(-(1 / kelvin - 2.221e-4) * (17767 - 26436 * y))


def callister(kelvin):
    return 2.3e-5 * np.exp(-148000 / (GAS * kelvin))


def solve(widths, start, factor, diffusivity, ends, steps, follow=None, face=None, sweeps=1):
    """Backward Euler in activity over even steps of the root of time; mm and mm2/s."""
    mesh = Grid1D(dx=widths)
    a = CellVariable(mesh=mesh, value=start * factor, hasOld=True)
    if face is not None:
        a.constrain(face, mesh.facesLeft)
    capacity = CellVariable(mesh=mesh, value=1 / factor)
    conduct = CellVariable(mesh=mesh, value=diffusivity / factor)
    equation = TransientTerm(coeff=capacity) == DiffusionTerm(coeff=conduct.harmonicFaceValue)
    solver = LinearLUSolver()
    before = 0.0
    for k in range(1, steps + 1):
        now = ends * (k / steps) ** 2
        a.updateOld()
        for _ in range(sweeps):
            if follow is not None:
                conduct.setValue(follow(a.value / factor) / factor)
            equation.sweep(var=a, dt=now - before, solver=solver)
        before = now
    return a.value / factor


def mean(widths, percent, start, end):
    edges = np.concatenate([[0], np.cumsum(widths)])
    inside = np.concatenate([[0], np.cumsum(widths * percent)])
    return np.diff(np.interp([start, end], edges, inside))[0] / (end - start)


def main():
    print("fipy", fipy.__version__, "numpy", np.__version__)
    d = callister(1423.15) * 1e6

    widths = np.diff(np.concatenate([[0], np.geomspace(0.002, 12, 600)]))
    ones = np.ones(len(widths))
    percent = solve(widths, 0.95 * ones, ones, d * ones, 3600.0, 800, face=0.0)
    for mm in (0.5, 1.0):
        print("bare slab", mm, "mm:", mean(widths, percent, mm - 0.05, mm + 0.05))

    widths = np.full(2000, 0.01)
    ones = np.ones(2000)
    start = np.where(np.arange(2000) < 1000, 0.95, 0.45)
    percent = solve(widths, start, ones, d * ones, 3600.0, 800,
                    follow=lambda w: 1e6 * agren(w, 1423.15), sweeps=3)
    for mm in (9.0, 9.75, 10.25, 11.0):
        print("couple that follows carbon", mm, "mm:", mean(widths, percent, mm - 0.05, mm + 0.05))

    # Five layers of 5 mm at rest in size: one heat of 4.56214208e-7 m2.
    widths = np.full(1000, 0.025)
    steel = (np.arange(1000) // 200) % 2
    factor = np.where(steel == 1, 1.06, 1.0)
    start = np.where(steel == 1, 0.75, 0.95)
    percent = solve(widths, start, factor, d * np.ones(1000), 0.456214208 / d, 600)
    print("block of five", [mean(widths, percent, 5.0 * i, 5.0 * i + 5) for i in range(3)])

    # A nickel sheet of 0.05 mm between steel and iron, factor 7.5 in nickel, 600 s.
    widths = np.concatenate([np.full(400, 0.0025), np.full(50, 0.001), np.full(400, 0.0025)])
    where = np.repeat([0, 1, 2], [400, 50, 400])
    factor = np.array([1.0, 7.5, 1.0])[where]
    start = np.array([0.95, 0.01, 0.05])[where]
    nickel = 2.48e-4 * np.exp(-20200 / 1423.15) * 1e6
    conduct = np.array([d, nickel, d])[where]
    percent = solve(widths, start, factor, conduct, 600.0, 600)
    for name, ends in (("steel", (0, 1)), ("sheet", (1, 1.05)), ("iron", (1.05, 2.05))):
        print("nickel sheet,", name, mean(widths, percent, *ends))


if __name__ == "__main__":
    main()
