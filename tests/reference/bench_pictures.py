"""The blade of flat random layers by the same maps in plain numpy, beside the program in one run.

    pip install numpy
    python tests/reference/bench_pictures.py            # numpy only
    python tests/reference/bench_pictures.py --cargo    # also `cargo bench --bench pictures`, and the ratio

The billet of benches/pictures.rs: nine layers of 6 and 3 mm, drawn to 40 x 14, four pieces restacked,
twice; drawn to 48 x 5 and ground to a blade of 210 x 46. Every point goes back by the same maps in the
same order (uneven hammering from one lattice of smooth noise, stretch, pile) and asks the first stack
for its steel, at four samples a pixel, 1920 x 1080, one thread, only where the outline covers. The
lattice holds other random numbers, so the two blades differ in the figure and not in the work.

The median of three is told; making the lattices is not timed.
"""

import json
import pathlib
import statistics
import subprocess
import sys
import time

import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
WIDE, HIGH = 1920, 1080
BLADE, HEIGHT, SPINE, TIP, EDGE = 210.0, 46.0, 3.0, 1.2, 0.3
RATE = 2 * 2.1 * 2.1 / 22.0  # nodes per mm of the finest octave
SHEAR = 0.33


class Hammer:
    """z + face (N1 (1+q)/2 + N2 (1-q)/2) + inside N3 (1-q^2), q = 2z/T."""

    def __init__(self, rng, size, face, inside):
        self.width, self.thick, self.length = size
        self.face, self.inside = face, inside
        columns = int((self.length + SHEAR * self.width) * RATE) + 5
        rows = int(self.width * RATE) + 5
        self.nodes = rng.uniform(-1.7, 1.7, (rows, columns, 3))

    def back(self, x, y, z):
        u = (x + SHEAR * (y + self.width / 2)) * RATE + 1
        v = (y + self.width / 2) * RATE + 1
        u = np.clip(u, 0, self.nodes.shape[1] - 3.001)
        v = np.clip(v, 0, self.nodes.shape[0] - 3.001)
        i, j = u.astype(np.int64), v.astype(np.int64)
        s, t = u - i, v - j
        across = (0.5 * (1 - s) ** 2, 0.5 + s * (1 - s), 0.5 * s * s)
        down = (0.5 * (1 - t) ** 2, 0.5 + t * (1 - t), 0.5 * t * t)
        noise = sum(
            (down[b] * across[a])[:, None] * self.nodes[j + b, i + a]
            for a in range(3)
            for b in range(3)
        )
        q = np.clip(2 * z / self.thick, -1, 1)
        n1, n2, n3 = noise.T
        faces = n1 * (1 + q) / 2 + n2 * (1 - q) / 2
        return x, y, z + self.face * faces + self.inside * n3 * (1 - q * q)


def stretch(before, after):
    (w0, t0, l0), (w1, t1, l1) = before, after
    return lambda x, y, z: (x * (l0 / l1), y * (w0 / w1), z * (t0 / t1))


def pile(pieces, thick, step):
    def back(x, y, z):
        which = np.clip(np.floor(z / thick + pieces / 2), 0, pieces - 1)
        return x + which * step, y, z - (which - (pieces - 1) / 2) * thick

    return back


def billet(rng):
    """The maps, newest first, and the bounds of the first stack's layers."""
    stack = np.array([6.0, 3.0] * 4 + [6.0])
    size = [40.0, stack.sum(), 120.0]
    maps = []

    def draw(width, thick):
        after = [width, thick, size[0] * size[1] * size[2] / (width * thick)]
        maps.append(stretch(list(size), after))
        maps.append(Hammer(rng, after, 0.02 * min(thick, 15), 0.012 * thick).back)
        size[:] = after

    for _ in range(2):
        draw(40.0, 14.0)
        each = (size[2] - 6.0) / 4
        maps.append(pile(4, size[1] - 1.0, each + 2.0))
        size[:] = [size[0], 4 * (size[1] - 1.0), each]
    draw(48.0, 5.0)
    return maps[::-1], np.cumsum(stack), size


def picture(maps, bounds, size):
    px = BLADE / (0.96 * WIDE)
    left = BLADE / 2 - px * WIDE / 2
    top = HEIGHT / 2 + px * HIGH / 2
    start = 0.3 * (size[2] - BLADE)
    out = np.zeros((HIGH, WIDE))
    columns = left + (np.arange(WIDE) + 0.5) * px
    height = bounds[-1]
    for row in range(HIGH):
        total = np.zeros(WIDE)
        for down in (0.25, 0.75):
            y = top - (row + down) * px
            if not 0 <= y <= HEIGHT:
                continue
            for right in (-0.25, 0.25):
                x = columns + right * px
                share = np.clip(x / BLADE, 0, 1)
                edge = HEIGHT * share**3
                here = np.nonzero((x >= 0) & (x < BLADE) & (y >= edge))[0]
                if not len(here):
                    continue
                x, share, edge = x[here], share[here], edge[here]
                up = (y - edge) / np.maximum(HEIGHT - edge, 1e-3)
                z = 0.5 * (EDGE + (SPINE + share * (TIP - SPINE) - EDGE) * up)
                p = (x + start, np.full_like(x, y - size[0] / 2), z)
                for back in maps:
                    p = back(*p)
                layer = np.searchsorted(bounds, p[2] + height / 2).clip(0, len(bounds) - 1)
                total[here] += np.where(layer % 2, 0.7, 0.15)
        out[row] = total / 4
    return out


def main():
    maps, bounds, size = billet(np.random.default_rng(1))
    times = []
    for _ in range(3):
        start = time.perf_counter()
        made = picture(maps, bounds, size)
        times.append(time.perf_counter() - start)
    plain = statistics.median(times)
    print(f"numpy {np.__version__}: {1000 * plain:,.0f} ms, one thread; mean light {made.mean():.3f}")
    if "--cargo" not in sys.argv:
        return
    subprocess.run(["cargo", "bench", "--bench", "pictures", "--", "random"], cwd=ROOT, check=True)
    found = sorted(ROOT.glob("target/criterion/*/random*/new/estimates.json"))
    for path in found:
        ours = json.loads(path.read_text())["median"]["point_estimate"] / 1e6
        print(f"{path.parts[-4]}, {path.parts[-3]}: {ours:.1f} ms, {1000 * plain / ours:,.0f} x")


if __name__ == "__main__":
    main()
