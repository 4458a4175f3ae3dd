"""Strips on edge with resin between them: the stack, and the block it is cast into.

Frame: x along the strips, y across them, z the depth. Depths: `depth_mm` is the finished thickness of
the panel; what is poured is deeper by what is flattened away on both faces.
"""

from dataclasses import dataclass

from materials.science.errors import OutOfRange, checked

# these catch a slip of the unit or of the decimal point; they are no limits of the trade
LEAST_MM, MOST_MM, MOST_STRIPS = 0.01, 10_000, 10_000
# the walls of a mould stand higher than the resin, so that it can be carried level (judgement, no source)
FREEBOARD_MM = 10


@dataclass(frozen=True)
class Stack:
    """The recipe of a block across its strips.

    Parameters: strip_mm and gap_mm, thickness of a strip and of the resin beside it; depth_mm, finished
    thickness; max_length_mm and max_width_mm, the largest block the shop can make (a cut plan divides by
    them); flatten_mm, what is taken off each face; edge_mm, what is taken off each long edge;
    resin_index, refractive index of the cured resin. All but the last in mm.
    Raises: OutOfRange.

    >>> stack = Stack(strip_mm=2, gap_mm=2, depth_mm=10)
    >>> stack.pitch_mm, stack.width_mm(50), stack.resin_fraction, stack.poured_depth_mm
    (4, 198, 0.5, 12)
    """

    strip_mm: float = 2
    gap_mm: float = 2
    depth_mm: float = 10
    max_length_mm: float = 600
    max_width_mm: float = 200
    flatten_mm: float = 1
    edge_mm: float = 3
    resin_index: float = 1.55

    def __post_init__(self) -> None:
        for name in ("strip_mm", "depth_mm", "max_length_mm", "max_width_mm"):
            checked(name, getattr(self, name), LEAST_MM, MOST_MM, "mm")
        for name in ("gap_mm", "flatten_mm", "edge_mm"):
            checked(name, getattr(self, name), 0, MOST_MM, "mm")
        checked("resin_index", self.resin_index, 1, 2.5, "")

    @property
    def pitch_mm(self) -> float:
        """From one strip to the next, in mm."""
        return self.strip_mm + self.gap_mm

    @property
    def resin_fraction(self) -> float:
        """The share of resin in an endless stack, by volume: gap over pitch."""
        return self.gap_mm / self.pitch_mm

    @property
    def poured_depth_mm(self) -> float:
        """The depth of the block as it is poured, in mm: finished plus both faces' flattening."""
        return self.depth_mm + 2 * self.flatten_mm

    def width_mm(self, strips: int) -> float:
        """The width of a block of so many strips, in mm: a strip at either edge, a gap between each two.

        >>> Stack(strip_mm=0.6, gap_mm=1.5).width_mm(3)
        4.8
        """
        checked_strips(strips)
        return strips * self.strip_mm + (strips - 1) * self.gap_mm


