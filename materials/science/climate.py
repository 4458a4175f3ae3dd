"""The usual temperatures of a shop by day and by night, set right by readings."""

from dataclasses import dataclass
from datetime import datetime, time

from materials.science.errors import checked

COLDEST_C, WARMEST_C = -10, 60


@dataclass(frozen=True)
class Climate:
    """How warm a shop is: one figure by day, one by night, and what a thermometer said.

    Parameters: day_c and night_c in °C; day_from and day_to, the wall times between which it is day;
    zone, the IANA name of the shop's time zone; readings, pairs of an aware moment and a temperature in
    °C, measured or forecast. A reading holds from its moment until the next reading or until day turns to
    night or night to day, whichever comes first.
    Raises: OutOfRange beyond -10 to 60 °C; ValueError for a reading without a zone.
    Valid for: two steps a day; a heater that runs otherwise is told by readings.
    Source: a judgement, no source.

    >>> shop = Climate(19, 15, time(7), time(19), "Europe/Berlin")
    >>> shop.day_c, shop.night_c, shop.readings
    (19, 15, ())
    """

    day_c: float
    night_c: float
    day_from: time = time(7)
    day_to: time = time(19)
    zone: str = "UTC"
    readings: tuple[tuple[datetime, float], ...] = ()

    def __post_init__(self) -> None:
        checked("day_c", self.day_c, COLDEST_C, WARMEST_C, "°C")
        checked("night_c", self.night_c, COLDEST_C, WARMEST_C, "°C")
        ordered = tuple(sorted((moment, temp_c) for moment, temp_c in self.readings))
        for moment, temp_c in ordered:
            checked("temp_c", temp_c, COLDEST_C, WARMEST_C, "°C")
            if moment.tzinfo is None:
                raise ValueError("a reading needs a moment with its time zone")
        object.__setattr__(self, "readings", ordered)
