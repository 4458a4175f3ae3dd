"""What every pattern is made of: shapes that a saw cuts from a bar, and places where they lie.

One shape serves for all: a bar cut twice. In the bar's frame x runs along the bar and y across it, from 0
to the bar's width; a cut leans by its angle to the bar's edge. Triangles are such shapes with no far edge.
"""

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from materials.science.errors import OutOfRange, checked

Point = tuple[float, float]
# below this, in mm, two lengths are one
SAME_MM = 1e-9
LEAST_SIZE_MM, MOST_SIZE_MM = 0.5, 5_000


@dataclass(frozen=True)
class Shape:
    """A piece as it is cut from a bar: a quadrilateral between the bar's two edges.

    Parameters: name, a letter; bar_mm, width of the bar; near_mm, the piece's length along the bar's near
    edge (y = 0); left_deg and right_deg, its two cuts against the bar's edge; stripe_deg, the stripes
    against the bar's edge (0: they run along the bar); phase_mm, where the centre of one strip lies,
    measured square to the strips from the near left corner (None: on the bar's centre line).
    Raises: OutOfRange, also where the two cuts cross inside the bar.
    Source: geometry; needs none.

    >>> triangle = Shape("T", bar_mm=30, near_mm=60, left_deg=45, right_deg=135)
    >>> triangle.far_mm, triangle.area_mm2, triangle.handling
    (0.0, 900.0, 'roll')
    """

    name: str
    bar_mm: float
    near_mm: float
    left_deg: float
    right_deg: float
    stripe_deg: float = 0
    phase_mm: float | None = None

    def __post_init__(self) -> None:
        checked("bar_mm", self.bar_mm, SAME_MM, MOST_SIZE_MM, "mm")
        checked("near_mm", self.near_mm, 0, 20 * MOST_SIZE_MM, "mm")
        checked("left_deg", self.left_deg, 1, 179, "°")
        checked("right_deg", self.right_deg, 1, 179, "°")
        checked("far_mm", self.far_mm, 0, 20 * MOST_SIZE_MM, "mm")

    @property
    def far_mm(self) -> float:
        """The piece's length along the bar's far edge, in mm: 0 for a triangle."""
        far = self.near_mm + self.bar_mm * (cot(self.right_deg) - cot(self.left_deg))
        return 0.0 if abs(far) < SAME_MM else far

    @property
    def mean_mm(self) -> float:
        """The piece's length at the middle of the bar, in mm: what it uses up of the bar."""
        return (self.near_mm + self.far_mm) / 2

    @property
    def area_mm2(self) -> float:
        """The area of the piece."""
        return self.bar_mm * self.mean_mm

    @property
    def phase(self) -> float:
        """Where the centre of one strip lies, in mm, given or by default."""
        return self.bar_mm / 2 if self.phase_mm is None else self.phase_mm

    @property
    def corners_mm(self) -> tuple[Point, Point, Point, Point]:
        """The four corners in the bar's frame, counter-clockwise from the near left one."""
        lean = self.bar_mm * cot(self.left_deg)
        return (0.0, 0.0), (self.near_mm, 0.0), (lean + self.far_mm, self.bar_mm), (lean, self.bar_mm)

    @property
    def slides(self) -> bool:
        """Whether both cuts are parallel, so that the bar only slides on between cuts."""
        return abs(self.left_deg - self.right_deg) < SAME_MM

    @property
    def handling(self) -> str:
        """What is done to the bar between two cuts: slide, roll (one gauge), or turn (two gauges)."""
        if self.slides:
            return "slide"
        return "roll" if abs(self.left_deg + self.right_deg - 180) < SAME_MM else "turn"

    @property
    def stop_mm(self) -> float:
        """The stop's distance, in mm: the longer edge, measured along the fence."""
        return max(self.near_mm, self.far_mm)

    def bar_phases(self, pieces: int, pitch_mm: float, kerf_mm: float) -> list[float]:
        """Where the strips lie in each of the pieces of one bar, in each piece's own frame, in mm.

        Parameters: pieces, how many; pitch_mm, from strip to strip; kerf_mm, of the saw.
        Returns: one phase per piece, from 0 to the pitch.

        >>> Shape("R", 30, 40, 90, 90, stripe_deg=30, phase_mm=0).bar_phases(2, 4, 2)
        [0.0, 1.0]
        """
        alpha = math.radians(self.stripe_deg)
        cuts, across = self.slots_mm(pieces, kerf_mm), (-math.sin(alpha), math.cos(alpha))
        phases = []
        for index in range(pieces):
            near = cuts[index][0] + kerf_mm / math.sin(math.radians(cuts[index][1])) - cuts[0][0]
            near -= kerf_mm / math.sin(math.radians(cuts[0][1]))
            if self.slides or index % 2 == 0:
                phase = self.phase - across[0] * near
            else:  # turned half round, its own near left corner is the far right one in the bar
                corner = near + self.far_mm + self.bar_mm * cot(self.left_deg), self.bar_mm
                phase = across[0] * corner[0] + across[1] * corner[1] - self.phase
            phases.append(round(phase % pitch_mm, 9) % pitch_mm)
        return phases

    def slots_mm(self, pieces: int, kerf_mm: float, first_mm: float = 0) -> list[tuple[float, float]]:
        """Every cut of a bar of so many pieces: where its left side meets the near edge, and its angle.

        Parameters: pieces; kerf_mm, of the saw; first_mm, where the first cut's leftmost point lies.
        Returns: one pair (mm along the near edge, degrees) more than there are pieces.

        >>> Shape("Q", 40, 40, 90, 90).slots_mm(2, kerf_mm=2, first_mm=3)
        [(3.0, 90), (45.0, 90), (87.0, 90)]
        """
        angles = (self.left_deg, self.right_deg)
        lean = self.bar_mm * cot(self.left_deg)
        at, slots = first_mm + max(0.0, -lean), []
        for index in range(pieces + 1):
            angle = angles[0 if self.slides else index % 2]
            slots.append((at, angle))
            edge = self.near_mm if self.slides or index % 2 == 0 else self.far_mm
            at += kerf_mm / math.sin(math.radians(angle)) + edge
        return slots

    def bar_length_mm(self, pieces: int, kerf_mm: float, ends_mm: float) -> float:
        """The length of a square-ended bar for so many pieces.

        Parameters: pieces; kerf_mm, of the saw; ends_mm, what is trimmed and held at both ends together.
        Returns: mm.

        >>> round(Shape("T", 30, 60, 45, 135).bar_length_mm(15, kerf_mm=2, ends_mm=43), 4)
        568.2548
        """
        lefts = pieces + 1 if self.slides else pieces // 2 + 1
        rights = pieces + 1 - lefts
        slots = lefts / math.sin(math.radians(self.left_deg))
        slots += rights / math.sin(math.radians(self.right_deg))
        last = self.right_deg if not self.slides and pieces % 2 else self.left_deg
        wedges = self.bar_mm / 2 * (abs(cot(self.left_deg)) + abs(cot(last)))
        return ends_mm + wedges + pieces * self.mean_mm + kerf_mm * slots

    def inset(self, by_mm: float) -> tuple["Shape", Point]:
        """The shape with all its edges moved inwards, and where its near left corner comes to lie.

        Parameters: by_mm, half a glue line.
        Returns: the smaller shape, its strips centred again; the corner in the frame of this one, in mm.
        Raises: OutOfRange where nothing would be left.

        >>> Shape("Q", 40, 40, 90, 90).inset(0.1)[0].near_mm
        39.8
        """
        if by_mm == 0:
            return self, (0.0, 0.0)
        left, right = math.radians(self.left_deg), math.radians(self.right_deg)
        corner = by_mm * cot(self.left_deg) + by_mm / math.sin(left)
        end = self.near_mm + by_mm * cot(self.right_deg) - by_mm / math.sin(right)
        near, narrowing = end - corner, cot(self.left_deg) - cot(self.right_deg)
        bar = self.bar_mm - 2 * by_mm
        low = 0.0
        if narrowing > 0 and near < bar * narrowing:  # the two cuts meet below the far edge: a triangle
            bar = near / narrowing
        if narrowing < 0 and near < 0:  # they meet above the near edge: a triangle on its tip
            low = near / narrowing
            bar, near = bar - low, 0.0
        if bar <= SAME_MM or near < 0:
            round_mm = self.bar_mm * (1 / math.sin(left) + 1 / math.sin(right)) + self.near_mm + self.far_mm
            most_mm = min(self.bar_mm, 4 * self.area_mm2 / round_mm)  # twice a triangle's inner circle
            raise OutOfRange("glue_mm", 2 * by_mm, 0, round(most_mm, 3), "mm")
        near = max(near, bar * narrowing)
        smaller = replace(self, bar_mm=bar, near_mm=round(near, 12), phase_mm=None)
        return smaller, (corner + low * cot(self.left_deg), by_mm + low)


