"""Photographs of etched ends, made by numpy, with their true counts.

Shares nothing with the program: layers are a list of thicknesses, the picture is looked up through an inverse
camera, blurred, dirtied and kept as JPEG. `python photographs.py OUT [SEED] [ENDS] [OTHERS]` writes
OUT/*.jpg and OUT/truth.csv (name, bands, pixels a band; 0 bands: no end grain).
"""
import csv, io, os, sys
import numpy as np
from PIL import Image
from scipy import ndimage as nd

MOST = 440  # pixels, the longer side


def stack(rng, most):
    """Thicknesses and steels of a bar: a first pile, restacked with ground faces; like faces that meet are one band."""
    while True:
        n = int(rng.integers(3, 14))
        ratio = rng.uniform(1.0, 2.2)
        tones = [i % 2 for i in range(n)]
        thick = np.array([ratio if t == 0 else 1.0 for t in tones]) * rng.lognormal(0, rng.uniform(0.06, 0.18), n)
        layers = list(zip(thick, tones))
        for _ in range(int(rng.integers(0, 4))):
            k = int(rng.integers(2, 6))
            ground = rng.uniform(0.0, 0.8)
            whole = []
            for i in range(k):
                piece = [(t * rng.lognormal(0, 0.06), s) for t, s in layers]
                piece[0] = (piece[0][0] * (1 - ground), piece[0][1])
                piece[-1] = (piece[-1][0] * (1 - ground), piece[-1][1])
                if rng.random() < 0.5:
                    piece = piece[::-1]
                whole += piece
            layers = whole
            if len(layers) > 2 * most:
                break
        merged = []
        for t, s in layers:
            if merged and merged[-1][1] == s:
                merged[-1][0] += t
                merged[-1][2].append(merged[-1][0] - t)
            else:
                merged.append([t, s, []])
        t = np.array([m[0] for m in merged])
        if 7 <= len(t) <= most and t.min() > 0.35 * t.mean() and t.max() < 4 * t.mean():
            return t, np.array([m[1] for m in merged]), [m[2] for m in merged]


