"""A JPEG file in, a rectified PNG file out: OpenCV's decode, bilinear warp and PNG encoder, one thread.

usage: peer_rectified.py photo.jpg out.png [runs=3]
"""
import peer_common as pc
import os
import sys

import cv2
import numpy as np

path, out = sys.argv[1:3]
runs = pc.arg(3, 3)
cv2.setNumThreads(1)
data = open(path, "rb").read()
h, w = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR).shape[:2]
# The corners that `peer_warp.py` and ours take.
shares = [(0.06, 0.04), (0.95, 0.08), (0.92, 0.97), (0.03, 0.90)]
seen = np.float32([(x * w, y * h) for x, y in shares])
view = np.float32([(0, 0), (w, 0), (w, h), (0, h)])
m = cv2.getPerspectiveTransform(view, seen)


def rectified():
    photo = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    flat = cv2.warpPerspective(photo, m, (w, h), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    return cv2.imencode(".png", flat)[1]


written, t = pc.measure(rectified, runs, warmup=1)
written.tofile(out)
pc.emit("rectified/cv", bytes=os.path.getsize(out), peak_rss_mb=pc.peak_rss_mb(), time=t)
