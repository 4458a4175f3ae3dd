"""Every pattern by its name. A new one: a small file beside this, and a line in each of these tables."""

from collections.abc import Callable

from projects.geometry.patterns.base import Pattern
from projects.geometry.patterns.basket import basket
from projects.geometry.patterns.cubes import cubes
from projects.geometry.patterns.herringbone import herringbone
from projects.geometry.patterns.hexagons import hexagons
from projects.geometry.patterns.hexrings import hexrings
from projects.geometry.patterns.peaks import peaks
from projects.geometry.patterns.squares import squares
from projects.geometry.patterns.star6 import star6
from projects.geometry.patterns.star8 import star8
from projects.geometry.patterns.zigzag import zigzag

PATTERNS: dict[str, Callable[..., Pattern]] = {
    "zigzag": zigzag,
    "peaks": peaks,
    "hexagons": hexagons,
    "hexrings": hexrings,
    "cubes": cubes,
    "basket": basket,
    "squares": squares,
    "herringbone": herringbone,
    "star6": star6,
    "star8": star8,
}
# sizes to begin with, and to draw a small picture of each pattern with
EXAMPLES: dict[str, tuple[float, ...]] = {
    "zigzag": (30, 60, 45),
    "peaks": (60, 52),
    "hexagons": (40,),
    "hexrings": (20, 3),
    "cubes": (30,),
    "basket": (40,),
    "squares": (60,),
    "herringbone": (20, 3),
    "star6": (30,),
    "star8": (30,),
}
