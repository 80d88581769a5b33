"""The diffusion benches worked out by general-purpose solvers, beside the program in one run.

    pip install numpy scipy fipy
    python tests/reference/bench_diffusion.py            # these solvers only
    python tests/reference/bench_diffusion.py --cargo    # also `cargo bench --bench diffusion`, and ratios

Problems, as in benches/diffusion.rs: the laminate of 125 layers with bare faces and a diffusivity that
follows carbon, six heats, read at nine marks; five layers of 5 mm to 3,125 in five heats, sealed and
bare. Brute force: 20 cells to a layer throughout, banded Jacobian, one thread. Errors are those of
the worst cell at any mark against 80 cells to a layer at a tolerance of 1e-7.

Made with Python 3.11.7, numpy 2.4.6, scipy 1.17.1, FiPy 4.0.3. Times are medians; imports, set-up and
reference solutions are not timed.
"""

import json
import os
import pathlib
import statistics
import subprocess
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np
import scipy
from scipy.integrate import solve_ivp

from profile_scipy import HEAT, Stack, agren, callister, heat_kelvin

MARKS = [180, 240, 780, 900, 1800, 2700, 3600, 4500, 5400]
ROOT = pathlib.Path(__file__).resolve().parents[2]


def spans():
    """Stretches of the six heats between corners and marks, in their own heat's time."""
    for heat in range(6):
        cuts = sorted({0, 180, 780, 900} | ({240} if heat == 0 else set()))
        for start, end in zip(cuts, cuts[1:]):
            yield start, end, heat * 900 + end


def laminate(n, rtol, atol):
    """LSODA on the laminate; the carbon of every cell at the marks."""
    stack = Stack(np.arange(125) % 2, [2e-4] * 125, [0.95, 0.75], [1.0, 1.06], n)
    read = []
    for start, end, mark in spans():
        stack.run(agren, heat_kelvin, [(start, end)], (True, True), rtol=rtol, atol=atol)
        if mark in MARKS:
            read.append(stack.percent())
    return read


def laminate_fipy(n, steps, sweeps):
    """FiPy on the laminate: backward Euler, LU, steps even in the root of time over all six heats."""
    from fipy import CellVariable, DiffusionTerm, Grid1D, TransientTerm
    from fipy.solvers import LinearLUSolver

    stack = Stack(np.arange(125) % 2, [0.2] * 125, [0.95, 0.75], [1.0, 1.06], n)
    mesh = Grid1D(dx=stack.metres)
    a = CellVariable(mesh=mesh, value=stack.a, hasOld=True)
    a.constrain(0.0, mesh.facesLeft)
    a.constrain(0.0, mesh.facesRight)
    conduct = CellVariable(mesh=mesh, value=1.0)
    capacity = CellVariable(mesh=mesh, value=1 / stack.factor)
    equation = TransientTerm(coeff=capacity) == DiffusionTerm(coeff=conduct.harmonicFaceValue)
    solver = LinearLUSolver()
    even = 5400 * (np.arange(steps + 1) / steps) ** 2
    corners = [h * 900 + t for h in range(6) for t in (180, 780, 900)]
    times = np.unique(np.concatenate([even, corners, MARKS]))
    read = []
    for before, now in zip(times, times[1:]):
        kelvin = heat_kelvin((now + before) / 2 % 900)
        a.updateOld()
        for _ in range(sweeps):
            conduct.setValue(1e6 * agren(a.value / stack.factor, kelvin) / stack.factor)
            equation.sweep(var=a, dt=now - before, solver=solver)
        if any(abs(now - mark) < 1e-9 for mark in MARKS):
            read.append(a.value / stack.factor)
    return len(times) - 1, read


def restacked(n, bare, rtol, atol):
    """LSODA on the growing stack; layer means after each stage."""
    steels = np.array([0, 1, 0, 1, 0])
    stack = Stack(steels, [5e-3] * 5, [0.95, 0.75], [1.0, 1.06], n)
    read = []
    for k in range(5):
        if k > 0:
            a = np.tile(stack.a, 5)
            steels = np.tile(steels, 5)
            stack = Stack(steels, [5e-3 / 5 ** k] * len(steels), [0, 0], [1.0, 1.06], n)
            stack.a = a

        def thinning(t):
            return 1.0 if k == 4 or t <= 180 else 5.0 ** (-(min(t, 780) - 180) / 600)

        stack.run(callister, heat_kelvin, HEAT, (bare, bare), thinning, rtol, atol)
        read.append(stack.percent().reshape(-1, n).mean(axis=1))
    return read


def median_ms(call, times):
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        answer = call()
        spent.append(1e3 * (time.perf_counter() - start))
    return statistics.median(spent), answer


def worst(read, reference, fold):
    return max(
        np.abs(a - r.reshape(-1, fold).mean(axis=1)).max() for a, r in zip(read, reference)
    )


def program(name):
    """Milliseconds per run: the median, and the fastest sample, which other work on the machine
    disturbs least."""
    sample = json.loads((ROOT / "target" / "criterion" / name / "new" / "sample.json").read_text())
    each = [time / runs / 1e6 for time, runs in zip(sample["times"], sample["iters"])]
    return statistics.median(each), min(each)


def cargo():
    subprocess.run(["cargo", "bench", "--bench", "diffusion"], cwd=ROOT, check=True,
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    names = ["laminate", "restacked sealed", "restacked bare"]
    names += [f"layers/1e{tens}" for tens in range(3, 10)]
    found = {}
    for name in names:
        folder = "diffusion_layers" if name.startswith("layers") else f"diffusion_{name}"
        found[name] = program(f"{folder}/{name.split('/')[1]}" if "/" in name else folder)
    return found


def main():
    import fipy

    print("numpy", np.__version__, "scipy", scipy.__version__, "fipy", fipy.__version__)
    ours = [cargo()] if "--cargo" in sys.argv else []
    rows = []

    reference = laminate(80, 1e-7, 1e-9)
    ms, read = median_ms(lambda: laminate(20, 1e-3, 1e-4), 5)
    rows.append(("laminate", "scipy LSODA", ms, worst(read, reference, 4)))
    ms, (steps, read) = median_ms(lambda: laminate_fipy(20, 520, 2), 3)
    rows.append(("laminate", f"FiPy, {steps} steps of 2 sweeps", ms, worst(read, reference, 4)))

    for name, bare in (("restacked sealed", False), ("restacked bare", True)):
        fine = restacked(20, bare, 1e-6, 1e-8)
        ms, read = median_ms(lambda: restacked(20, bare, 1e-3, 1e-4), 3)
        rows.append((name, "scipy LSODA", ms, worst(read, fine, 1)))

    if ours:
        ours.append(cargo())
    print(f"{'problem':18} {'solver':32} {'ms':>10} {'worst error':>12} {'program ms':>11} {'ratio':>8}")
    for problem, solver, ms, error in rows:
        line = f"{problem:18} {solver:32} {ms:10.1f} {error:12.4f}"
        if ours:
            mine = statistics.median(found[problem][0] for found in ours)
            line += f" {mine:11.3f} {ms / mine:8.0f}"
        print(line)
    if ours:
        for name, which, pick in (("median", 0, statistics.median), ("fastest", 1, min)):
            layers = {k: pick(found[k][which] for found in ours) for k in ours[0] if "/" in k}
            each = " ".join(f"{k.split('/')[1]}: {v:.3f}" for k, v in layers.items())
            flat = max(layers.values()) / min(layers.values())
            print(f"layers, {name} ms: {each}; most over least {flat:.2f}")


if __name__ == "__main__":
    main()
