"""What stands on the demo's shelf: resins, supplies, tins and bundles. Makers and products are invented."""

RESINS = {
    "deep": {
        "name": "Meer 48", "maker": "Oddlund", "use": "casting", "parts_a": 100.0, "parts_b": 42.0,
        "density_a_g_ml": 1.11, "density_b_g_ml": 0.97, "viscosity_pa_s": 0.32,
        "pot_minutes": 210.0, "pot_mass_g": 500.0, "pot_c": 22.0, "max_depth_mm": 40.0, "depth_c": 22.0,
        "recoat_open_h": 12.0, "recoat_close_h": 36.0, "demould_h": 60.0, "full_cure_h": 240.0,
        "recoat_c": 22.0, "min_c": 16.0, "max_c": 28.0, "max_humidity_percent": 75.0,
        "pack_g": 7100.0, "lead_days": 6, "shelf_months_closed": 12, "shelf_months_open": 6,
        "refractive_index": 1.54,
    },
    "medium": {
        "name": "Heron 20", "maker": "Oddlund", "use": "casting", "parts_a": 100.0, "parts_b": 45.0,
        "density_a_g_ml": 1.12, "density_b_g_ml": 0.98, "viscosity_pa_s": 0.55,
        "pot_minutes": 95.0, "pot_mass_g": 200.0, "pot_c": 22.0, "max_depth_mm": 22.0, "depth_c": 22.0,
        "recoat_open_h": 5.0, "recoat_close_h": 24.0, "demould_h": 36.0, "full_cure_h": 168.0,
        "recoat_c": 22.0, "min_c": 15.0, "max_c": 30.0, "max_humidity_percent": 75.0,
        "pack_g": 4350.0, "lead_days": 6, "shelf_months_closed": 12, "shelf_months_open": 6,
    },
    "coat": {
        "name": "Skim 2", "maker": "Fenwick & Daughter", "use": "coating", "parts_a": 2.0, "parts_b": 1.0,
        "basis": "volume", "density_a_g_ml": 1.14, "density_b_g_ml": 1.0, "viscosity_pa_s": 0.9,
        "pot_minutes": 28.0, "pot_mass_g": 100.0, "pot_c": 22.0, "max_depth_mm": 4.0, "depth_c": 22.0,
        "recoat_open_h": 3.0, "recoat_close_h": 20.0, "demould_h": 18.0, "full_cure_h": 120.0,
        "recoat_c": 22.0, "min_c": 15.0, "max_c": 30.0, "max_humidity_percent": 70.0,
        "pack_g": 1500.0, "lead_days": 3, "shelf_months_closed": 18, "shelf_months_open": 9,
    },
    "glue": {
        "name": "Thole 40", "maker": "Fenwick & Daughter", "use": "coating", "parts_a": 100.0,
        "parts_b": 50.0,
        "density_a_g_ml": 1.15, "density_b_g_ml": 1.02, "viscosity_pa_s": 2.4,
        "pot_minutes": 45.0, "pot_mass_g": 100.0, "pot_c": 22.0, "max_depth_mm": 6.0, "depth_c": 22.0,
        "demould_h": 20.0, "full_cure_h": 168.0, "recoat_c": 22.0, "min_c": 12.0,
        "pack_g": 1500.0, "lead_days": 3, "shelf_months_closed": 24, "shelf_months_open": 12,
    },
    "old": {
        "name": "Brackwater", "maker": "Sallow Bros., gone out of business", "use": "casting",
        "parts_a": 100.0, "parts_b": 38.0, "density_a_g_ml": 1.13, "density_b_g_ml": 0.96,
        "pot_minutes": 120.0, "pot_mass_g": 150.0, "pot_c": 25.0, "max_depth_mm": 15.0,
        "recoat_open_h": 8.0, "recoat_close_h": 24.0, "demould_h": 48.0, "recoat_c": 25.0, "min_c": 18.0,
    },
}  # fmt: skip
"""Data sheets of resins nobody sells, by the word the story uses."""
PACKS = {"deep": (5000, 2100), "medium": (3000, 1350), "coat": (1045, 458), "glue": (1000, 500)}
"""How many grams of A and of B come in one box."""
PRICES = {"deep": (94, 61), "medium": (58, 39), "coat": (36, 22), "glue": (31, 24)}
MARKS = {"deep": "M", "medium": "H", "coat": "S", "glue": "T", "old": "BW"}
"""What the codes of their bottles begin with."""

