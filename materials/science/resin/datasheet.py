"""What a resin's sheet says about its heat and time."""

from dataclasses import dataclass

from materials.science.errors import checked
from materials.science.resin.cups import checked_criterion, checked_cup
from materials.science.resin.kinetics import Criterion


class NotReproducible(ValueError):  # noqa: N818  (it is the name of a fact, not of an exception class)
    """No rate constant gives the sheet's pot life.

    Parameters: pot_life; residual_percent, how far the nearest is off.

    >>> str(NotReproducible(PotLife(300, 100, 25, "temperature"), 12.0))
    'no rate gives a pot life of 300 min for 100 g at 25 °C (by temperature): the nearest is 12 % off'
    """

    def __init__(self, pot_life: "PotLife", residual_percent: float) -> None:
        super().__init__(pot_life, residual_percent)
        self.pot_life, self.residual_percent = pot_life, residual_percent

    def __str__(self) -> str:
        own = self.pot_life
        cup = f"{own.minutes:.4g} min for {own.mass_g:.4g} g at {own.temp_c:.4g} °C (by {own.criterion})"
        return f"no rate gives a pot life of {cup}: the nearest is {self.residual_percent:.3g} % off"


@dataclass(frozen=True)
class PotLife:
    """A pot life as the sheet prints it.

    Parameters: minutes; mass_g, of the cup; temp_c; criterion, what the sheet means by it: "viscosity" (twice
    as thick; also where it says nothing), "gel" (a gel time), "temperature" (25 K warmer).
    Raises: OutOfRange, UnknownName.

    >>> PotLife(40, 100, 25).criterion
    'viscosity'
    """

    minutes: float
    mass_g: float
    temp_c: float
    criterion: Criterion = "viscosity"

    def __post_init__(self) -> None:
        checked("minutes", self.minutes, 1, 6000, "min")
        checked_cup(self.mass_g, self.temp_c)
        checked_criterion(self.criterion)


@dataclass(frozen=True)
class Datasheet:
    """What a resin's sheet says about its heat and time.

    Parameters: pot_life; second_pot_life, at another temperature; max_depth_mm, the deepest pour of neat
    resin, at depth_temp_c; cup_peak_c, how hot the pot life's cup gets; viscosity_pa_s, mixed, at 25 °C.
    Raises: OutOfRange.

    >>> Datasheet(PotLife(40, 100, 25), max_depth_mm=10).depth_temp_c
    25
    """

    pot_life: PotLife
    second_pot_life: PotLife | None = None
    max_depth_mm: float | None = None
    depth_temp_c: float = 25
    cup_peak_c: float | None = None
    viscosity_pa_s: float = 0.5

    def __post_init__(self) -> None:
        if self.max_depth_mm is not None:
            checked("max_depth_mm", self.max_depth_mm, 0.2, 400, "mm")
        if self.cup_peak_c is not None:
            checked("cup_peak_c", self.cup_peak_c, self.pot_life.temp_c, 350, "°C")
        checked("depth_temp_c", self.depth_temp_c, 5, 40, "°C")
        checked("viscosity_pa_s", self.viscosity_pa_s, 0.01, 100, "Pa s")