def end(rng, bands_most, pixels):
    thick, steel, welds = stack(rng, bands_most)
    n = len(thick)
    high = n * pixels
    edges = np.concatenate([[0], np.cumsum(thick)]) * (high / thick.sum())
    wide = float(np.clip(high * rng.uniform(0.35, 1.3), 60, 420))
    margin = rng.uniform(0.06, 0.25) * min(high, wide) + 8
    turn = rng.uniform(0, 2 * np.pi)
    c, s = np.cos(turn), np.sin(turn)
    # corners of the end in the picture: turned, then pushed about for perspective
    quad = np.array([[-wide, -high], [wide, -high], [wide, high], [-wide, high]]) / 2
    quad = quad @ np.array([[c, s], [-s, c]])
    quad += rng.uniform(-1, 1, quad.shape) * 0.05 * min(high, wide)
    low, top = quad.min(0) - margin, quad.max(0) + margin
    w, h = np.ceil(top - low).astype(int)
    if max(w, h) > MOST:
        return None
    quad -= low
    a, b = [], []
    for (x, y), (u, v) in zip(quad, [(0, 0), (wide, 0), (wide, high), (0, high)]):
        a += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        b += [u, v]
    H = np.append(np.linalg.solve(np.array(a), np.array(b)), 1).reshape(3, 3)
    over = 3
    yy, xx = np.mgrid[0:h * over, 0:w * over]
    x, y = (xx + 0.5) / over, (yy + 0.5) / over
    d = H[2, 0] * x + H[2, 1] * y + 1
    u = (H[0, 0] * x + H[0, 1] * y + H[0, 2]) / d
    v = (H[1, 0] * x + H[1, 1] * y + H[1, 2]) / d
    # bends of the layers: waves along the end that die away towards top and bottom or not
    amp = rng.choice([0.3, 1.0, 2.0]) * rng.uniform(0, 0.02) * high
    bend = np.zeros_like(u)
    for _ in range(3):
        f, p = rng.uniform(0.5, 2.5) / wide, rng.uniform(0, 6.3)
        q = rng.uniform(0.0, 1.0) / high
        bend += amp * np.sin(2 * np.pi * (f * u + q * v) + p) / 1.7
    steep = np.abs(np.diff(bend, axis=1)).max() * over if bend.any() else 0.0
    if steep > 0.6:  # no steeper than about 30 degrees
        bend *= 0.6 / steep
    tilt = rng.uniform(-0.06, 0.06) if rng.random() < 0.3 else 0.0
    follow = rng.random() < 0.6
    lv = v + bend + tilt * (u - wide / 2)
    if not follow:
        fade = np.clip(np.minimum(v, high - v) / (0.12 * high), 0, 1)
        lv = v + (bend + tilt * (u - wide / 2)) * fade
        inside = (v >= 0) & (v <= high)
    else:
        inside = (lv >= 0) & (lv <= high)
    inside &= (u >= 0) & (u <= wide)
    which = np.clip(np.searchsorted(edges, lv, side="right") - 1, 0, n - 1)
    dark, bright = rng.uniform(35, 105), rng.uniform(135, 220)
    if rng.random() < 0.15:
        bright = dark + rng.uniform(30, 60)
    base = np.where(steel == 0, dark, bright) + rng.normal(0, 0.05 * (bright - dark), n)
    tone = base[which]
    if rng.random() < 0.3:  # faint weld lines in doubled bands
        depth = rng.uniform(0.03, 0.15) * (bright - dark)
        scale = high / thick.sum()
        for i, ws in enumerate(welds):
            for off in ws:
                at = edges[i] + off * scale
                tone = tone + (depth if steel[i] == 0 else -depth) * (np.abs(lv - at) < 0.12 * pixels + 0.3)
    # light from the side on the relief of the etch
    tone = nd.uniform_filter(tone, over)[::1, ::1]
    g = nd.sobel(tone, 0) * np.sin(turn) + nd.sobel(tone, 1) * np.cos(turn)
    tone = tone + rng.uniform(-0.04, 0.04) * g
    # mottle of the etch
    mott = nd.gaussian_filter(rng.normal(0, 1, (h, w)), rng.uniform(2, 12))
    mott = nd.zoom(mott / (mott.std() + 1e-9), over, order=1)[: h * over, : w * over]
    tone = tone * (1 + rng.uniform(0.0, 0.06) * mott)
    # background
    kind = rng.integers(0, 4)
    level = rng.uniform(10, 240)
    outer = [base[0], base[-1]]
    while min(abs(level - o) for o in outer) < 30:
        level = rng.uniform(10, 240)
    back = np.full((h, w), level)
    if kind >= 1:
        back += nd.gaussian_filter(rng.normal(0, 1, (h, w)), 15) * 15 * rng.uniform(2, 5)
    if kind == 2:
        back += nd.gaussian_filter(rng.normal(0, 1, (h, w)), 1.5) * rng.uniform(5, 40)
    if kind == 3:
        back += nd.gaussian_filter(rng.normal(0, 1, (h, w)), (1, 30)) * rng.uniform(10, 60)
    back = nd.zoom(back, over, order=0)
    img = np.where(inside, tone, back)
    img = img.reshape(h, over, w, over).mean((1, 3))
    lx, ly = rng.uniform(-0.35, 0.35, 2)
    yy, xx = np.mgrid[0:h, 0:w]
    img *= 1 + lx * (xx / w - 0.5) + ly * (yy / h - 0.5)
    for _ in range(int(rng.integers(0, 25))):  # scratches
        p, q = rng.uniform(0, [w, h]), rng.normal(0, 1, 2)
        q /= np.hypot(*q)
        dist = np.abs((xx - p[0]) * q[1] - (yy - p[1]) * q[0])
        along = (xx - p[0]) * q[0] + (yy - p[1]) * q[1]
        img += rng.uniform(-40, 60) * np.clip(rng.uniform(0.5, 1.3) - dist, 0, 1) * (np.abs(along) < rng.uniform(10, 150))
    for _ in range(int(rng.integers(0, 40))):  # pits
        p, r = rng.uniform(0, [w, h]), rng.uniform(0.7, 3.5)
        img -= rng.uniform(20, 90) * (np.hypot(xx - p[0], yy - p[1]) < r)
    if rng.random() < 0.15:  # a soft shine
        p = rng.uniform(0, [w, h])
        img += rng.uniform(20, 70) * np.exp(-((xx - p[0]) ** 2 + (yy - p[1]) ** 2) / (2 * (0.2 * max(w, h)) ** 2))
    blur = rng.uniform(0.4, 0.9 if pixels < 4 else 1.3)
    img = nd.gaussian_filter(img, blur) + rng.normal(0, rng.uniform(1, 8), img.shape)
    return np.clip(img, 0, 255).astype(np.uint8), n


