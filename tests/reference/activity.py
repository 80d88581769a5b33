"""Activity of carbon in alloyed austenite, for rows of shared/checks/diffusion.toml.

The two-sublattice regular solution written out apart from the program, solved with scipy.
Parameters: Gustafson 1985 (Fe-C, seen), Lacaze and Sundman 1991 (Fe-C-Si), Gabriel, Gustafson and
Ansara 1987 (Fe-C-Ni), Gustafson 1985 (Fe-C-Cr), Huang 1990 (Fe-C-Mn); the alloy terms partly from
memory.

Made with Python 3.11.7, scipy 1.17.1:

    pip install scipy
    python tests/reference/activity.py

Not needed to run the tests.
"""

import math

import scipy
from scipy.optimize import brentq

GAS = 8.314462618
WEIGHT = dict(C=12.011, Fe=55.845, Si=28.0855, Mn=54.938, Cr=51.9961, Ni=58.6934)


def ln_activity(kelvin, percent):
    t = kelvin
    moles = {k: percent.get(k, 0.0) / WEIGHT[k] for k in WEIGHT if k != "Fe"}
    moles["Fe"] = (100 - sum(percent.values())) / WEIGHT["Fe"]
    metal = sum(v for k, v in moles.items() if k != "C")
    y = {k: v / metal for k, v in moles.items()}
    fe, si, ni, cr, mn, c = (y[k] for k in ("Fe", "Si", "Ni", "Cr", "Mn", "C"))

    # Difference between the filled and the empty lattice, J/mol.
    stable = -8115.28 + 130.059 * t - 23.4582 * t * math.log(t) - 0.00734768 * t * t + 69827 / t
    lattice = -3439.3 + 131.884 * t - 24.5177 * t * math.log(t) - 0.006 * t * t + 69600 / t
    frame = (
        fe * (77207 - 15.877 * t)
        + si * (-20510 + 38.7 * t - 51000 + 21.8 * t)
        + ni * (62000 - 7.6 * t)
        + cr * (1200 - 1.94 * t - 7284 - 0.163 * t)
        + mn * (502 + 15.261 * t - (lattice - stable))
    )
    pair = fe * -34671 + ni * (-14902 + 7.5 * t) + cr * (-11977 + 6.8194 * t) + mn * -43433
    d = fe - si
    mix = fe * si * (
        143220 + 39.31 * t - 216321 * d - (-125247.7 + 41.116 * t - 142707.6 * d + 89907.3 * d * d)
    )
    d = fe - ni
    mix += fe * ni * (
        49074 - 7.32 * t - 25800 * d
        - (-12054.355 + 3.27413 * t + (11082.1315 - 4.45077 * t) * d - 725.805174 * d * d)
    )
    mix += fe * cr * (-74319 + 3.2353 * t - (10833 - 7.477 * t + 1410 * (cr - fe)))
    mix += fe * mn * (34052 - 23.467 * t - (-7762 + 3.865 * t - 259 * (fe - mn)))
    return (frame + mix) / (GAS * t) + math.log(c / (1 - c)) + (1 - 2 * c) * pair / (GAS * t)


def main():
    print("scipy", scipy.__version__)
    for celsius in (900, 1000, 1100, 1150, 1200):
        t = celsius + 273.15
        plain = ln_activity(t, {"C": 0.85})
        shifts = {
            k: (ln_activity(t, {"C": 0.85, k: p}) - plain) / p
            for k, p in (("Si", 1), ("Mn", 1), ("Cr", 1), ("Ni", 2))
        }
        print(celsius, "activity", math.exp(plain), "shift per %", shifts)
    one = dict(Mn=0.40, Si=0.20)
    two = dict(Ni=2.0, Mn=0.35, Si=0.25, Cr=0.10)
    for celsius in (900, 1000, 1150, 1200):
        t = celsius + 273.15
        w = brentq(
            lambda w: ln_activity(t, {"C": w, **one}) - ln_activity(t, {"C": 1.7 - w, **two}),
            0.5, 1.2,
        )
        print(celsius, "equal layers, 0.85 % in all:", w, 1.7 - w, "difference", 2 * w - 1.7)
    t = 1423.15
    target = ln_activity(t, {"C": 0.95})
    held = brentq(lambda w: ln_activity(t, {"C": w, "Ni": 99.5}) - target, 0.01, 1.0)
    print("nickel beside 0.95 % at 1150 C:", held)
    t = 1323.15
    w = brentq(
        lambda w: ln_activity(t, {"C": w, "Si": 3.8}) - ln_activity(t, {"C": 0.919 - w, "Si": 0.05}),
        0.1, 0.6,
    )
    print("silicon couple at 1050 C:", w, 0.919 - w, "ratio", (0.919 - w) / w)


if __name__ == "__main__":
    main()
