"""Cooling and heating of a square section, by method of lines and scipy's LSODA.

Worked with Python 3.11.7, numpy 2.4.6, scipy 1.17.1 (the versions are printed). Not needed to run the
tests; the results stand as rows in shared/checks/section.toml.

Independent of the product: cell-centred finite volumes in temperature form (rho c dT/dt), the
surface temperature found from a half-cell balance, conductivity averaged at the faces, time by
LSODA with a tight tolerance.
"""

import sys

import numpy as np
import scipy
from scipy.integrate import solve_ivp

SIGMA = 5.670374419e-8
RHO = 7850.0


def c(t):
    t = np.asarray(t, dtype=float)
    return np.select(
        [t < 600, t < 735, t < 900],
        [
            425 + 0.773 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3,
            666 + 13002 / (738 - np.minimum(t, 735)),
            545 + 17820 / (np.maximum(t, 735) - 731),
        ],
        650.0,
    )


def k(t):
    return np.where(t < 800, 54 - 3.33e-2 * t, 27.3)


def flux_air(ts, side):
    """Heat out of the steel, W/m2."""
    return 0.8 * SIGMA * ((ts + 273.15) ** 4 - 293.15**4) + 1.32 * (
        np.maximum(ts - 20, 0) / side
    ) ** 0.25 * (ts - 20)


def flux_furnace(ts, _side, furnace=1250.0):
    return -(0.8 * SIGMA * ((furnace + 273.15) ** 4 - (ts + 273.15) ** 4) + 25 * (furnace - ts))


def surface(tc, half, side, flux):
    ts = tc.copy()
    for _ in range(30):
        f = k(tc) * (tc - ts) / half - flux(ts, side)
        d = 1e-3
        slope = -k(tc) / half - (flux(ts + d, side) - flux(ts - d, side)) / (2 * d)
        ts = ts - f / slope
    return ts


def run(width, thickness, start, flux, stop, n=16):
    side = min(width, thickness)
    nx = int(round(n * np.sqrt(width / side)))
    ny = int(round(n * np.sqrt(thickness / side)))
    dx, dy = width / 2 / nx, thickness / 2 / ny

    def rates(_time, flat):
        t = flat.reshape(ny, nx)
        qx = np.zeros((ny, nx + 1))
        qy = np.zeros((ny + 1, nx))
        kk = k(t)
        qx[:, 1:-1] = -0.5 * (kk[:, 1:] + kk[:, :-1]) * (t[:, 1:] - t[:, :-1]) / dx
        qy[1:-1, :] = -0.5 * (kk[1:, :] + kk[:-1, :]) * (t[1:, :] - t[:-1, :]) / dy
        qx[:, -1] = flux(surface(t[:, -1], dx / 2, side, flux), side)
        qy[-1, :] = flux(surface(t[-1, :], dy / 2, side, flux), side)
        net = (qx[:, :-1] - qx[:, 1:]) / dx + (qy[:-1, :] - qy[1:, :]) / dy
        return (net / (RHO * c(t))).ravel()

    def mean(_time, flat):
        return flat.mean() - stop

    def centre(_time, flat):
        t = flat.reshape(ny, nx)
        # even function of both coordinates through the two innermost cells
        return t[0, 0] + ((t[0, 0] - t[0, 1]) + (t[0, 0] - t[1, 0])) / 8 - stop

    for event in (mean, centre):
        event.terminal = False
    both = solve_ivp(
        rates,
        (0, 3000 * side / 0.03),
        np.full(nx * ny, float(start)),
        method="LSODA",
        rtol=1e-7,
        atol=1e-5,
        events=[mean, centre, _stop(centre, mean)],
        max_step=5.0,
        lband=nx,
        uband=nx,
    )
    return both.t_events[0][0], both.t_events[1][0]


def _stop(*events):
    """Ends the march half a kelvin after the last of the events."""

    def both(time, flat):
        return float(np.max([_stop.sign * event(time, flat) for event in events])) + 0.5

    both.terminal = True
    return both


_stop.sign = 1  # 1 when cooling, -1 when heating

if __name__ == "__main__":
    print("python", sys.version.split()[0], "numpy", np.__version__, "scipy", scipy.__version__)
    for w, t, stop in ((20, 20, 900), (50, 50, 900), (40, 6, 900), (30, 30, 700)):
        mean, centre = run(w / 1e3, t / 1e3, 1250, flux_air, stop)
        print(f"cool {w}x{t} mm 1250 to {stop} C: mean {mean:.3f} s, centre {centre:.3f} s")
    _stop.sign = -1
    mean, centre = run(0.03, 0.03, 20, flux_furnace, 1200)
    print(f"heat 30x30 mm 20 to 1200 C in 1250 C: mean {mean:.3f} s, centre {centre:.3f} s")
