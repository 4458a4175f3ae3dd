"""A body as nodes that hold heat, with links between them and to the air: slab, cup and lifts alike."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import lapack

from materials.science.resin.reaction import Vector


@dataclass(frozen=True, eq=False)
class Network:
    """Nodes in a row (or in rows of `stride` side by side), the inert ones first.

    Parameters: capacity in J/K a node; source, the heat in J that a whole cure sets free in each node that
    cures (the last ones); along, the links in W/K from each node to the next; ambient, the links to the air;
    stride and across, for a grid, the links from each node to the one `stride` further on (stride 0: none).
    Valid for: conduction with constant properties; three nodes or more.

    >>> row = Network(np.ones(3), np.zeros(2), np.ones(2), np.array([0.0, 0.0, 1.0]))
    >>> row.inert, row.flow(np.array([1.0, 2.0, 3.0]), 0.0).tolist()
    (1, [1.0, 0.0, -4.0])
    """

    capacity: Vector
    source: Vector
    along: Vector
    ambient: Vector
    stride: int = 0
    across: Vector | None = None

    @property
    def inert(self) -> int:
        """How many nodes do not cure."""
        return len(self.capacity) - len(self.source)

    def flow(self, temp_k: Vector, ambient_k: float) -> Vector:
        """The heat in W that flows into each node."""
        into = self.ambient * (ambient_k - temp_k)
        moved = self.along * (temp_k[1:] - temp_k[:-1])
        into[:-1] += moved
        into[1:] -= moved
        if self.across is not None:
            moved = self.across * (temp_k[self.stride :] - temp_k[: -self.stride])
            into[: -self.stride] += moved
            into[self.stride :] -= moved
        return into

    def diagonal(self) -> Vector:
        """What each node gives away per kelvin."""
        total = self.ambient.copy()
        total[:-1] += self.along
        total[1:] += self.along
        if self.across is not None:
            total[: -self.stride] += self.across
            total[self.stride :] += self.across
        return total


class Factors:
    """The linear system of one step, factored once and solved for each stage.

    Parameters: network; diagonal, its main diagonal in W/K.

    >>> row = Network(np.ones(3), np.zeros(3), np.zeros(2), np.array([1.0, 2.0, 4.0]))
    >>> Factors(row, row.diagonal()).solve(np.ones(3)).tolist()
    [1.0, 0.5, 0.25]
    """

    def __init__(self, network: Network, diagonal: Vector) -> None:
        self.band = network.stride if network.across is not None else 0
        if not self.band:
            beside = -network.along
            *self.parts, info = lapack.dgttrf(beside, diagonal, beside)
        else:
            *self.parts, info = lapack.dgbtrf(banded(network, diagonal), self.band, self.band)
        self.sound = info == 0

    def solve(self, right: Vector) -> Vector:
        """The temperatures' part of one stage."""
        if self.band:
            matrix, pivots = self.parts
            return np.asarray(lapack.dgbtrs(matrix, self.band, self.band, right, pivots)[0])
        return np.asarray(lapack.dgttrs(*self.parts, right)[0])


def banded(network: Network, diagonal: Vector) -> Vector:
    """The matrix of a grid in LAPACK's banded form, with room for its factors.

    Parameters: network, with links across; diagonal in W/K.
    Returns: array of 3 stride + 1 rows.
    Source: LAPACK users' guide, band storage.

    >>> grid = Network(np.ones(4), np.ones(4), np.array([1.0, 0, 1]), np.ones(4), 2, np.ones(2))
    >>> banded(grid, grid.diagonal()).shape
    (7, 4)
    """
    band = network.stride
    matrix = np.zeros((3 * band + 1, len(diagonal)))
    matrix[2 * band] = diagonal
    matrix[2 * band - 1, 1:] = matrix[2 * band + 1, :-1] = -network.along
    if network.across is not None:
        matrix[band, band:] += -network.across
        matrix[3 * band, :-band] += -network.across
    return matrix
