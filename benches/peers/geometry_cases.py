"""Writes the cases that the geometry of `underlid-imaging` is checked against.

usage: geometry_cases.py > ../../crates/imaging/tests/published/opencv_geometry.toml
       geometry_cases.py FOLDER > ../../crates/imaging/tests/published/opencv_photographs.toml
FOLDER: `examples/data` of the Debian package opencv-doc (version 4.6.0+dfsg-12; Apache-2.0), of which
only the places of corners and rims are written. Needs numpy, opencv-python-headless and, for FOLDER,
scipy (versions are written into the file). All points are numbers in one continuous frame, so the
peer's pixel convention does not matter.
"""
import math
import sys
from pathlib import Path

import cv2
import numpy as np

rng = np.random.default_rng(20)
W, H = 4000, 3000


def row(values):
    return "[" + ", ".join(repr(float(v)) for v in values) + "]"


def rows(points):
    return "[\n" + "".join(f"  {row(p)},\n" for p in points) + "]"


def rotation(tilt, about, turn):
    axis = np.array([math.cos(about), math.sin(about), 0.0]) * tilt
    r, _ = cv2.Rodrigues(axis)
    z, _ = cv2.Rodrigues(np.array([0.0, 0.0, turn]))
    return r @ z


def view(points_mm, focal, distance, tilt, about, turn, k=(0.0, 0.0)):
    r = rotation(tilt, about, turn)
    rvec, _ = cv2.Rodrigues(r)
    camera = np.array([[focal, 0, W / 2], [0, focal, H / 2], [0, 0, 1.0]])
    object_points = np.column_stack([points_mm, np.zeros(len(points_mm))])
    seen, _ = cv2.projectPoints(object_points, rvec, np.array([2.0, -1.0, distance]), camera,
                                np.array([k[0], k[1], 0, 0, 0.0]))
    return seen.reshape(-1, 2)


def grid(nx, ny, pitch):
    x = (np.arange(nx) - (nx - 1) / 2) * pitch
    y = (np.arange(ny) - (ny - 1) / 2) * pitch
    return np.array([(a, b) for b in y for a in x])


def head(width, height):
    print("# Made by benches/peers/geometry_cases.py; do not edit.")
    print(f'opencv = "{cv2.__version__}"')
    print(f'numpy = "{np.__version__}"')
    print(f"picture = [{width}, {height}]")


def homography(name, points, seen):
    h, _ = cv2.findHomography(points, seen, 0)
    print(f'\n[[homography]]\nname = "{name}"\nplaces_mm = {rows(points)}\nseen_px = {rows(seen)}')
    print(f"matrix = {rows(h / h[2, 2])}")


def ellipse(name, p):
    (cx, cy), (d1, d2), angle = cv2.fitEllipseDirect(p)
    if d1 < d2:
        d1, d2, angle = d2, d1, angle + 90
    angle = math.radians((angle + 90) % 180 - 90)
    print(f'\n[[ellipse]]\nname = "{name}"\npoints = {rows(p)}')
    print(f"middle = {row([cx, cy])}\nhalf_axes = {row([d1 / 2, d2 / 2])}\ndirection_rad = {angle!r}")


def drawn():
    head(W, H)

    # Homographies: mm to pixels, all points, least squares of the reprojection error.
    for name, points, noise, tilt in [
        ("four corners", grid(2, 2, 40.0), 0.0, 0.3),
        ("four corners, noise", grid(2, 2, 40.0), 0.8, 0.5),
        ("3 x 3", grid(3, 3, 25.0), 0.6, 0.2),
        ("5 x 4", grid(5, 4, 15.0), 1.0, 0.45),
        ("9 x 7, steep", grid(9, 7, 8.0), 0.5, 0.8),
        ("11 x 9, noisy", grid(11, 9, 6.0), 2.0, 0.35),
    ]:
        seen = view(points, 4400.0, 150.0, tilt, rng.uniform(0, 6), rng.uniform(-3, 3))
        seen = seen + noise * rng.standard_normal(seen.shape)
        homography(name, points, seen)

    # Distortion: three views of one grid, focal length and radial terms fitted together; the
    # principal point and the pixel aspect are held.
    for name, k, noise, fifth in [
        ("barrel, exact", (-0.11, 0.0), 0.0, False),
        ("pincushion, exact", (0.07, 0.0), 0.0, False),
        ("two terms, exact", (-0.15, 0.06), 0.0, True),
        ("barrel, noise", (-0.09, 0.0), 0.3, False),
        ("slight, noise", (0.01, 0.0), 0.3, False),
    ]:
        points = grid(13, 9, 8.0)
        views = []
        for i in range(3):
            seen = view(points, 4100.0, 140.0 + 15 * i, 0.25 + 0.15 * i, rng.uniform(0, 6),
                        rng.uniform(-0.2, 0.2), k)
            views.append(seen + noise * rng.standard_normal(seen.shape))
        guess = np.array([[4000.0, 0, W / 2], [0, 4000.0, H / 2], [0, 0, 1.0]])
        flags = (cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO
                 | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K3)
        if not fifth:
            flags |= cv2.CALIB_FIX_K2
        object_points = [np.column_stack([points, np.zeros(len(points))]).astype(np.float32)] * 3
        criteria = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_MAX_ITER, 500, 1e-15)
        _, camera, dist, _, _ = cv2.calibrateCamera(object_points, [v.astype(np.float32) for v in views], (W, H),
                                                    guess, np.zeros(5), flags=flags, criteria=criteria)
        dist = dist.ravel()
        print(f'\n[[distortion]]\nname = "{name}"\nnoise_px = {noise}\nterms = {2 if fifth else 1}')
        print(f"focal_px = {float(camera[0, 0])!r}\nk = {row(dist[:2])}\nplaces_mm = {rows(points)}")
        print("views_px = [\n" + "".join(f"{rows(v)},\n" for v in views) + "]")

    # Ellipses: the direct least-squares fit.
    for name, a, b, turn, n, arc, noise in [
        ("exact", 220.0, 140.0, 0.4, 12, 2 * math.pi, 0.0),
        ("noise", 220.0, 140.0, -0.9, 24, 2 * math.pi, 0.8),
        ("near circle", 180.0, 172.0, 1.1, 36, 2 * math.pi, 1.0),
        ("flat", 300.0, 60.0, 0.1, 30, 2 * math.pi, 0.7),
        ("half", 200.0, 150.0, 0.7, 20, math.pi, 0.4),
        ("two thirds", 90.0, 70.0, -0.3, 16, 4 * math.pi / 3, 0.5),
    ]:
        t = np.linspace(0, arc, n, endpoint=False) + 0.1
        x = 1500 + a * np.cos(t) * math.cos(turn) - b * np.sin(t) * math.sin(turn)
        y = 1100 + a * np.cos(t) * math.sin(turn) + b * np.sin(t) * math.cos(turn)
        p = np.column_stack([x, y]) + noise * rng.standard_normal((n, 2))
        p = p.astype(np.float32)
        ellipse(name, p)


