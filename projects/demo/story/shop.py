"""The demo's shop: who works there, with what, and when. All of it is invented."""

from dataclasses import dataclass
from datetime import time

NAME = "Hollin Quay Panels"
PLACE = "hollinquay.example"


@dataclass(frozen=True)
class Person:
    """Somebody of the shop, and since how many weeks."""

    word: str
    name: str
    role: str
    weeks: int

    @property
    def email(self):
        """The address they sign in with; no mail ever reaches it."""
        return f"{self.word}@{PLACE}"


PEOPLE = (
    Person("tove", "Tove Halloran", "owner", 105),
    Person("anselm", "Anselm Quist", "maker", 103),
    Person("pia", "Pia Rodewald", "viewer", 61),
)

SETTINGS = {
    "day_c": 20.5, "night_c": 16.5, "day_from": time(7, 30), "day_to": time(18),
    "day_humidity_percent": 48.0, "night_humidity_percent": 54.0,
}  # fmt: skip

MORNING, AFTERNOON = (time(8), time(12, 30)), (time(13, 15), time(17, 30))
WEEK = {
    **{day: [MORNING, AFTERNOON] for day in range(4)},
    4: [MORNING, (time(13, 15), time(16))],
    5: [(time(9), time(13))],
    6: [],
}
LATE = [(time(8), time(20, 30))]
DAYS = {
    **{(weeks, day): ("", []) for weeks in (76, 24) for day in range(6)},
    (76, 0): ("a week off, the swallows do the watching", []),
    (24, 0): ("a week off, the swallows do the watching", []),
    (98, 4): ("the boiler man", []),
    (62, 2): ("stocktaking", []),
    (47, 3): ("long evening, school class comes to look", LATE),
    (33, 1): ("funeral in the village", []),
    (9, 5): ("market on the quay", []),
    (-1, 4): ("new extraction is fitted", []),
    (-3, 3): ("long evening", LATE),
}
"""Days that differ, by weeks before this one and weekday: what for, and the hours."""

AWAY = (
    ("anselm", 40, 38, "walks along the coast"),
    ("anselm", -3, -4, "at his sister's"),
)
"""Who is away from the Monday of one week to the Friday of another, in weeks before this one; what for."""

MACHINES = {
    "saw": ("saw", {"name": "Table saw by the door", "kerf_mm": 2.2, "gauge_max_deg": 50.0,
                    "angle_error_deg": 0.1, "length_error_mm": 0.15, "max_length_mm": 900.0}),
    "planer": ("planer", {"name": "The loud planer", "bed_mm": 305.0, "max_length_mm": 2400.0}),
    "sander": ("sander", {"name": "Drum sander", "bed_mm": 410.0, "length_error_mm": 0.1}),
    "fine scale": ("scale", {"name": "Kitchen scale", "scale_step_g": 0.1}),
    "scale": ("scale", {"name": "Parcel scale", "scale_step_g": 1.0}),
    "long mould": ("mould", {"name": "Long mould", "max_length_mm": 720.0,
                            "bed_mm": 320.0, "depth_mm": 45.0}),
    "small mould": ("mould", {"name": "Small mould", "amount": 2, "max_length_mm": 420.0,
                             "bed_mm": 260.0, "depth_mm": 40.0}),
    "clamps": ("clamps", {"name": "Bar clamps", "amount": 10, "max_length_mm": 900.0}),
    "printer": ("printer", {"name": "Printer for combs", "bed_mm": 220.0, "max_length_mm": 220.0}),
}  # fmt: skip
"""Kind and figures of each machine, by the word the story uses."""
RETIRED = ("The first saw, a loan", {"kerf_mm": 3.0, "angle_error_deg": 0.4}, 88)
"""A saw that was given back, so many weeks ago."""