SUPPLIES = {
    "tape": {"kind": "consumable", "name": "Release tape, 50 mm", "maker": "Fenwick & Daughter",
             "lead_days": 4, "note": "The white one lets go of Meer; the clear one does not."},
    "wax": {"kind": "consumable", "name": "Release wax", "maker": "Karrow", "lead_days": 4},
    "sealant": {"kind": "consumable", "name": "Acid-free sealant", "maker": "Karrow", "lead_days": 2},
    "gloves": {"kind": "consumable", "name": "Nitrile gloves, long", "lead_days": 2,
               "note": "Thin ones tear on the combs."},
    "filters": {"kind": "consumable", "name": "Filters for the masks", "lead_days": 7},
    "cups": {"kind": "consumable", "name": "Mixing cups, 1 litre", "unit": "pieces", "pack": 50.0,
             "lead_days": 3},
    "oil": {"kind": "finish", "name": "Hardwax oil, matt", "maker": "Karrow", "unit": "ml",
            "coverage_m2_l": 24.0, "recoat_h": 20.0, "recoat_close_h": 72.0, "recoat_c": 20.0,
            "penetrating": True, "pack": 750.0, "lead_days": 5},
    "film": {"kind": "finish", "name": "Clear film, satin", "maker": "Karrow", "unit": "ml",
             "coverage_m2_l": 12.3, "recoat_h": 3.0, "recoat_close_h": 24.0, "recoat_c": 20.0,
             "pack": 1000.0, "lead_days": 5},
    "P80": {"kind": "abrasive", "name": "Discs 150 mm", "grade": "80"},
    "P120": {"kind": "abrasive", "name": "Discs 150 mm", "grade": "120"},
    "P180": {"kind": "abrasive", "name": "Discs 150 mm", "grade": "180"},
    "P240": {"kind": "abrasive", "name": "Discs 150 mm", "grade": "240"},
    "P400": {"kind": "abrasive", "name": "Discs 150 mm", "grade": "400"},
    "P800": {"kind": "abrasive", "name": "Wet sheets", "grade": "800"},
    "P1500": {"kind": "abrasive", "name": "Wet sheets", "grade": "1500"},
    "CAMI 400": {"kind": "abrasive", "name": "Sheets from the flea market", "grade": "400",
                 "grade_system": "CAMI", "note": "Not P400: these cut like P800."},
}  # fmt: skip
DISCS = {"unit": "pieces", "grade_system": "P", "maker": "Karrow", "pack": 50.0, "lead_days": 4}
"""What all discs have in common."""

WOODS = {
    "walnut": "black walnut", "maple": "sugar maple", "ash": "white ash", "cherry": "black cherry",
    "sycamore": "American sycamore", "birch": "yellow birch", "alder": "red alder",
}  # fmt: skip
SOURCES = {
    "walnut": "Ferry Sawmill", "maple": "Ferry Sawmill", "ash": "cut at the vicarage",
    "cherry": "Ferry Sawmill",
    "sycamore": "Ekdal veneers", "birch": "Ekdal veneers", "alder": "from the river bank, two years dry",
}  # fmt: skip
"""Where each wood comes from."""
PLACES = {
    "resin": "steel cupboard, middle", "wood": "rack above the stove", "finish": "steel cupboard, bottom",
    "consumable": "drawer under the bench", "abrasive": "the shallow drawers", "sawn": "rack by the door",
    "leftover": "window sill",
}  # fmt: skip
