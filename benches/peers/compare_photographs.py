"""Holds decoded and rectified real photographs against exact decoding and OpenCV's.

usage: compare_photographs.py PICTURES SCRATCH (PICTURES: the built example of that name)
Photographs: those in the packages scikit-image and scikit-learn, read where they are installed.

Decoders round brightness, colours and the result each to whole levels and may do so differently, so two
of them are up to twice as far from each other as each is from the exact values. A decoded JPEG is
therefore held against decoding in real numbers: no farther than rounding explains (once more for each
axis along which colours are interpolated), and on average no farther than OpenCV and a tenth. Other
formats have to be equal.
"""
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import cv2
import numpy as np
import peer_jpeg_exact as exact
import skimage
import sklearn

pictures, scratch = sys.argv[1], Path(sys.argv[2])
sources = {
    "scikit-image": (Path(skimage.__file__).parent / "data", ["retina.jpg", "rocket.jpg", "hubble_deep_field.jpg", "coffee.png", "chelsea.png"]),
    "scikit-learn": (Path(sklearn.__file__).parent / "datasets" / "images", ["china.jpg", "flower.jpg"]),
}
agree = True
for package, (folder, names) in sources.items():
    for name in names:
        ppm = scratch / "photo.ppm"
        subprocess.run([pictures, "decode", folder / name, ppm], check=True)
        ours, theirs = cv2.imread(str(ppm)), cv2.imread(str(folder / name))
        print(f"{package} {version(package)} {name} {ours.shape[1]} x {ours.shape[0]}: "
              f"decoded, largest difference from OpenCV {np.abs(ours.astype(int) - theirs).max()}")
        if name.endswith(".jpg"):
            wanted, interpolated = exact.decode(folder / name)
            allowed = exact.ROUNDED + interpolated * 1.772 * 0.5
            (most, mean), (their_most, their_mean) = [
                (off.max(), off.mean()) for off in (np.abs(p[..., ::-1] - wanted) for p in (ours, theirs))]
            fine = most <= allowed and mean <= 1.1 * their_mean
            print(f"    from exact: ours {most:.2f} (allowed {allowed:.2f}), mean {mean:.3f}; "
                  f"OpenCV {their_most:.2f}, mean {their_mean:.3f}")
        else:
            fine = np.array_equal(ours, theirs)
        h, w = ours.shape[:2]
        corners = np.array([(0.06, 0.04), (0.95, 0.08), (0.92, 0.97), (0.03, 0.90)]) * (w, h)
        view = cv2.getPerspectiveTransform(np.array([(0, 0), (w, 0), (w, h), (0, h)], np.float32), corners.astype(np.float32))
        for kernel, flag in (("linear", cv2.INTER_LINEAR), ("cubic", cv2.INTER_CUBIC)):
            out = scratch / "view.ppm"
            subprocess.run([pictures, "warp", kernel, ppm, "1", out], check=True, stdout=subprocess.DEVNULL)
            peer = cv2.warpPerspective(ours, view, (w, h), flags=flag | cv2.WARP_INVERSE_MAP)
            off = np.abs(cv2.imread(str(out)).astype(int) - peer)
            fine &= off.max() <= 1
            print(f"    {kernel}: largest difference {off.max()}, mean {off.mean():.3f}")
        agree &= bool(fine)
        print("    equal" if fine else "    DIFFERENT")
sys.exit(0 if agree else 1)
