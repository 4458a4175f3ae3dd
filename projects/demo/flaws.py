"""What went wrong, drawn into the photos of blocks and panels."""

import numpy as np

from projects.demo import canvas


def bend(dice, x, y):
    """How far strips are pushed aside that bowed while one gap filled before the next."""
    middle = 0.35 + 0.3 * dice.random()
    reach = np.exp(-((x / x.shape[1] - middle) ** 2) / 0.02)
    return 22 * reach * np.sin(np.pi * y / y.shape[0])


def wood_bubbles(dice, block, edge, x, y):
    """Trails of bubbles that rose along the strips."""
    sides = np.argwhere(np.abs(np.diff(edge[200])) > 0.3)[:, 0]
    for _ in range(60):
        side = float(dice.choice(sides)) + dice.normal(6, 2)
        for _ in range(int(dice.integers(2, 7))):
            centre = (side + dice.normal(0, 1.5), dice.random() * y.shape[0])
            block = bubble(dice, block, x, y, centre, 1.5 + 4 * dice.random())
    return block


def bubble(dice, block, x, y, centre, radius):
    """One bubble: a pale ring with a point of light; only the pixels near it are touched."""
    here, pale = canvas.near(block, centre, radius + 4), (255, 232, 176)
    px, py = x[here], y[here]
    part = canvas.over(block[here], pale, 0.75 * canvas.spot(px, py, centre, radius, 1.2))
    part = canvas.over(part, (120, 66, 12), 0.55 * canvas.spot(px, py, centre, radius * 0.72, 1.2))
    lit = (centre[0] - radius * 0.3, centre[1] - radius * 0.3)
    block[here] = canvas.over(part, pale, canvas.spot(px, py, lit, radius * 0.28, 1))
    return block


def fine_bubbles(dice, block, edge, x, y):
    """A fog of small bubbles in the resin."""
    fog = (dice.random(edge.shape) < 0.02) * (1 - edge)
    return canvas.over(block, (255, 236, 190), 0.7 * fog)


def haze(dice, block, edge, x, y):
    """Milky resin towards one end."""
    milk = np.clip(1.1 - x / x.shape[1] - 0.25 * canvas.waves(dice, x + y, 4, 300), 0, 1) * (1 - edge)
    return canvas.over(block, (232, 222, 204), 0.72 * milk)


def soft(dice, block, edge, x, y):
    """A thumb has gone into it, and the surface shines wet."""
    for _ in range(3):
        centre = (150 + 600 * dice.random(), 60 + 90 * dice.random())
        far = np.hypot((x - centre[0]) / 1.3, y - centre[1])
        whorl = 0.5 + 0.5 * np.sin(far / 2.6)
        dent = np.clip((46 - far) / 12, 0, 1)
        block = canvas.over(block, (86, 48, 14), 0.5 * dent * whorl)
    wet = np.exp(-(((y - 34) / 16) ** 2)) * (0.6 + 0.4 * canvas.waves(dice, x, 4, 220))
    return canvas.over(block, (255, 246, 220), np.clip(0.55 * wet, 0, 1))


def layer_line(dice, block, edge, x, y):
    """The line where the second pour did not take to the first."""
    height = y.shape[0] * (0.45 + 0.1 * dice.random()) + 3 * canvas.waves(dice, x, 4, 400)
    near = np.exp(-(((y - height) / 2.2) ** 2)) * (1 - 0.7 * edge)
    below = np.clip((y - height) / 60, 0, 1) * (1 - edge)
    block = canvas.over(block, (176, 98, 16), 0.3 * below)
    return canvas.over(block, (255, 240, 206), 0.85 * near)


def cracks(dice, block, edge, x, y):
    """Cracks that start at the corner of a strip."""
    for _ in range(3):
        here = np.array([150 + 600 * dice.random(), 40 + 300 * dice.random()])
        way = 2 * np.pi * dice.random()
        for _ in range(9):
            there = here + (14 + 22 * dice.random()) * np.array([np.cos(way), np.sin(way)])
            part = canvas.near(block, here, 40)  # no stroke is longer than 36
            stroke = canvas.near_line(x[part], y[part], tuple(here), tuple(there), 1.4)
            block[part] = canvas.over(block[part], (255, 244, 214), 0.9 * stroke)
            here, way = there, way + dice.normal(0, 0.55)
    return block


def overheated(dice, block, edge, x, y):
    """Brown in the middle, where it could not get rid of its heat."""
    far = np.hypot(x / x.shape[1] - 0.5, (y / y.shape[0] - 0.5) * 0.6)
    brown = np.clip(1 - far / 0.38, 0, 1) * (1 - 0.6 * edge)
    return canvas.over(block, (84, 38, 8), 0.75 * brown)


def voids(dice, block, edge, x, y):
    """Empty places below a comb."""
    for _ in range(4):
        centre = (80 + 740 * dice.random(), 250 + 120 * dice.random())
        hole = canvas.spot((x - centre[0]) / 2.4 + centre[0], y, centre, 12 + 8 * dice.random(), 3)
        block = canvas.over(block, (58, 36, 20), 0.85 * hole * (1 - edge))
    return block


def froth(dice, field, x, y, middle):
    """A cup that was stirred too fast."""
    for _ in range(420):
        way, far = 2 * np.pi * dice.random(), 225 * np.sqrt(dice.random())
        centre = (middle[0] + far * np.cos(way), middle[1] + far * np.sin(way))
        field = bubble(dice, field, x, y, centre, 1.5 + 3 * dice.random())
    return field


def sunk(dice, inside, x, y):
    """The level fell: strips stand dry at one end."""
    dry = np.clip((x - 0.55 * x.shape[1] - 60 * dice.random()) / 120, 0, 1)
    return canvas.over(inside, inside * 0.62 + np.array([58.0, 52.0, 44.0]), 0.8 * dry)


def scratched(dice, drawn, x, y):
    """Curls of coarse scratches that the polish brought out."""
    for _ in range(34):
        centre = (x.shape[1] * dice.random(), y.shape[0] * dice.random())
        radius, way = 26 + 60 * dice.random(), 2 * np.pi * dice.random()
        here = canvas.near(drawn, centre, radius + 2)
        px, py = x[here] - centre[0], y[here] - centre[1]
        stroke = np.clip(1 - np.abs(np.hypot(px, py) - radius) / 0.9, 0, 1)
        stroke *= np.cos(np.arctan2(py, px) - way) > 0.5
        drawn[here] = canvas.over(drawn[here], (255, 238, 204), 0.5 * stroke)
    return drawn


IN_BLOCK = {
    "wood_bubbles": wood_bubbles, "fine_bubbles": fine_bubbles, "haze": haze, "soft": soft,
    "layer_line": layer_line, "cracks": cracks, "overheated": overheated, "voids": voids,
}  # fmt: skip
"""Flaws that show on the sawn end of a block."""
