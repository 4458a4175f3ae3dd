"""The bodies in which resin cures, as networks: a slab on its mould board, and a cup."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from materials.science.resin.kinetics import Kinetics
from materials.science.resin.layup import BOARDS, Layup, Stuff
from materials.science.resin.network import Network
from materials.science.resin.reaction import Vector

LEAST_BOARD_CELLS = 8
SIDE_W_PER_M2_K = 4.0
# a cup: height over diameter, and its air around and under it
CUP_HEIGHT_OVER_DIAMETER = 0.6
CUP_AIR_W_PER_M2_K, CUP_BASE_W_PER_M2_K = 11.0, 5.0
CUP_SHELLS = 16
CUP_RINGS, CUP_LAYERS = 16, 20


def slab(
    kinetics: Kinetics, layup: Layup, width_mm: float | None = None, below_mm: Sequence[float] = ()
) -> Network:
    """A square metre of a pour on its board, from the bottom up.

    Parameters: kinetics; layup; width_mm of a narrow mould that also loses heat through its two sides (None:
    none does); below_mm, how thick each cell of the same stack is that lies below, from the bottom up.
    Returns: a Network in W/K and J/K per square metre.
    Source: finite volumes; layers in series, strips beside gaps in parallel.

    >>> slab(Kinetics(1e-4), Layup(40, 1, 1)).inert
    8
    """
    stuff, board = Stuff.of(kinetics, layup), BOARDS[layup.mould]
    own = np.full(layup.cells, layup.depth_mm / 1000 / layup.cells)
    thick = np.concatenate([np.array(below_mm, dtype=float) / 1000, own])
    board_cells = max(LEAST_BOARD_CELLS, layup.cells // 4) if layup.mould_mm else 0
    board_thick = layup.mould_mm / 1000 / max(board_cells, 1)
    half = np.concatenate(
        [
            np.full(board_cells, board_thick / 2 / board.conductivity_w_per_m_k),
            thick / 2 / stuff.conductivity_w_per_m_k,
        ]
    )
    ambient = np.zeros(len(half))
    if width_mm is not None:
        ambient[board_cells:] = SIDE_W_PER_M2_K * 2 / (width_mm / 1000) * thick
    ambient[0] += to_air(kinetics.h_under_w_per_m2_k, half[0])
    ambient[-1] += to_air(kinetics.h_top_w_per_m2_k, half[-1])
    board_capacity = board.density_kg_m3 * board.specific_heat_j_per_kg_k * board_thick
    capacity = np.full(len(half), board_capacity)
    capacity[board_cells:] = stuff.capacity_j_per_m3_k * thick
    return Network(
        capacity=capacity,
        source=stuff.heat_j_per_m3 * thick,
        along=1 / (half[:-1] + half[1:]),
        ambient=ambient,
    )


def to_air(film_w_per_m2_k: float, half_k_m2_per_w: float) -> float:
    """The link from a cell's middle to the air; none where there is no air.

    Parameters: film_w_per_m2_k, to the air; half_k_m2_per_w, the resistance of half the cell.
    Returns: W/(m² K).
    Source: resistances in series.

    >>> to_air(10, 0.1), to_air(0, 0.1)
    (5.0, 0.0)
    """
    return 1 / (1 / film_w_per_m2_k + half_k_m2_per_w) if film_w_per_m2_k else 0.0


@dataclass(frozen=True)
class CupSize:
    """A cup of the usual shape, filled with so much resin.

    >>> cup = CupSize.of(100, 1100)
    >>> round(cup.diameter_m * 1000, 1), round(cup.height_m * 1000, 1)
    (57.8, 34.7)
    """

    volume_m3: float
    diameter_m: float
    height_m: float

    @classmethod
    def of(cls, mass_g: float, density_kg_m3: float) -> "CupSize":
        """From its mass."""
        volume = mass_g / 1000 / density_kg_m3
        diameter = (4 * volume / (CUP_HEIGHT_OVER_DIAMETER * math.pi)) ** (1 / 3)
        return cls(volume, diameter, CUP_HEIGHT_OVER_DIAMETER * diameter)

    @property
    def base_m2(self) -> float:
        """Its bottom, and its surface."""
        return math.pi / 4 * self.diameter_m**2

    @property
    def wall_m2(self) -> float:
        """Its side."""
        return math.pi * self.diameter_m * self.height_m

    @property
    def area_m2(self) -> float:
        """All its faces."""
        return 2 * self.base_m2 + self.wall_m2


def cup_sphere(kinetics: Kinetics, mass_g: float) -> Network:
    """A cup as the sphere with the same volume over surface: good for times, too cool in a runaway.

    Parameters: kinetics; mass_g.
    Returns: a Network of shells, from the middle outwards.
    Valid for: pot lives (within 11 % of the cylinder's, on the safe side).
    Source: finite volumes.

    >>> len(cup_sphere(Kinetics(1e-4), 100).capacity)
    16
    """
    cup = CupSize.of(mass_g, kinetics.density_kg_m3)
    radius = 3 * cup.volume_m3 / cup.area_m2
    film = CUP_AIR_W_PER_M2_K * (cup.wall_m2 + cup.base_m2) + CUP_BASE_W_PER_M2_K * cup.base_m2
    edges = np.linspace(0, radius, CUP_SHELLS + 1)
    volumes = 4 / 3 * math.pi * np.diff(edges**3)
    thick = radius / CUP_SHELLS
    conductivity = kinetics.conductivity_w_per_m_k
    ambient = np.zeros(CUP_SHELLS)
    ambient[-1] = 4 * math.pi * radius**2 * to_air(film / cup.area_m2, thick / 2 / conductivity)
    return Network(
        capacity=kinetics.density_kg_m3 * kinetics.specific_heat_j_per_kg_k * volumes,
        source=kinetics.density_kg_m3 * kinetics.heat_j_per_kg * volumes,
        along=conductivity * 4 * math.pi * edges[1:-1] ** 2 / thick,
        ambient=ambient,
    )


def cup_cylinder(
    kinetics: Kinetics, mass_g: float, rings: int = CUP_RINGS, layers: int = CUP_LAYERS
) -> Network:
    """A cup as the cylinder that it is: rings from the axis outwards, in layers from the bottom up.

    Parameters: kinetics; mass_g; rings and layers of the model.
    Returns: a Network in rows of `rings`.
    Source: finite volumes in two dimensions.

    >>> len(cup_cylinder(Kinetics(1e-4), 100, 4, 5).capacity)
    20
    """
    cup = CupSize.of(mass_g, kinetics.density_kg_m3)
    wide, high = cup.diameter_m / 2 / rings, cup.height_m / layers
    conductivity = kinetics.conductivity_w_per_m_k
    edges = np.linspace(0, cup.diameter_m / 2, rings + 1)
    ground = math.pi * np.diff(edges**2)
    volumes = np.tile(ground * high, layers)
    outward = np.append(conductivity * 2 * math.pi * edges[1:-1] * high / wide, 0)
    ambient = np.zeros((layers, rings))
    ambient[:, -1] += 2 * math.pi * edges[-1] * high * to_air(CUP_AIR_W_PER_M2_K, wide / 2 / conductivity)
    ambient[0] += ground * to_air(CUP_BASE_W_PER_M2_K, high / 2 / conductivity)
    ambient[-1] += ground * to_air(CUP_AIR_W_PER_M2_K, high / 2 / conductivity)
    return Network(
        capacity=kinetics.density_kg_m3 * kinetics.specific_heat_j_per_kg_k * volumes,
        source=kinetics.density_kg_m3 * kinetics.heat_j_per_kg * volumes,
        along=np.tile(outward, layers)[:-1],
        ambient=ambient.ravel(),
        stride=rings,
        across=np.tile(conductivity * ground / high, layers - 1),
    )


def start_of(network: Network, temp_k: float, conversion: float) -> tuple[Vector, Vector]:
    """A body at one temperature and conversion.

    Parameters: network; temp_k; conversion.
    Returns: temperatures of all nodes, conversions of those that cure.

    >>> temps, conversions = start_of(cup_sphere(Kinetics(1e-4), 100), 298.15, 1e-4)
    >>> len(temps), len(conversions)
    (16, 16)
    """
    return np.full(len(network.capacity), temp_k), np.full(len(network.source), conversion)
