"""A third maker of pictures, for judging only: nothing was tuned on it. A bar is piled as a list of steels on a fine
mesh, pressed by random smooth flows, etched with diffused borders and relief, and seen in colour through a lens with
distortion, vignette, colour fringes and a shaken hand, by a mosaic of red, green and blue, then scaled and sharpened.
`python photographs_third.py OUT SEED ENDS OTHERS` writes OUT/*.jpg and OUT/truth.csv."""
import csv
import os
import sys

import numpy as np
from PIL import Image
from scipy import ndimage as nd

MOST = 560  # pixels, the longer side


def pile(rng, fewest, most):
    """Steels and thicknesses from face to face: bars piled alternately turned, faces ground, like faces one band."""
    while True:
        n = int(rng.choice([3, 5, 7, 9, 11, 13, 15, 4, 8, 10]))
        ratio = rng.uniform(0.7, 2.0)
        bar = [[i % 2, (ratio if i % 2 else 1.0) * np.exp(rng.normal(0, 0.07))] for i in range(n)]
        for _ in range(int(rng.integers(0, 5))):
            k = int(rng.integers(2, 8))
            if len(bar) * k > 1.5 * most:
                break
            # the hammer thins the middle of a pile less than its faces
            hand = rng.uniform(0.0, 0.25)
            bar = [[s, t * np.exp(rng.normal(0, 0.04)) * (1 + hand * np.sin(np.pi * (i + 0.5) / k))]
                   for i in range(k) for s, t in bar]
            cut = rng.uniform(0.0, 0.6)
            bar[0][1] *= 1 - cut
            bar[-1][1] *= 1 - cut
        out = []
        for s, t in bar:
            if out and out[-1][0] == s:
                out[-1][1] += t
            else:
                out.append([s, t])
        t = np.array([b[1] for b in out])
        if fewest <= len(out) <= most and t.min() > 0.38 * t.mean() and t.max() < 3.5 * t.mean():
            return np.array([b[0] for b in out]), t


def noise(rng, h, w, sy, sx):
    z = nd.gaussian_filter(rng.standard_normal((h, w)), (sy, sx), mode="reflect")
    return (z - z.mean()) / (z.std() + 1e-9)


def bench(rng, h, w):
    """What lies behind: a vice, wood, paper, a floor, cloth."""
    kind = int(rng.integers(0, 5))
    level = rng.uniform(0.02, 0.75)
    y, x = np.mgrid[0:h, 0:w] / max(h, w)
    if kind == 0:
        out = level + 0.03 * noise(rng, h, w, 0.6, 20)
    elif kind == 1:
        out = level * (1 + 0.12 * noise(rng, h, w, 30, 2))
    elif kind == 2:
        out = level + 0.01 * noise(rng, h, w, 1, 1)
    elif kind == 3:
        out = level * (1 + 0.25 * (noise(rng, h, w, 1.2, 1.2) > 1.3))
    else:
        out = level * (1 + 0.08 * np.sin(x * rng.uniform(150, 400)) * np.sin(y * rng.uniform(150, 400)))
    return out, level


