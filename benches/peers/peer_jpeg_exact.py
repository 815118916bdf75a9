"""A JPEG file decoded in real numbers: nothing is rounded before the end.

Coefficients by libjpeg (package jpeglib); then ITU-T T.81, A.3.3 (cosine transform, no rounding),
colours stored at half resolution by weights of 3/4 and 1/4 (libjpeg's "fancy" upsampling), JFIF 1.02
(values cut to 0..255 before and after the change of colours).
"""
import jpeglib
import numpy as np

N = np.arange(8)
WAVES = np.where(N[:, None] == 0, np.sqrt(1 / 8), 0.5) * np.cos((2 * N[None, :] + 1) * N[:, None] * np.pi / 16)
# Largest distance of a decoder that rounds brightness, colours (1.772 is the largest factor of JFIF)
# and the result to whole levels, each to the nearest; a tenth more for its fixed-point numbers.
ROUNDED = 0.5 + 1.772 * 0.5 + 0.5 + 0.1


def plane(coefficients, table):
    values = np.einsum("ku,abkl,lv->aubv", WAVES, coefficients * table.astype(float), WAVES) + 128
    a, _, b, _ = values.shape
    return values.reshape(8 * a, 8 * b)


def doubled(values, axis):
    values = np.moveaxis(values, axis, 0)
    wide = np.concatenate([values[:1], values, values[-1:]])
    out = np.empty((2 * len(values),) + values.shape[1:])
    out[0::2] = (3 * values + wide[:-2]) / 4
    out[1::2] = (3 * values + wide[2:]) / 4
    return np.moveaxis(out, 0, axis)


def decode(path):
    """Red, green, blue in float64, and how often colours are interpolated (0 to 2 axes)."""
    file = jpeglib.read_dct(str(path))
    height, width = file.height, file.width
    most = file.samp_factor[0]
    planes = [plane(c, file.qt[file.quant_tbl_no[i]]) for i, c in enumerate((file.Y, file.Cb, file.Cr))]
    for axis, whole in enumerate((height, width)):
        if most[axis] == 2:
            planes[1:] = [doubled(c.take(range((whole + 1) // 2), axis), axis) for c in planes[1:]]
    y, cb, cr = [c[:height, :width].clip(0, 255) for c in planes]
    cb, cr = cb - 128, cr - 128
    green = y - (0.299 * 1.402 * cr + 0.114 * 1.772 * cb) / 0.587
    return np.stack([y + 1.402 * cr, green, y + 1.772 * cb], -1).clip(0, 255), sum(m == 2 for m in most)