def other(rng):
    """Pictures that are no end grain."""
    h, w = (int(v) for v in rng.integers(160, 420, 2))
    yy, xx = np.mgrid[0:h, 0:w].astype(float)
    r = lambda s: nd.gaussian_filter(rng.normal(0, 1, (h, w)), s)
    n1 = lambda a: a / (a.std() + 1e-9)
    kind = int(rng.integers(0, 12))
    if kind == 0:  # fog
        img = 128 + 40 * n1(r(rng.uniform(0.1, 30)))
    elif kind == 1:  # bricks in bond
        bh, bw, m = rng.uniform(14, 50), rng.uniform(40, 120), rng.uniform(2, 6)
        row = np.floor(yy / bh)
        mort = (yy % bh < m) | ((xx + (row % 2) * bw / 2) % bw < m)
        tone = rng.normal(110, 15, (200, 200))[row.astype(int) % 200, np.floor((xx + (row % 2) * bw / 2) / bw).astype(int) % 200]
        img = np.where(mort, rng.uniform(150, 210), tone) + 8 * r(1) * 3
    elif kind == 2:  # a face of ovals
        img = 60 + 0 * xx
        cx, cy, a, b = w / 2, h / 2, w * 0.3, h * 0.4
        img = np.where(((xx - cx) / a) ** 2 + ((yy - cy) / b) ** 2 < 1, 190, img)
        for dx, dy, q, t in [(-.4, -.25, .13, 60), (.4, -.25, .13, 60), (0, .1, .1, 150), (0, .45, .25, 90)]:
            img = np.where(((xx - cx - dx * a) / (q * a)) ** 2 + ((yy - cy - dy * b) / (q * b * .6)) ** 2 < 1, t, img)
        img = nd.gaussian_filter(img.astype(float), 2) + 6 * n1(r(3))
    elif kind == 3:  # coat of an animal: reaction and diffusion look
        a = n1(r(4) - r(7))
        img = 128 + 70 * np.tanh(2 * nd.gaussian_filter(a, rng.uniform(0.5, 2)))
    elif kind == 4:  # stripes that fork, as on a striped animal
        ph = nd.gaussian_filter(rng.normal(0, 1, (h, w)), (12, 18))
        img = 128 + 80 * np.sign(np.sin(yy / rng.uniform(4, 8) + 6 * n1(ph)))
    elif kind == 5:  # chessboard, tiles
        p = rng.uniform(8, 40)
        img = 60 + 120 * ((np.floor(xx / p) + np.floor(yy / p)) % 2)
    elif kind == 6:  # leaves, pebbles
        img = 120 + 0 * xx
        for _ in range(400):
            c, q, t = rng.uniform(0, [w, h]), rng.uniform(4, 18), rng.uniform(30, 220)
            img = np.where((xx - c[0]) ** 2 + ((yy - c[1]) * rng.uniform(0.7, 1.6)) ** 2 < q * q, t, img)
    elif kind == 7:  # a page of writing
        img = 225 + 0 * xx
        lh = rng.uniform(12, 26)
        words = r((0.7, 2.0))
        img = np.where((yy % lh < lh * 0.55) & (words > 0.4 * words.std()), 40, img)
    elif kind == 8:  # rings
        c = rng.uniform(0, [w, h])
        img = 128 + 70 * np.sign(np.sin(np.hypot(xx - c[0], yy - c[1]) / rng.uniform(3, 9)))
    elif kind == 9:  # a landscape of few flat areas
        img = 200 - 80 * (yy > h * 0.5 + 20 * n1(r(25))) - 60 * (yy > h * 0.75 + 10 * n1(r(15)))
        img = img + 10 * n1(r(2))
    elif kind == 10:  # weave
        p = rng.uniform(6, 20)
        img = 128 + 50 * np.sin(2 * np.pi * xx / p) * np.sin(2 * np.pi * yy / p) + 20 * np.sin(2 * np.pi * (xx + yy) / p)
    else:  # a machined face with scratches all ways
        img = 140 + 0 * xx
        for _ in range(150):
            p, q = rng.uniform(0, [w, h]), rng.normal(0, 1, 2)
            q /= np.hypot(*q)
            img = img + rng.uniform(-50, 50) * np.clip(1.2 - np.abs((xx - p[0]) * q[1] - (yy - p[1]) * q[0]), 0, 1)
    img = nd.gaussian_filter(img.astype(float), rng.uniform(0.4, 1.2)) + rng.normal(0, rng.uniform(1, 8), (h, w))
    return np.clip(img, 0, 255).astype(np.uint8)


def main():
    out = sys.argv[1]
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    ends = int(sys.argv[3]) if len(sys.argv) > 3 else 300
    others = int(sys.argv[4]) if len(sys.argv) > 4 else 100
    os.makedirs(out, exist_ok=True)
    rows = []
    i = 0
    while i < ends:
        rng = np.random.default_rng([seed, len(rows), i])
        rng = np.random.default_rng([seed, i, int(rng.integers(1 << 30))])
        for _ in range(50):
            pixels = float(np.exp(rng.uniform(np.log(2.5), np.log(40))))
            made = end(rng, int(np.clip(0.85 * MOST / pixels, 7, 200)), pixels)
            if made:
                break
        if not made:
            i += 1
            ends += 1
            continue
        img, n = made
        name = f"end-{len(rows):03}.jpg"
        Image.fromarray(img).save(f"{out}/{name}", quality=int(rng.integers(60, 96)))
        rows.append((name, n, round(pixels, 2)))
        i += 1
    for j in range(others):
        rng = np.random.default_rng([seed, 7, j])
        name = f"other-{j:03}.jpg"
        Image.fromarray(other(rng)).save(f"{out}/{name}", quality=int(rng.integers(60, 96)))
        rows.append((name, 0, 0))
    with open(f"{out}/truth.csv", "w", newline="") as f:
        csv.writer(f).writerows([("name", "bands", "pixels"), *rows])


if __name__ == "__main__":
    main()