def lens(rng, img, pixels):
    """Distortion and fringes, a shaken hand, the mosaic, noise, and what the phone does to it."""
    h, w = img.shape
    y, x = np.mgrid[0:h, 0:w].astype(float)
    cy, cx = (h - 1) / 2, (w - 1) / 2
    r2 = ((x - cx) ** 2 + (y - cy) ** 2) / (cx * cx + cy * cy)
    bend = rng.uniform(-0.04, 0.03)
    tint = np.array([rng.uniform(0.9, 1.15), 1.0, rng.uniform(0.8, 1.1)])
    fringe = rng.uniform(0, 0.0015)
    shake = rng.uniform(0, 0.9 if pixels < 5 else 1.6)
    way = rng.uniform(0, np.pi)
    soft = rng.uniform(0.35, 0.7 if pixels < 5 else 1.1)
    planes = []
    for c in range(3):
        m = 1 + bend * r2 + fringe * (c - 1)
        plane = sum(
            nd.map_coordinates(img, [cy + (y - cy) * m + o * np.sin(way), cx + (x - cx) * m + o * np.cos(way)],
                               order=1, mode="nearest")
            for o in np.linspace(-shake, shake, 5)) / 5
        planes.append(nd.gaussian_filter(plane, soft) * tint[c] * (1 - rng.uniform(0, 0.25) * r2))
    full = rng.uniform(200, 4000)
    planes = [rng.poisson(np.clip(p, 0, None) * full) / full + rng.normal(0, 0.004, p.shape) for p in planes]
    # every place sees one colour: red and blue one in four, green two in four
    yi, xi = np.mgrid[0:h, 0:w]
    masks = [(yi % 2 == 0) & (xi % 2 == 0), (yi + xi) % 2 == 1, (yi % 2 == 1) & (xi % 2 == 1)]
    kernel = np.array([[1, 2, 1], [2, 4, 2], [1, 2, 1]]) / 4.0
    full_planes = []
    for p, mask in zip(planes, masks):
        weight = nd.convolve(mask.astype(float), kernel, mode="mirror")
        full_planes.append(nd.convolve(np.where(mask, p, 0.0), kernel, mode="mirror") / weight)
    rgb = np.stack(full_planes, -1)
    rgb = np.clip(rgb, 0, 1) ** (1 / rng.uniform(1.9, 2.4))
    # a curve for more contrast, and sharper
    s = rng.uniform(0, 0.5)
    rgb = rgb + s * (rgb - 0.5) * rgb * (1 - rgb) * 2
    rgb = rgb + rng.uniform(0, 0.9) * (rgb - nd.gaussian_filter(rgb, (rng.uniform(0.8, 2.0),) * 2 + (0,)))
    return np.clip(rgb * 255, 0, 255).astype(np.uint8)


def end(rng, pixels):
    most = int(min(260, 0.8 * MOST / pixels))
    if most < 9:
        return None
    fewest = int(np.exp(rng.uniform(np.log(7), np.log(0.9 * most))))
    steel, thick = pile(rng, fewest, most)
    n = len(steel)
    high = n * pixels
    wide = high * np.exp(rng.uniform(np.log(0.4), np.log(2.2)))
    wide = float(np.clip(wide, 70, 0.85 * MOST))
    turn = rng.uniform(0, 2 * np.pi)
    c, s = np.cos(turn), np.sin(turn)
    w = int(abs(wide * c) + abs(high * s) + rng.uniform(20, 90))
    h = int(abs(wide * s) + abs(high * c) + rng.uniform(20, 90))
    if max(w, h) > MOST:
        return None
    k = 3  # finer than the sensor
    yy, xx = np.mgrid[0:h * k, 0:w * k]
    x, y = (xx + 0.5) / k - w / 2, (yy + 0.5) / k - h / 2
    # looked at from a little aside
    a, b = rng.normal(0, 0.05, 2) / max(w, h)
    d = 1 + a * x + b * y
    u, v = (x * c + y * s) / d, (-x * s + y * c) / d
    # the press: smooth flows of both coordinates, the outside moving with the inside
    su = int(max(6, wide / rng.uniform(2.5, 7)))
    flow = noise(rng, 64, 64, rng.uniform(4, 16), rng.uniform(6, 16))
    lift = nd.map_coordinates(flow, [np.clip((v / high + 0.7) * 45, 0, 63), np.clip((u / wide + 0.7) * 45, 0, 63)], order=1)
    lift *= rng.uniform(0, 0.035) * high
    steep = np.abs(np.diff(lift, axis=1)).max() * k
    if steep > 0.45:
        lift *= 0.45 / steep
    v2 = v + lift
    # sides that bulge, corners that are round, faces slightly crowned
    bulge = rng.uniform(-0.05, 0.08) * wide
    crown = rng.uniform(0, 0.02) * high
    side = wide / 2 + bulge * (1 - (2 * v / high) ** 2)
    depth = (v2 - crown * (2 * u / wide) ** 2 * np.sign(v2) + high / 2)
    rim = np.maximum(np.abs(u) - side, np.maximum(-depth, depth - high))
    inside = rim < 0
    edges = np.concatenate([[0], np.cumsum(thick)]) * high / thick.sum()
    # the borders are soft where carbon and nickel have gone over
    blur = rng.uniform(0.02, 0.14) * pixels
    dark, light = rng.uniform(0.015, 0.10), rng.uniform(0.22, 0.6)
    if rng.random() < 0.15:
        light = dark * rng.uniform(2.0, 2.8)
    tone = np.where(steel == 0, dark, light) * np.exp(rng.normal(0, 0.06, n))
    fine = np.arange(0, high, 0.1)
    line = nd.gaussian_filter1d(tone[np.clip(np.searchsorted(edges, fine, side="right") - 1, 0, n - 1)], max(blur / 0.1, 0.5), mode="nearest")
    face = np.interp(depth, fine, line)
    # relief of the etch, oxide in specks, a bloom of rust, marks of the belt across the end
    ly = rng.uniform(-0.10, 0.10)
    face = face * (1 + ly * np.gradient(np.interp(depth, fine, line), axis=0) / (light - dark) * k)
    face = face * (1 + rng.uniform(0, 0.06) * noise(rng, h * k, w * k, 2, 2))
    belt = rng.uniform(0, np.pi)
    lines = np.sin(200 * noise(rng, 1, 4000, 0, 1.5))[0]
    across = ((x * np.cos(belt) + y * np.sin(belt)) * 2).astype(int) % 4000
    face = face * (1 + rng.uniform(0, 0.06) * lines[across])
    face = np.where(noise(rng, h * k, w * k, 2.0, 2.0) > rng.uniform(2.4, 4), face * 0.4, face)
    back, level = bench(rng, h * k, w * k)
    for _ in range(40):
        if min(abs(np.sqrt(max(level, 0.0)) - np.sqrt(t)) for t in (tone[0], tone[-1])) > 0.13:
            break
        back, level = bench(rng, h * k, w * k)
    else:
        return None
    # its shadow on what lies behind
    shadow = nd.gaussian_filter(inside.astype(float), rng.uniform(2, 8) * k)
    if rng.random() < 0.3:
        back = back * (1 - 0.25 * shadow)
    img = np.where(inside, face, back)
    img *= 1 + rng.uniform(-0.3, 0.3) * x / w + rng.uniform(-0.3, 0.3) * y / h
    if rng.random() < 0.2:
        img += rng.uniform(0.02, 0.1) * np.exp(-((x - rng.uniform(-w, w) / 2) ** 2 + (y - rng.uniform(-h, h) / 2) ** 2) / (0.08 * w * h))
    img = img.reshape(h, k, w, k).mean((1, 3))
    return lens(rng, img, pixels), n