class Place(NamedTuple):
    """Where a piece lies in the cell: its shape's index, its turn, whether face down, where its corner is.

    >>> Place(0, 90, False, (40.0, 0.0)).turn_deg
    90
    """

    shape: int
    turn_deg: float
    face_down: bool
    at_mm: Point


class Ring(NamedTuple):
    """Pieces that close round a point: how many, how far the ring reaches, cuts that make each corner.

    >>> Ring(6, 40, 2).pieces
    6
    """

    pieces: int
    radius_mm: float
    faces: int


@dataclass(frozen=True)
class Pattern:
    """A repeating arrangement of pieces without gaps.

    Parameters: name; shapes; cell, the places of one repeat; lattice, the two steps to the next repeats;
    ring, pieces that close round a point, if any.

    >>> square = rectangle("Q", 40, 40)
    >>> Pattern("plain", (square,), (Place(0, 0, False, (0, 0)),), ((40, 0), (0, 40))).cell_area_mm2
    1600
    """

    name: str
    shapes: tuple[Shape, ...]
    cell: tuple[Place, ...]
    lattice: tuple[Point, Point]
    ring: Ring | None = None

    @property
    def cell_area_mm2(self) -> float:
        """The area of one repeat."""
        (ux, uy), (vx, vy) = self.lattice
        return abs(ux * vy - uy * vx)

    def counts(self) -> dict[str, int]:
        """How many pieces of each shape one repeat has, by the shape's name.

        >>> square = rectangle("Q", 40, 40)
        >>> Pattern("plain", (square,), (Place(0, 0, False, (0, 0)),), ((40, 0), (0, 40))).counts()
        {'Q': 1}
        """
        lying = [place.shape for place in self.cell]
        return {shape.name: lying.count(index) for index, shape in enumerate(self.shapes)}

    def bar_per_area(self, kerf_mm: float) -> dict[str, float]:
        """The length of bar that each shape needs, in m per m² of panel, without ends, tests and spares.

        >>> square = rectangle("Q", 40, 40)
        >>> plain = Pattern("plain", (square,), (Place(0, 0, False, (0, 0)),), ((40, 0), (0, 40)))
        >>> plain.bar_per_area(kerf_mm=2)
        {'Q': 26.25}
        """
        found = {}
        for shape in self.shapes:
            sines = [math.sin(math.radians(angle)) for angle in (shape.left_deg, shape.right_deg)]
            each = shape.mean_mm + kerf_mm / 2 * sum(1 / sine for sine in sines)
            found[shape.name] = 1000 * self.counts()[shape.name] * each / self.cell_area_mm2
        return found


