"""Strips and gaps as one stuff, against strips and gaps as they stand: half a strip beside half a gap."""

import numpy as np
import pytest

from materials.science.resin.exotherm import Layup
from materials.science.resin.layup import (
    BOARDS,
    STRIP_CONDUCTIVITY_W_PER_M_K,
    STRIP_SPECIFIC_HEAT_J_PER_KG_K,
)
from materials.science.resin.network import Network
from materials.science.resin.reaction import Reaction
from materials.science.resin.solver import March, Tolerance
from tests.materials.science.resin.resins import pour, resin

HALF, BOARD_ROWS = 4, 8


def unit_cell(kinetics, layup):
    """Rows of cells across half a strip and half a gap, board rows below; what cures not has no heat."""
    columns, rows = 2 * HALF, BOARD_ROWS + layup.cells
    wide = np.repeat([layup.strip_mm / 2000 / HALF, layup.gap_mm / 2000 / HALF], HALF)
    board = BOARDS[layup.mould]
    high = np.repeat(
        [layup.mould_mm / 1000 / BOARD_ROWS, layup.depth_mm / 1000 / layup.cells], [BOARD_ROWS, layup.cells]
    )
    conducts = np.empty((rows, columns))
    conducts[:, :HALF], conducts[:, HALF:] = STRIP_CONDUCTIVITY_W_PER_M_K, kinetics.conductivity_w_per_m_k
    holds = np.empty((rows, columns))
    holds[:, :HALF] = layup.wood_density_kg_m3 * STRIP_SPECIFIC_HEAT_J_PER_KG_K
    holds[:, HALF:] = kinetics.density_kg_m3 * kinetics.specific_heat_j_per_kg_k
    conducts[:BOARD_ROWS], holds[:BOARD_ROWS] = (
        board.conductivity_w_per_m_k,
        board.density_kg_m3 * board.specific_heat_j_per_kg_k,
    )
    makes = np.zeros((rows, columns))
    makes[BOARD_ROWS:, HALF:] = kinetics.density_kg_m3 * kinetics.heat_j_per_kg
    area = np.outer(high, wide)
    beside = wide / 2 / conducts / high[:, None]
    above = high[:, None] / 2 / conducts / wide
    along = np.zeros((rows, columns))
    along[:, :-1] = 1 / (beside[:, :-1] + beside[:, 1:])
    ambient = np.zeros((rows, columns))
    ambient[0] = 1 / (1 / (kinetics.h_under_w_per_m2_k * wide) + above[0])
    ambient[-1] = 1 / (1 / (kinetics.h_top_w_per_m2_k * wide) + above[-1])
    return Network(
        capacity=(holds * area).ravel(),
        source=(makes * area).ravel(),
        along=along.ravel()[:-1],
        ambient=ambient.ravel(),
        stride=columns,
        across=(1 / (above[:-1] + above[1:])).ravel(),
    )


@pytest.mark.parametrize(
    ("minutes", "strip_mm", "gap_mm", "printed_c", "spread_k"),
    [(40, 1, 1, 112.73, 0.3), (40, 0.6, 1.5, 152.41, 1.1), (40, 3, 3, 113.05, 2.8), (10, 3, 3, 130.6, 14)],
)
def test_strips_and_gaps_share_one_temperature_as_in_the_reference_run(
    minutes, strip_mm, gap_mm, printed_c, spread_k
):
    kinetics, layup = resin(minutes), Layup(40, strip_mm, gap_mm)
    network = unit_cell(kinetics, layup)
    count = len(network.capacity)
    march = March(
        Reaction(kinetics),
        network,
        np.full(count, 298.15),
        np.full(count, 1e-4),
        298.15,
        Tolerance.scaled(1e-4),
    )
    temps = march.until(6 * 3600.0).all_temps_k.reshape(-1, BOARD_ROWS + layup.cells, 2 * HALF)[
        :, BOARD_ROWS:
    ]
    assert temps.max() - 273.15 == pytest.approx(printed_c, abs=0.3)
    assert temps.max() - 273.15 == pytest.approx(pour(minutes, 40, strip_mm, gap_mm).peak_c, abs=0.6)
    spread = (temps.max(axis=2) - temps.min(axis=2)).max()
    # the reference run's cells across are not stated: met within a fifth
    assert spread == pytest.approx(spread_k, rel=0.2, abs=0.06)