def corners(path):
    """Inner corners of the chessboard, to a thousandth of a pixel; OpenCV counts from the middle of
    the first pixel."""
    grey = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    found, places = cv2.findChessboardCorners(grey, (9, 6))
    if not found:
        sys.exit(f"{path}: no chessboard found")
    places = cv2.cornerSubPix(grey, places, (5, 5), (-1, -1),
                              (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_MAX_ITER, 100, 1e-4))
    return (places.reshape(-1, 2).astype(float) + 0.5).round(3)


def one_view(points, seen, width, height):
    """The places of the corners by a homography with k1 and k2 about the middle, least squares."""
    from scipy.optimize import least_squares
    middle, radius = np.array([width, height]) / 2, math.hypot(width, height) / 2
    ideal, wanted = (points - points.mean(0)) / 100, (seen - middle) / radius

    def places(t):
        p = np.column_stack([ideal, np.ones(len(ideal))]) @ np.append(t[:8], 1).reshape(3, 3).T
        p = p[:, :2] / p[:, 2:]
        r2 = (p ** 2).sum(1, keepdims=True)
        return p * (1 + r2 * (t[8] + t[9] * r2))

    h, _ = cv2.findHomography(ideal, wanted, 0)
    start = np.append((h / h[2, 2]).ravel()[:8], [0, 0])
    best = least_squares(lambda t: (places(t) - wanted).ravel(), start, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return places(best.x) * radius + middle


def photographed(folder):
    import scipy
    width, height = 640, 480
    head(width, height)
    print(f'scipy = "{scipy.__version__}"')
    points = np.array([(x, y) for y in range(6) for x in range(9)], float) * 25
    for side in ("left", "right"):
        names = [f"{side}{i:02}.jpg" for i in range(1, 15) if i != 10]
        views = [corners(folder / name) for name in names]
        for name, seen in zip(names, views):
            homography(name, points, seen)
        # One camera: its principal point in the middle and square pixels, as ours takes it.
        flags = (cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO
                 | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K3)
        guess = np.array([[500.0, 0, width / 2], [0, 500.0, height / 2], [0, 0, 1.0]])
        objects = [np.column_stack([points, np.zeros(len(points))]).astype(np.float32)] * len(views)
        criteria = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_MAX_ITER, 500, 1e-15)
        _, camera, dist, turns, shifts = cv2.calibrateCamera(
            objects, [v.astype(np.float32) for v in views], (width, height), guess, np.zeros(5), flags=flags, criteria=criteria)
        for name, seen, turn, shift, o in zip(names, views, turns, shifts, objects):
            theirs, _ = cv2.projectPoints(o, turn, shift, camera, dist)
            print(f'\n[[lens]]\nname = "{name}"\ncamera = "{side}"\nfocal_px = {float(camera[0, 0])!r}\nk = {row(dist.ravel()[:2])}')
            print(f"one_view_px = {rows(one_view(points, seen, width, height).round(4))}")
            print(f"all_views_px = {rows(theirs.reshape(-1, 2).round(4))}")
    for name in ("board.jpg", "stuff.jpg"):
        grey = cv2.imread(str(folder / name), cv2.IMREAD_GRAYSCALE)
        _, dark = cv2.threshold(grey, 0, 255, cv2.THRESH_BINARY_INV | cv2.THRESH_OTSU)
        rims, _ = cv2.findContours(dark, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
        for rim in rims:
            if len(rim) < 60:
                continue
            p = rim.reshape(-1, 2)[::len(rim) // 40].astype(np.float32)
            _, (d1, d2), _ = cv2.fitEllipseDirect(p)
            # Only rims that an ellipse describes.
            if abs(cv2.contourArea(rim) / (math.pi * d1 * d2 / 4) - 1) < 0.03:
                ellipse(f"{name} {int(p[0][0])} {int(p[0][1])}", p)


if len(sys.argv) > 1:
    photographed(Path(sys.argv[1]))
else:
    drawn()
print(f"made with OpenCV {cv2.__version__}", file=sys.stderr)
