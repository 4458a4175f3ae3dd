"""What is poured into what: strips and gaps, depth, mould board and the shop's temperature."""

from dataclasses import dataclass

from materials.science.errors import UnknownName, checked
from materials.science.resin.kinetics import Kinetics

STRIP_CONDUCTIVITY_W_PER_M_K = 0.15
STRIP_SPECIFIC_HEAT_J_PER_KG_K = 1600.0
# above this a gap or strip no longer has one temperature across it
WIDEST_HOMOGENEOUS_MM = 6.0


@dataclass(frozen=True)
class Board:
    """What a mould's bottom is made of.

    >>> Board(750, 1700, 0.14).conductivity_w_per_m_k
    0.14
    """

    density_kg_m3: float
    specific_heat_j_per_kg_k: float
    conductivity_w_per_m_k: float


# source: generic property tables (MDF: conductivity 0.12 to 0.3, the low end here, which keeps more heat in);
# the others from memory
BOARDS = {
    "mdf": Board(750, 1700, 0.14),
    "plywood": Board(600, 1600, 0.13),
    "polyethylene": Board(950, 1900, 0.42),
    "silicone": Board(1150, 1300, 0.20),
}


@dataclass(frozen=True)
class Layup:
    """A pour of one depth on a mould board.

    Parameters: depth_mm as poured; strip_mm and gap_mm (both 0: neat resin); shop_c; resin_c, of the mixed
    resin (None: as the shop); mould_mm, the board under it (0: none); mould, what it is made of;
    wood_density_kg_m3, of the strips; cells, of the model through the depth.
    Raises: OutOfRange, UnknownName.
    Valid for: strips and gaps up to 6 mm (`homogeneous`); no heat through the sides, which is the hot side.

    >>> layup = Layup(depth_mm=40, strip_mm=1, gap_mm=1)
    >>> layup.resin_fraction, layup.homogeneous
    (0.5, True)
    """

    depth_mm: float
    strip_mm: float = 0
    gap_mm: float = 0
    shop_c: float = 25
    resin_c: float | None = None
    mould_mm: float = 18
    mould: str = "mdf"
    wood_density_kg_m3: float = 650
    cells: int = 32

    def __post_init__(self) -> None:
        checked("depth_mm", self.depth_mm, 0.1, 500, "mm")
        checked("strip_mm", self.strip_mm, 0, 50, "mm")
        checked("gap_mm", self.gap_mm, 0.01 if self.strip_mm else 0, 50, "mm")
        checked("shop_c", self.shop_c, -10, 60, "°C")
        if self.resin_c is not None:
            checked("resin_c", self.resin_c, -10, 80, "°C")
        checked("mould_mm", self.mould_mm, 0, 100, "mm")
        checked("wood_density_kg_m3", self.wood_density_kg_m3, 100, 1400, "kg/m³")
        checked("cells", self.cells, 4, 512, "")
        if self.mould not in BOARDS:
            raise UnknownName("mould board", self.mould, BOARDS)

    @property
    def resin_fraction(self) -> float:
        """The share of the depth's cross-section that is resin; 1 is neat resin."""
        return self.gap_mm / (self.gap_mm + self.strip_mm) if self.strip_mm else 1.0

    @property
    def homogeneous(self) -> bool:
        """Whether strips and gaps are thin enough to share one temperature."""
        return max(self.strip_mm, self.gap_mm if self.strip_mm else 0) <= WIDEST_HOMOGENEOUS_MM

    @property
    def poured_c(self) -> float:
        """The mixed resin's temperature."""
        return self.shop_c if self.resin_c is None else self.resin_c


@dataclass(frozen=True)
class Stuff:
    """Strips and resin together, as the heat sees them.

    >>> stuff = Stuff.of(Kinetics(1e-4), Layup(40, 1, 1))
    >>> round(stuff.rise_k, 1)
    113.4
    """

    capacity_j_per_m3_k: float
    conductivity_w_per_m_k: float
    heat_j_per_m3: float
    start_c: float

    @classmethod
    def of(cls, kinetics: Kinetics, layup: Layup) -> "Stuff":
        """Mixes by volume; the start is the heat-weighted mean of warm resin and strips as the shop."""
        share = layup.resin_fraction
        resin = share * kinetics.density_kg_m3 * kinetics.specific_heat_j_per_kg_k
        wood = (1 - share) * layup.wood_density_kg_m3 * STRIP_SPECIFIC_HEAT_J_PER_KG_K
        return cls(
            capacity_j_per_m3_k=resin + wood,
            conductivity_w_per_m_k=share * kinetics.conductivity_w_per_m_k
            + (1 - share) * STRIP_CONDUCTIVITY_W_PER_M_K,
            heat_j_per_m3=share * kinetics.density_kg_m3 * kinetics.heat_j_per_kg,
            start_c=(resin * layup.poured_c + wood * layup.shop_c) / (resin + wood),
        )

    @property
    def rise_k(self) -> float:
        """How far a full cure would warm it if no heat got out."""
        return self.heat_j_per_m3 / self.capacity_j_per_m3_k
