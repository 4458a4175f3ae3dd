"""What the drawn photos are made of: woods, resin, light; arrays of red, green and blue."""

from functools import cache

import numpy as np

WOODS = {
    "black walnut": (91, 59, 40),
    "sugar maple": (217, 189, 146),
    "white ash": (201, 176, 136),
    "black cherry": (150, 92, 62),
    "American sycamore": (196, 158, 120),
    "yellow birch": (208, 172, 122),
    "red alder": (181, 124, 82),
}
"""Colours of the woods, by the eye."""
BENCH, BOARD, DARK = (150, 128, 104), (226, 222, 211), (18, 11, 6)
LIGHT = ((42, 22, 8), (79, 38, 7), (169, 87, 12), (232, 152, 42), (255, 207, 114), (255, 240, 196))
"""The ramp of a lit panel, from dark to bright."""


def plane(high, wide, colour):
    """An even field of one colour."""
    return np.broadcast_to(np.array(colour, dtype=np.float32), (high, wide, 3)).copy()


def points(high, wide):
    """The x and the y of every pixel."""
    return np.meshgrid(np.arange(wide, dtype=np.float32), np.arange(high, dtype=np.float32))


def waves(dice, along, number, longest):
    """A soft random line around nothing, made of a few waves; a table fine enough for a pixel."""
    least, fine = float(along.min()), 2
    at = least + np.arange(int((along.max() - least) * fine) + 2) / fine
    table = np.zeros_like(at)
    for _ in range(number):
        length = longest * (0.15 + 0.85 * dice.random())
        table += np.sin(2 * np.pi * (at / length + dice.random())) * (0.4 + 0.6 * dice.random())
    return (table / number).astype(np.float32)[((along - least) * fine).astype(np.int32)]


def wood(dice, high, wide, colour, upright=True):
    """Planed wood with its grain along the long way of the picture."""
    x, y = points(high, wide)
    across, along = (x, y) if upright else (y, x)
    bent = across + 6 * waves(dice, along, 3, 900)
    rings = waves(dice, bent, 9, 70) + 0.6 * waves(dice, bent, 9, 11)
    pores = dice.random((high, wide), dtype=np.float32) < 0.01
    shade = 1 + 0.14 * rings - np.float32(0.14) * pores
    return np.clip(plane(high, wide, colour) * shade[..., None], 0, 255)


def resin(dice, high, wide, depth=1.0, tint=(214, 132, 30)):
    """Clear amber, a little lighter towards the top and never quite even."""
    x, y = points(high, wide)
    cloud = 0.05 * waves(dice, x + 2 * y, 5, 700) + 0.05 * waves(dice, y - x, 5, 500)
    shade = (1.16 - 0.3 * depth * y / high + cloud)[..., None]
    return np.clip(plane(high, wide, tint) * shade, 0, 255)


def glow(share):
    """The colours of a lit panel for shares of brightness from 0 to 1."""
    place = np.clip(share, 0, 1) * (len(LIGHT) - 1)
    steps = np.arange(len(LIGHT))
    colours = [np.interp(place, steps, [step[part] for step in LIGHT]) for part in range(3)]
    return np.stack(colours, axis=-1).astype(np.float32)


def over(below, above, share):
    """One field laid over another, by a share for each pixel; either may be a single colour."""
    below, above, share = (np.asarray(part, dtype=np.float32) for part in (below, above, share))
    laid = (above - below) * (share[..., None] if share.ndim == 2 else share)
    laid += below
    return laid


def near(field, centre, reach):
    """The rows and columns within reach of a point: small things are drawn there alone."""
    sides = zip(field.shape[:2], (centre[1], centre[0]), strict=True)
    return tuple(slice(max(0, int(at - reach)), max(0, min(size, int(at + reach) + 1))) for size, at in sides)


def spot(x, y, centre, radius, soft=2.0):
    """How much a pixel belongs to a round spot: 1 inside, 0 outside, soft between."""
    far = np.hypot(x - centre[0], y - centre[1])
    return np.clip((radius - far) / soft + 0.5, 0, 1)


def near_line(x, y, start, end, half, soft=1.2):
    """How much a pixel belongs to a straight stroke."""
    (x0, y0), (x1, y1) = start, end
    length = max(np.hypot(x1 - x0, y1 - y0), 1e-6)
    along = np.clip(((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length**2, 0, 1)
    far = np.hypot(x - x0 - along * (x1 - x0), y - y0 - along * (y1 - y0))
    return np.clip((half - far) / soft + 0.5, 0, 1)


def blurred(field, radius):
    """A field seen out of focus."""
    from PIL import Image, ImageFilter

    image = Image.fromarray(np.clip(field, 0, 255).astype(np.uint8))
    return np.asarray(image.filter(ImageFilter.GaussianBlur(radius)), dtype=np.float32)


def bloomed(field, radius=14, strength=0.38):
    """Light that runs over its edges, as a lens makes it."""
    return 255 - (255 - field) * (255 - strength * blurred(field, radius)) / 255


@cache
def corners(high, wide):
    """How a phone's lens darkens a picture towards its corners."""
    x, y = points(high, wide)
    far = np.hypot(x / wide - 0.5, y / high - 0.5)
    return (1.04 - 0.42 * far**2)[..., None]


def as_taken(dice, field):
    """Darker corners and a little noise, as a phone's camera gives them; a picture of Pillow."""
    from PIL import Image

    high, wide = field.shape[:2]
    shaded = 2.2 * dice.standard_normal((high, wide, 1), dtype=np.float32) + field * corners(high, wide)
    return Image.fromarray(np.clip(shaded, 0, 255, out=shaded).astype(np.uint8))
