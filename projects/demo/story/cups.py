"""Cups of the demo's shop that stood with a thermometer in them. Nobody read a real one."""

CUP = {"mass_g": 300.0, "temp_c": 21.0, "note": "Out in the yard, on the slab; probe hung from a stick."}
READINGS = (
    (0, 21.0), (20, 22.9), (40, 24.3), (60, 26.1), (80, 27.8), (100, 30.1), (120, 32.4), (140, 34.8),
    (160, 38.3), (175, 42.6), (190, 46.9), (200, 51.5), (210, 57.6), (220, 66.7), (230, 79.3), (238, 90.7),
    (245, 98.6), (252, 103.1), (258, 105.4), (264, 106.4), (269, 108.2), (273, 108.5), (277, 108.0),
    (281, 107.5), (286, 105.8), (292, 102.9), (298, 99.1), (305, 93.2), (312, 87.1),
)  # fmt: skip
"""Minutes and °C, computed: the cure model with the deep resin's own fit, a little faster and hotter, and up
to a quarter of a kelvin of noise on each reading."""
FASTER, HOTTER = 1.06, 1.03
"""Times the rate and the heat of the fit to its sheet."""

SPOILT = {"mass_g": 150.0, "temp_c": 19.0, "note": "The probe leaned on the wall of the cup."}
SPOILT_READINGS = (
    (0, 19.0), (30, 20.1), (60, 21.6), (90, 23.4), (120, 25.2), (150, 27.3), (180, 29.0), (210, 29.9),
    (240, 29.4), (270, 28.3),
)  # fmt: skip
"""Minutes and °C of a cup that was read badly and taken away the same day; made up."""