@dataclass(frozen=True)
class Block:
    """One block as it is cast: how big, how much resin, which mould.

    Parameters: stack; strips, how many; length_mm, along the strips; rim_mm, the resin all round the
    stack; over_mm, the resin above the strips. Lengths in mm.
    Raises: OutOfRange.
    Source: geometry; needs none. Film left in cups and what soaks into the wood come on top
    (needed_resin).

    >>> block = Block(Stack(), strips=50, length_mm=600)
    >>> round(block.gap_ml, 3), round(block.rim_ml, 3), round(block.over_ml, 3), round(block.resin_ml, 3)
    (705.6, 77.376, 125.248, 908.224)
    >>> block.mould_inside_mm
    (608, 206, 13)
    """

    stack: Stack
    strips: int
    length_mm: float
    rim_mm: float = 4
    over_mm: float = 1

    def __post_init__(self) -> None:
        checked_strips(self.strips)
        checked("length_mm", self.length_mm, LEAST_MM, MOST_MM, "mm")
        checked("rim_mm", self.rim_mm, 0, MOST_MM, "mm")
        checked("over_mm", self.over_mm, 0, MOST_MM, "mm")

    @property
    def width_mm(self) -> float:
        """Across the strips, in mm, without the rim."""
        return self.stack.width_mm(self.strips)

    @property
    def poured_depth_mm(self) -> float:
        """The depth of the stack as it is poured, in mm; the strips stand this high."""
        return self.stack.poured_depth_mm

    @property
    def strip_height_mm(self) -> float:
        """How high each strip stands in the mould, in mm: the poured depth, so that both faces flatten."""
        return self.stack.poured_depth_mm

    @property
    def strips_length_mm(self) -> float:
        """The length of strip that the block uses up, in mm, without spares."""
        return self.strips * self.length_mm

    @property
    def wood_ml(self) -> float:
        """The volume of all strips, in ml."""
        return self.strips_length_mm * self.stack.strip_mm * self.strip_height_mm / 1000

    @property
    def gap_ml(self) -> float:
        """The resin in the gaps between the strips, in ml."""
        return self.length_mm * self.stack.gap_mm * (self.strips - 1) * self.poured_depth_mm / 1000

    @property
    def rim_ml(self) -> float:
        """The resin round the stack, as deep as the strips, in ml."""
        return (self._inside_mm2 - self.length_mm * self.width_mm) * self.poured_depth_mm / 1000

    @property
    def over_ml(self) -> float:
        """The resin above the strips, rim included, in ml."""
        return self._inside_mm2 * self.over_mm / 1000

    @property
    def resin_ml(self) -> float:
        """All the resin in the mould, in ml: gaps, rim and what stands above the strips."""
        return self.gap_ml + self.rim_ml + self.over_ml

    @property
    def resin_share(self) -> float:
        """The share of resin in the block itself by volume, its rim and over-pour cut away."""
        return self.gap_ml / (self.gap_ml + self.wood_ml)

    @property
    def mould_inside_mm(self) -> tuple[float, float, float]:
        """Length and width inside the mould, and the height it is filled to, in mm."""
        return (
            self.length_mm + 2 * self.rim_mm,
            self.width_mm + 2 * self.rim_mm,
            self.poured_depth_mm + self.over_mm,
        )

    @property
    def mould_wall_mm(self) -> float:
        """How high the mould's walls stand inside, in mm: 10 mm above the resin."""
        return self.mould_inside_mm[2] + FREEBOARD_MM

    @property
    def _inside_mm2(self) -> float:
        length_mm, width_mm, _ = self.mould_inside_mm
        return length_mm * width_mm


@dataclass(frozen=True)
class NeededResin:
    """The resin to mix for a block, in ml, share by share.

    >>> NeededResin(block_ml=900, film_ml=27, soak_ml=18).total_ml
    945
    """

    block_ml: float
    film_ml: float
    soak_ml: float

    @property
    def total_ml(self) -> float:
        """What must be mixed, in ml."""
        return self.block_ml + self.film_ml + self.soak_ml


def needed_resin(block: Block, film_percent: float = 3, soak_percent: float = 2) -> NeededResin:
    """The resin to mix for a block: what fills the mould, and what never gets there.

    Parameters: block; film_percent, what stays as a film in cups, and soak_percent, what soaks into
    the wood, each in percent of the resin in the mould.
    Returns: a NeededResin, in ml.
    Raises: OutOfRange.
    Valid for: sealed strips; the shares are starting points for the shop's own.
    Source: geometry; the shares are common practice, no source.

    >>> round(needed_resin(Block(Stack(), strips=50, length_mm=600)).total_ml, 2)
    953.64
    """
    film = checked("film_percent", film_percent, 0, 100, "%") / 100
    soak = checked("soak_percent", soak_percent, 0, 100, "%") / 100
    return NeededResin(block.resin_ml, block.resin_ml * film, block.resin_ml * soak)


def checked_strips(strips: int) -> int:
    """A number of strips, if it is whole and at least one.

    Parameters: strips.
    Returns: the same number.
    Raises: OutOfRange.

    >>> checked_strips(50)
    50
    """
    checked("strips", strips, 1, MOST_STRIPS, "strips")
    if strips != int(strips):
        raise OutOfRange("strips", strips, 1, MOST_STRIPS, "strips")
    return strips
