"""The demo's photos, drawn from geometry: cups, pours, sections of blocks with their flaws, panels lit.

Each drawing is a function of a few words and a seed. Nothing in them is a real picture of anything.
"""

import io
import zlib
from functools import cache

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile

from projects.demo import canvas, flaws
from projects.demo.canvas import BENCH, BOARD, DARK, WOODS

WIDE, HIGH = 1020, 700
EYE = (0.42, 0.55)
"""Where the eye stands before a lit panel, in shares of its width and height."""


def taken(kind, seed, wood="black walnut", flaw="", pattern="squares"):
    """One drawn photo as the file that a phone would send."""
    dice = np.random.default_rng(zlib.crc32(f"{kind} {seed} {wood} {flaw} {pattern}".encode()))
    field = DRAWN[kind](dice, wood, flaw, pattern)
    content = io.BytesIO()
    canvas.as_taken(dice, field).save(content, "JPEG", quality=84)
    return SimpleUploadedFile(f"{kind}.jpg", content.getvalue(), content_type="image/jpeg")


def section(dice, wood, flaw, pattern):
    """The sawn end of a block on the bench: strips on edge, resin between, and what went wrong in it."""
    field = bench()
    high, wide = 430, 900
    top, left = (HIGH - high) // 2 + 30, (WIDE - wide) // 2
    x, y = canvas.points(high, wide)
    bend = flaws.bend(dice, x, y) if flaw == "bowed" else np.zeros_like(x)
    pitch, strip = 36 + int(dice.integers(0, 8)), 0.5
    share = ((x + bend) % pitch) / pitch
    edge = np.clip((strip - share) * pitch / 1.6 + 0.5, 0, 1) * np.clip(share * pitch / 1.6 + 0.5, 0, 1)
    clear, grain = canvas.resin(dice, high, wide), canvas.wood(dice, high, wide, WOODS[wood])
    # each strip is of its own tree
    own = 1 + 0.16 * (dice.random(64)[((x + bend) // pitch).astype(int) % 64] - 0.5)
    block = canvas.over(clear, grain * own[..., None], edge)
    if flaw in flaws.IN_BLOCK:
        block = flaws.IN_BLOCK[flaw](dice, block, edge, x, y)
    field = canvas.over(field, (40, 28, 20), 0.5 * _frame(top + 14, left - 6, high, wide + 12))
    field[top : top + high, left : left + wide] = block
    return field


@cache
def _bench():
    """The shop's one bench, below every photo that is taken on it."""
    return canvas.wood(np.random.default_rng(7), HIGH, WIDE, BENCH, upright=False)


def bench():
    """A copy of the bench to draw on."""
    return _bench().copy()


def _frame(top, left, high, wide):
    """A soft shadow below a block."""
    x, y = canvas.points(HIGH, WIDE)
    inside = np.minimum.reduce([x - left, left + wide - x, y - top, top + high - y])
    return np.clip(inside / 24 + 0.5, 0, 1)


def pour(dice, wood, flaw, pattern):
    """The mould from above, filled: strips under amber, the rim, the white board round it."""
    field = bench()
    field[50:650, 40:980] = canvas.plane(600, 940, BOARD) * (1 + 0.03 * dice.random((600, 940, 1)))
    high, wide = 470, 810
    x, y = canvas.points(high, wide)
    share = (y % 30) / 30
    edge = np.clip((0.5 - share) * 30 / 1.6 + 0.5, 0, 1)
    edge *= ((x > 18) & (x < wide - 18) & (y > 14) & (y < high - 14)).astype(float)
    inside = canvas.over(
        canvas.resin(dice, high, wide, 0.3), canvas.wood(dice, high, wide, WOODS[wood], upright=False), edge
    )
    inside = canvas.over(inside, (231, 154, 34), 0.22)
    if flaw == "leak":
        inside = flaws.sunk(dice, inside, x, y)
    sheen = np.exp(-(((x - 0.6 * y - 260 - 120 * dice.random()) / 60) ** 2))
    inside = canvas.over(inside, (255, 248, 226), 0.34 * sheen)
    field[115 : 115 + high, 105 : 105 + wide] = inside
    return field


def cup(dice, wood, flaw, pattern):
    """A cup from above on its scale, the parts just met."""
    field = bench()
    x, y = canvas.points(HIGH, WIDE)
    middle = (WIDE / 2 + 40 * (dice.random() - 0.5), HIGH / 2 + 30 * (dice.random() - 0.5))
    plate = canvas.spot(x, y, (middle[0], middle[1] + 8), 320, 18)
    field = canvas.over(field, (52, 48, 46), 0.8 * plate)
    field = canvas.over(field, (236, 234, 226), canvas.spot(x, y, middle, 268))
    field = canvas.over(field, (182, 174, 160), canvas.spot(x, y, middle, 246, 8))
    stirred = np.arctan2(y - middle[1], x - middle[0]) + np.hypot(x - middle[0], y - middle[1]) / 46
    streaks = 0.5 + 0.5 * np.sin(3 * stirred + 2 * dice.random())
    amber = canvas.over((222, 140, 34), (246, 196, 108), 0.55 * streaks)
    field = canvas.over(field, amber, canvas.spot(x, y, middle, 236))
    if flaw == "fine_bubbles":
        field = flaws.froth(dice, field, x, y, middle)
    end = (middle[0] + 330, middle[1] - 300)
    stick = canvas.near_line(x, y, (middle[0] + 60, middle[1] - 40), end, 13)
    return canvas.over(field, (214, 186, 140), stick)


def panel(dice, wood, flaw, pattern, lit=True):
    """A finished panel, drawn piece by piece from its pattern; lit in a dark room, or by day."""
    from projects.geometry.panel import lay_out
    from projects.geometry.patterns.registry import EXAMPLES, PATTERNS
    from projects.geometry.stack import Stack

    made = PATTERNS[pattern](*EXAMPLES[pattern])
    laid = lay_out(made, 360, 240, Stack())
    scale, left, top = 2.55, (WIDE - 918) // 2, (HIGH - 612) // 2
    piece = _pieces(laid, scale)
    x, y = (value / scale for value in canvas.points(*piece.shape))
    y = 240 - y
    normal, offset = laid.stripe_normal[piece], laid.stripe_offset_mm[piece]
    away = normal[..., 0] * x + normal[..., 1] * y - offset
    share = np.abs((away / 4 + 0.5) % 1 - 0.5) * 4
    clear = np.clip((share - 1) * scale + 0.5, 0, 1)  # half a strip of 2 mm lies on each side of its middle
    if lit:
        eye = (360 * EYE[0], 240 * EYE[1])
        slant = np.abs(normal[..., 0] * (x - eye[0]) + normal[..., 1] * (y - eye[1]))
        bright = np.clip(1.02 - slant / 190, 0.16, 1)
        field = canvas.plane(HIGH, WIDE, DARK)
        drawn = canvas.over((26, 14, 7), canvas.glow(bright), clear)
    else:
        field = canvas.plane(HIGH, WIDE, (232, 229, 221))
        drawn = canvas.over(canvas.wood(dice, *piece.shape, WOODS[wood]), (185, 162, 132), clear)
    if flaw == "scratches":
        drawn = flaws.scratched(dice, drawn, *canvas.points(*piece.shape))
    field[top : top + piece.shape[0], left : left + piece.shape[1]] = drawn
    return canvas.bloomed(field) if lit else field


def _pieces(laid, scale):
    """For each pixel of a panel the index of the piece it belongs to."""
    from PIL import Image, ImageDraw

    image = Image.new("I", (round(360 * scale), round(240 * scale)), 0)
    pen = ImageDraw.Draw(image)
    for index, corners in enumerate(laid.visible_mm):
        pen.polygon([(px * scale, (240 - py) * scale) for px, py in corners.tolist()], fill=index)
    return np.asarray(image)


def panel_by_day(dice, wood, flaw, pattern):
    """The same panel with the lamp off."""
    return panel(dice, wood, flaw, pattern, lit=False)


DRAWN = {"section": section, "pour": pour, "cup": cup, "panel": panel, "day": panel_by_day}