def cot(angle_deg: float) -> float:
    """The cotangent of an angle in degrees, exactly 0 for a square cut.

    >>> cot(90), round(cot(45), 9)
    (0.0, 1.0)
    """
    return 0.0 if angle_deg == 90 else 1 / math.tan(math.radians(angle_deg))


def size(name: str, value_mm: float) -> float:
    """A size of a pattern, if a saw could ever meet it.

    Parameters: name, with its unit; value_mm.
    Raises: OutOfRange.

    >>> size("side_mm", 40)
    40
    """
    return checked(name, value_mm, LEAST_SIZE_MM, MOST_SIZE_MM, "mm")


def turned(by_deg: float, point: Point) -> Point:
    """A point turned about the origin, counter-clockwise; quarter turns are exact.

    >>> turned(90, (1, 0))
    (0.0, 1.0)
    """
    quarter = round(by_deg / 90)
    if by_deg == 90 * quarter:
        cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[quarter % 4]
    else:
        cosine, sine = math.cos(math.radians(by_deg)), math.sin(math.radians(by_deg))
    return cosine * point[0] - sine * point[1], sine * point[0] + cosine * point[1]


def laid(
    shape: int, turn_deg: float, corner: Point = (0, 0), onto: Point = (0, 0), *, face_down: bool = False
) -> Place:
    """The place at which a point of the bar comes to lie on a point of the cell.

    Parameters: shape, its index; turn_deg; corner, the point in the bar's frame; onto, the point in the
    cell; face_down.

    >>> laid(0, 180, corner=(60, 0), onto=(0, 0)).at_mm
    (60.0, 0.0)
    """
    x, y = turned(turn_deg, (corner[0], -corner[1] if face_down else corner[1]))
    return Place(shape, turn_deg, face_down, (onto[0] - x, onto[1] - y))


