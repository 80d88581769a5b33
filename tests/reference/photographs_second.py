"""A second maker of pictures, kept apart: a pinhole camera looks at a rough plate whose layers are walked as random
lines; light by Phong, shot noise, a round lens, sharpening as phones do, colour JPEG. For judging only."""
import csv
import os
import sys

import numpy as np
from PIL import Image

MOST = int(os.environ.get("MOST", 1400))  # pixels, the longer side

def disc(r):
    n = int(np.ceil(r)) + 1
    y, x = np.mgrid[-n:n + 1, -n:n + 1]
    k = np.clip(r + 0.5 - np.hypot(x, y), 0, 1)
    return k / k.sum()

def conv(img, k):
    f = np.fft.rfft2(img, img.shape)
    pad = np.zeros(img.shape); h, w = k.shape
    pad[:h, :w] = k
    pad = np.roll(pad, (-(h // 2), -(w // 2)), (0, 1))
    return np.fft.irfft2(f * np.fft.rfft2(pad), img.shape)

def fractal(rng, h, w, power):
    fy = np.fft.fftfreq(h)[:, None]; fx = np.fft.rfftfreq(w)[None]
    a = 1 / np.maximum(np.hypot(fy, fx), 1 / max(h, w)) ** power
    z = np.fft.irfft2(a * np.exp(2j * np.pi * rng.random((h, w // 2 + 1))), (h, w))
    return (z - z.mean()) / z.std()

def plate(rng, n, res):
    """Texture of the end: n layers, rows of the texture across; each border is a walk."""
    # gamma thicknesses; one steel thicker
    t = rng.gamma(rng.uniform(8, 30), 1, n) * np.where(np.arange(n) % 2, 1, rng.uniform(0.6, 1.7))
    if rng.random() < 0.5:  # doubled bands where piles met
        k = int(rng.integers(2, 6)); t[:: max(2, n // k)] *= rng.uniform(1.4, 2.0)
    t = np.maximum(t, 0.4 * t.mean())
    b = np.concatenate([[0], np.cumsum(t)]) / t.sum()
    cols = int(res * n * rng.uniform(0.5, 1.2)); rows = res * n
    common = np.cumsum(rng.normal(0, 1, cols)); common -= np.linspace(common[0], common[-1], cols)
    k = np.hanning(max(5, cols // 5)); k /= k.sum()
    common = np.convolve(np.pad(common, len(k), mode='edge'), k, 'same')[len(k):-len(k)]
    common = common / (np.abs(common).max() + 1e-9) * rng.uniform(0, 0.045)
    g = np.abs(np.gradient(common * rows)).max()
    if g > 0.5: common *= 0.5 / g
    own = rng.normal(0, 1, (n + 1, cols)); kk = np.hanning(max(5, cols // 8)); kk /= kk.sum()
    own = np.array([np.convolve(np.pad(o, len(kk), mode='edge'), kk, 'same')[len(kk):-len(kk)] for o in own])
    own *= rng.uniform(0, 0.12) / n / (own.std() + 1e-9)
    lines = b[:, None] + own
    lines[0] = 0; lines[-1] = 1
    lines = np.sort(lines, 0)
    y = (np.arange(rows) + 0.5) / rows
    idx = np.stack([np.searchsorted(lines[1:-1, c], y) for c in range(cols)], 1)
    return idx, common

def picture(rng, n, pixels):
    res = 6 if n > 100 else 10
    idx, common = plate(rng, n, res)
    rows, cols = idx.shape
    first = int(rng.integers(0, 2))
    steel = (np.arange(n) + first) % 2
    lo, hi = rng.uniform(0.05, 0.16), rng.uniform(0.3, 0.65)
    alb = np.where(steel == 0, lo, hi) * rng.lognormal(0, 0.05, n)
    tex = alb[idx]
    tex = tex * (1 + rng.uniform(0.01, 0.05) * fractal(rng, rows, cols, 1.2))
    high = n * pixels; wide = high * cols / rows
    ang = rng.uniform(0, 2 * np.pi)
    W = int(abs(wide * np.cos(ang)) + abs(high * np.sin(ang)) + 0.3 * min(wide, high) + 24)
    H = int(abs(wide * np.sin(ang)) + abs(high * np.cos(ang)) + 0.3 * min(wide, high) + 24)
    if max(W, H) > MOST: return None
    S = 2
    yy, xx = np.mgrid[0:H * S, 0:W * S]
    x = (xx + .5) / S - W / 2; y = (yy + .5) / S - H / 2
    # pinhole: plane tilted by two small angles
    f = 2.5 * max(W, H); tx, ty = rng.normal(0, 0.06, 2)
    z = 1 / (1 - (x * tx + y * ty) / f)
    X, Y = x * z, y * z
    c, s = np.cos(ang), np.sin(ang)
    u = (X * c + Y * s) / wide + 0.5; v = (-X * s + Y * c) / high + 0.5
    ci = np.clip((u * cols).astype(int), 0, cols - 1)
    vb = v + common[ci]
    inside = (u >= 0) & (u < 1) & (vb >= 0) & (vb < 1)
    ri = np.clip((vb * rows).astype(int), 0, rows - 1)
    surf = tex[ri, ci]
    # roughness and light
    bump = fractal(rng, H * S, W * S, 0.8); gy, gx = np.gradient(bump)
    la = rng.uniform(0, 6.3); slope = gx * np.cos(la) + gy * np.sin(la)
    amp = rng.uniform(0.0, 0.05) / slope.std()
    light = 1 + amp * slope
    spec = rng.uniform(0, 0.12) * np.exp(-((x - rng.uniform(-W, W)) ** 2 + (y - rng.uniform(-H, H)) ** 2) / (0.5 * W * H))
    fall = 1 + rng.uniform(-.3, .3) * x / W + rng.uniform(-.3, .3) * y / H
    bench = rng.uniform(0.01, 0.8)
    for _ in range(20):
        if min(abs(np.sqrt(bench) - np.sqrt(alb[0])), abs(np.sqrt(bench) - np.sqrt(alb[-1]))) > 0.12: break
        bench = rng.uniform(0.01, 0.8)
    back = bench * (1 + rng.uniform(0, 0.12) * fractal(rng, H * S, W * S, 1.8))
    lin = np.where(inside, surf * light + spec, back) * fall
    # scratches as arcs
    for _ in range(int(rng.integers(0, 15))):
        cx, cy, R = rng.uniform(-W, W), rng.uniform(-H, H), rng.uniform(0.3, 3) * W
        a0 = rng.uniform(0, 6.3); d = np.abs(np.hypot(x - cx, y - cy) - R)
        part = np.cos(np.arctan2(y - cy, x - cx) - a0) > rng.uniform(0.9, 0.999)
        lin = lin + rng.uniform(-0.1, 0.15) * np.clip(0.8 - d, 0, 1) * part
    lin = lin.reshape(H, S, W, S).mean((1, 3))
    lin = conv(lin, disc(rng.uniform(0.5, 1.0 if pixels < 4 else 1.5)))
    full = rng.uniform(150, 3000)
    lin = rng.poisson(np.clip(lin, 0, None) * full) / full + rng.normal(0, 0.003, lin.shape)
    g = np.clip(lin * rng.uniform(0.8, 1.3), 0, 1) ** (1 / 2.2)
    soft = conv(g, disc(1.2)); g = g + rng.uniform(0, 0.8) * (g - soft)
    rgb = np.stack([g * 1.02, g, g * rng.uniform(0.9, 1.02)], -1) + rng.normal(0, 0.004, g.shape + (3,))
    return np.clip(rgb * 255, 0, 255).astype(np.uint8)

def main():
    out, seed, many = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    os.makedirs(out, exist_ok=True); rows = []
    i = 0
    while len(rows) < many:
        rng = np.random.default_rng([99, seed, i]); i += 1
        pixels = float(np.exp(rng.uniform(np.log(2.5), np.log(40))))
        n = int(np.clip(np.exp(rng.uniform(np.log(8), np.log(220))), 8, 900 / pixels))
        if n < 8: continue
        img = picture(rng, n, pixels)
        if img is None: continue
        name = f"s-{len(rows):03}.jpg"
        Image.fromarray(img).save(f"{out}/{name}", quality=int(rng.integers(60, 96)), subsampling=2)
        rows.append((name, n, round(pixels, 2)))
    with open(f"{out}/truth.csv", "w", newline="") as f: csv.writer(f).writerows([("name", "bands", "pixels"), *rows])
main()
