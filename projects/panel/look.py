"""How the panel is looked at: lamp, what is drawn over it, where the eye is. Nothing of it is kept."""

from dataclasses import dataclass

SIDEWAYS_MM, STEP_MM = 2000, 50
NEAREST_MM, FARTHEST_MM = 300, 6000
MOST_LEAN_DEG, LEAN_STEP_DEG = 5, 0.5
LIGHTS = (("warm", "warm"), ("white", "white"))


@dataclass(frozen=True)
class Look:
    """A way of looking: the eye's place is from the panel's middle and its face; strips lean as one asks."""

    lamp: str = "on"
    light: str = "warm"
    numbers: bool = False
    arrows: bool = False
    seams: bool = False
    eye_x_mm: int = 0
    eye_z_mm: int = 1900
    lean_deg: float = 0.0

    @classmethod
    def of(cls, data):
        """From an address; what makes no sense is as usual, since only the view of it depends on it."""
        if "lamp" not in data:
            return cls()
        return cls(
            lamp="off" if data.get("lamp") == "off" else "on",
            light="white" if data.get("light") == "white" else "warm",
            numbers=bool(data.get("numbers")),
            arrows=bool(data.get("arrows")),
            seams=bool(data.get("seams")),
            eye_x_mm=whole(data.get("eye_x"), -SIDEWAYS_MM, SIDEWAYS_MM, cls.eye_x_mm),
            eye_z_mm=whole(data.get("eye_z"), NEAREST_MM, FARTHEST_MM, cls.eye_z_mm),
            lean_deg=lean(data.get("lean")),
        )


def lean(text):
    """A lean in steps of the rail."""
    steps = int(MOST_LEAN_DEG / LEAN_STEP_DEG)
    try:
        return whole(round(float(text) / LEAN_STEP_DEG), -steps, steps, 0) * LEAN_STEP_DEG
    except (TypeError, ValueError, OverflowError):
        return 0.0


def whole(text, least, most, usual):
    """A whole number within limits."""
    try:
        return min(most, max(least, int(float(text))))
    except (TypeError, ValueError, OverflowError):
        return usual