def around(
    shape: int, pieces: int, corner: Point = (0, 0), out: Point = (0, 0), turn_deg: float = 0
) -> list[Place]:
    """Places of equal pieces round the cell's origin, each turned on by the same angle.

    Parameters: shape, its index; pieces, how many; corner, the bar's point that comes to lie on `out`, a
    point that turns round with the pieces; turn_deg, of the first one.

    >>> [place.turn_deg for place in around(0, 4)]
    [0.0, 90.0, 180.0, 270.0]
    """
    steps = [360 * index / pieces for index in range(pieces)]
    return [laid(shape, step + turn_deg, corner, turned(step, out)) for step in steps]


def rectangle(name: str, length_mm: float, bar_mm: float) -> Shape:
    """A rectangle cut square from the bar.

    >>> rectangle("R", 60, 20).area_mm2
    1200.0
    """
    return Shape(name, bar_mm, length_mm, 90, 90)


def parallelogram(name: str, length_mm: float, bar_mm: float, angle_deg: float) -> Shape:
    """A parallelogram: both cuts at one angle.

    >>> parallelogram("P", 40, 20, 45).slides
    True
    """
    return Shape(name, bar_mm, length_mm, angle_deg, angle_deg)


def rhombus(name: str, side_mm: float, angle_deg: float) -> Shape:
    """A parallelogram whose four sides are equal.

    >>> round(rhombus("R", 30, 60).bar_mm, 4)
    25.9808
    """
    return parallelogram(name, side_mm, side_mm * math.sin(math.radians(angle_deg)), angle_deg)


def trapezoid(name: str, base_mm: float, bar_mm: float, angle_deg: float) -> Shape:
    """A trapezoid whose two cuts lean equally towards each other.

    >>> trapezoid("T", 60, 10, 45).far_mm
    40.0
    """
    return Shape(name, bar_mm, base_mm, angle_deg, 180 - angle_deg)


def isosceles(name: str, base_mm: float, angle_deg: float) -> Shape:
    """A triangle with two equal angles at its base, which lies along the bar's edge.

    >>> round(isosceles("T", 60, 45).area_mm2, 6)
    900.0
    """
    return trapezoid(name, base_mm, base_mm / 2 * math.tan(math.radians(angle_deg)), angle_deg)


def right_triangle(name: str, first_mm: float, second_mm: float) -> Shape:
    """A triangle with a right angle, its longest side along the bar's edge: two gauge settings.

    Parameters: name; first_mm and second_mm, the two short sides, the first at the bar's left.

    >>> right_triangle("R", 30, 40).near_mm
    50.0
    """
    longest = math.hypot(first_mm, second_mm)
    left = math.degrees(math.atan2(second_mm, first_mm))
    return Shape(name, first_mm * second_mm / longest, longest, left, 90 + left)
