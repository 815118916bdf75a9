"""Prints whether the peers' pictures and ours agree, then how much faster ours is.

usage: compare_pictures.py FOLDER (written by benches/pictures.sh)
"""
import json
import statistics
import sys
from pathlib import Path

import cv2
import numpy as np
import peer_common as pc

folder = Path(sys.argv[1])
agree = True


def rows(name):
    return [json.loads(line) for line in (folder / name).read_text().splitlines()]


def check(what, found, allowed):
    global agree
    fine = found <= allowed
    agree &= fine
    print(f"{'equal ' if fine else 'DIFFERENT'} {what}: {found:.4g} (allowed {allowed:.3g})")


def weights(kernel, f):
    """Weights of the pixels around a fraction, and how many stand before it, in float64."""
    if kernel == "linear":
        return np.stack([1 - f, f], 1), 0
    if kernel == "cubic":
        a = -0.75
        d = np.abs(f[:, None] + 1 - np.arange(4))
        near = ((a + 2) * d - (a + 3)) * d * d + 1
        far = ((a * d - 5 * a) * d + 8 * a) * d - 4 * a
        return np.where(d <= 1, near, far), 1
    d = f[:, None] + 3 - np.arange(8)
    k = np.sinc(d) * np.sinc(d / 4)
    return k / k.sum(1, keepdims=True), 3


def exact(kernel, photo, h, n=200_000):
    """Places well inside the photograph and the values there."""
    height, width = photo.shape[:2]
    xo = np.floor(pc.splitmix_units(11, n) * width).astype(int)
    yo = np.floor(pc.splitmix_units(12, n) * height).astype(int)
    p = h @ np.stack([xo, yo, np.ones(n)])
    sx, sy = p[0] / p[2], p[1] / p[2]
    ok = (sx > 8) & (sy > 8) & (sx < width - 9) & (sy < height - 9)
    xo, yo, sx, sy = xo[ok], yo[ok], sx[ok], sy[ok]
    ix, iy = np.floor(sx).astype(int), np.floor(sy).astype(int)
    wx, off = weights(kernel, sx - ix)
    wy, _ = weights(kernel, sy - iy)
    ref = np.zeros((len(ix), 3))
    for j in range(wy.shape[1]):
        for i in range(wx.shape[1]):
            ref += (wy[:, j] * wx[:, i])[:, None] * photo[iy + j - off, ix + i - off]
    return xo, yo, ref.clip(0, 255)


def read(name):
    return cv2.imread(str(folder / name))[..., ::-1]


photo = read("photo.jpg")
for kernel in ("linear", "cubic", "lanczos4"):
    peer = rows(f"peer_warp_{kernel}")[0]
    h = np.array(peer["homography"]).reshape(3, 3)
    xo, yo, ref = exact(kernel, photo, h)
    off = np.abs(read(f"{kernel}.ppm")[yo, xo] - ref)
    check(f"warp {kernel}, largest difference from float64, levels", off.max(), 1)
    print(f"       OpenCV's is {peer['max_abs_vs_exact']}")
height, width = photo.shape[:2]
small = cv2.resize(photo, (2048, round(2048 * height / width)), interpolation=cv2.INTER_AREA)
preview = read("preview.ppm")
check("preview, mean difference from OpenCV's area average, levels", np.abs(preview - small.astype(float)).mean(), 1.5)
check("preview, difference of means from the peer's, levels", abs(preview.mean() - rows("peer_preview")[0]["mean"]), 0.5)
check("tiles put together, mean difference from the photograph, levels", np.abs(read("tiles.ppm") - photo.astype(float)).mean(), 3)
ours, peer = read("rectified.png"), read("peer_rectified.png")
apart = np.abs(ours.astype(np.int16) - peer)
check("rectified file, mean difference from OpenCV's, levels", apart.mean(), 0.5)
check("rectified file, share of values more than 4 levels apart", (apart > 4).mean(), 1e-4)
sizes = [(folder / name).stat().st_size for name in ("rectified.png", "peer_rectified.png")]
print(f"       {sizes[0]} bytes; OpenCV wrote {sizes[1]} bytes")
del ours, peer, apart
parts = [row for row in rows("ours_tiles") if "parts" in row][0]
print(f"       {parts['parts']} files of {parts['bytes']} bytes; OpenCV wrote {rows('peer_tiles')[0]['bytes']} bytes")


def seconds(name, field):
    return statistics.median(row["time"][field] for row in rows(name) if "time" in row)


print("all equal" if agree else "NOT EQUAL: the ratios mean nothing")
for job in ("warp_linear", "warp_cubic", "warp_lanczos4", "rectified", "preview", "tiles"):
    for field, name in (("median_s", "wall"), ("cpu_median_s", "processor")):
        peer, ours = seconds(f"peer_{job}", field), seconds(f"ours_{job}", field)
        print(f"{job:14} {name:9} peer {peer:.3f} s, ours {ours:.3f} s: {peer / ours:.2f} times as fast")
sys.exit(0 if agree else 1)
