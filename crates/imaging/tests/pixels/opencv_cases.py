"""Writes published/opencv_warp.csv: views of a noise picture by OpenCV's warpPerspective.

usage: python3 opencv_cases.py > ../published/opencv_warp.csv
Made with opencv-python-headless 5.0.0.93, numpy 2.4.6.
"""
import cv2
import numpy as np

W, H = 48, 36
# The same picture as `noise` in rectify.rs: high byte of a product, by index of the value.
i = np.arange(W * H * 3, dtype=np.uint64)
noise = (((i * np.uint64(2654435761)) % np.uint64(1 << 32)) >> np.uint64(24)).astype(np.uint8).reshape(H, W, 3)
# A smooth picture: OpenCV's tables of 1/32 pixel matter less here.
y, x = np.mgrid[0:H, 0:W]
smooth = np.stack([(x * 5 + y * 2) % 256, 128 + ((x - 24) * (y - 18)) // 6, 250 - (x * x + y * y) // 20], 2).clip(0, 255).astype(np.uint8)
VIEWS = {
    "keystone": [[0.9, 0.06, 3.3], [-0.05, 0.88, 4.7], [0.0011, -0.0008, 1.0]],
    "outside": [[1.3, 0.2, -9.25], [-0.25, 1.2, -4.5], [0.0, 0.002, 1.0]],
    "enlarged": [[0.31, -0.02, 20.1], [0.03, 0.29, 10.7], [0.0005, 0.0004, 1.0]],
}
KERNELS = {"bilinear": cv2.INTER_LINEAR, "cubic": cv2.INTER_CUBIC, "lanczos4": cv2.INTER_LANCZOS4}
print("picture,view,kernel,h,rgb")
for name, picture in (("noise", noise), ("smooth", smooth)):
    for view, h in VIEWS.items():
        for kernel, flag in KERNELS.items():
            out = cv2.warpPerspective(picture, np.array(h), (40, 30), flags=flag | cv2.WARP_INVERSE_MAP)
            print(",".join([name, view, kernel, " ".join(map(str, sum(h, []))), out.tobytes().hex()]))