def other(rng):
    """What is no end: blinds, stairs, planks, roofs, books, a thumb, a field, rulers, keys, ripples."""
    h, w = (int(v) for v in rng.integers(200, 520, 2))
    y, x = np.mgrid[0:h, 0:w].astype(float)
    kind = int(rng.integers(0, 12))
    t = rng.uniform(-0.6, 0.6)
    u, v = x * np.cos(t) + y * np.sin(t), -x * np.sin(t) + y * np.cos(t)
    near = 1 + rng.uniform(-0.3, 0.3) * (v - v.mean()) / h
    p = rng.uniform(9, 34)
    if kind == 0:  # blinds
        img = 0.15 + 0.5 * ((v * near) % p) / p + 0.1 * (np.abs((u % 160) - 80) < 2)
    elif kind == 1:  # stairs: treads that narrow upwards
        q = np.log(np.maximum(v - v.min() + 60, 1)) * rng.uniform(10, 22)
        img = np.where(q % 1 < 0.5, 0.5, 0.22)
        img = np.where(np.abs(u - u.mean()) > 0.33 * w, 0.35, img)
    elif kind == 2:  # planks, each of its own shade, ends staggered
        row = np.floor(v / p).astype(int)
        shade = rng.uniform(0.2, 0.5, (99, 99))
        col = np.floor((u + 60 * (row % 3)) / rng.uniform(90, 200)).astype(int)
        img = shade[row % 99, col % 99] * (1 + 0.08 * noise(rng, h, w, 1, 20))
        img = np.where((v % p) < 2, 0.06, img)
    elif kind == 3:  # corrugated roof
        img = 0.3 + 0.2 * np.sin(2 * np.pi * v * near / p) + 0.02 * noise(rng, h, w, 5, 5)
    elif kind == 4:  # books on a shelf
        edges = np.cumsum(rng.uniform(12, 40, 99))
        i = np.searchsorted(edges, u - u.min())
        top = rng.uniform(0.05, 0.35, 99)[i] * h
        img = np.where(v - v.min() > top, rng.uniform(0.05, 0.6, 99)[i], 0.03)
        img = np.where((np.abs(v - v.min() - 0.6 * h) < 12) & (noise(rng, h, w, 2, 1) > 0.3), 0.7, img)
    elif kind == 5:  # a thumb
        a = np.hypot(x - w / 2, (y - h / 2) * 0.7) + 12 * noise(rng, h, w, 40, 40)
        img = 0.4 + 0.12 * np.sin(2 * np.pi * a / rng.uniform(6, 11))
    elif kind == 6:  # a ploughed field to the horizon
        sky = y < 0.3 * h
        f = (x - w / 2) / np.maximum(y - 0.25 * h, 4)
        img = np.where(sky, 0.6, 0.18 + 0.06 * np.sin(f * rng.uniform(20, 60)) + 0.02 * noise(rng, h, w, 2, 2))
    elif kind == 7:  # a ruler
        long = np.where(np.floor(u / 7) % 10 == 0, 0.5, np.where(np.floor(u / 7) % 5 == 0, 0.4, 0.28))
        img = np.where((u % 7 < 1.6) & ((v - v.min()) / h < long), 0.05, 0.62)
    elif kind == 8:  # keys of a piano
        white = np.where(u % p < 1.5, 0.1, 0.75)
        black = (np.isin(np.floor(u / p + 0.5) % 7, [1, 2, 4, 5, 6])) & (np.abs((u / p + 0.5) % 1 - 0.5) < 0.3) & (v - v.min() < 0.45 * h)
        img = np.where(black, 0.04, white)
    elif kind == 9:  # ripples in sand
        img = 0.35 + 0.12 * np.tanh(1.5 * np.sin(2 * np.pi * (v + 22 * noise(rng, h, w, 25, 35)) / p))
    elif kind == 10:  # grain of a board, with arches
        a = np.sqrt((0.12 * (u - u.mean())) ** 2 + (v - v.mean()) ** 2 + 300) + 5 * noise(rng, h, w, 30, 60)
        img = 0.35 + 0.08 * np.sin(a / rng.uniform(1.2, 2.5)) + 0.03 * noise(rng, h, w, 0.7, 12)
    else:  # a fence before a wood
        img = np.where(v % p < 0.55 * p, 0.45 + 0.03 * noise(rng, h, w, 20, 1), 0.08 + 0.05 * noise(rng, h, w, 4, 4))
        img = np.where(np.abs(u - u.mean() - 60) < 9, 0.4, img)
    img = np.clip(img, 0, None) * (1 + rng.uniform(-0.3, 0.3) * x / w)
    return lens(rng, img, 9.0)


def main():
    out, seed, ends, others = sys.argv[1], *(int(v) for v in sys.argv[2:5])
    os.makedirs(out, exist_ok=True)
    rows, i = [], 0
    while len(rows) < ends:
        rng = np.random.default_rng([31, seed, i])
        i += 1
        # as many of each size
        part = (len(rows) * 37 % ends + rng.random()) / ends
        pixels = float(2.6 * (40 / 2.6) ** part)
        made = end(rng, pixels)
        if made is None:
            continue
        name = f"t-{len(rows):03}.jpg"
        Image.fromarray(made[0]).save(f"{out}/{name}", quality=int(rng.integers(60, 93)), subsampling=2)
        rows.append((name, made[1], round(pixels, 2)))
    for j in range(others):
        rng = np.random.default_rng([37, seed, j])
        name = f"u-{j:03}.jpg"
        Image.fromarray(other(rng)).save(f"{out}/{name}", quality=int(rng.integers(60, 93)), subsampling=2)
        rows.append((name, 0, 0))
    with open(f"{out}/truth.csv", "w", newline="") as f:
        csv.writer(f).writerows([("name", "bands", "pixels"), *rows])


if __name__ == "__main__":
    main()
