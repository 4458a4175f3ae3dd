"""A bench whose pour has all that a check asks for, so that a test changes one thing."""

from datetime import timedelta

from materials.models import Reading
from projects.check import asked
from tests.factories import AT, Bench, SpeciesFactory
from workshop.models import Machine

MOULD = ["taped", "sealed", "sealant dry", "leak-tested", "levelled", "tray under it"]


class CheckedBench(Bench):
    """40 mm of 1 mm strips and 1 mm gaps, all looked at; a slow resin unless the test says otherwise."""

    def __init__(self, **resin):
        given = {"pot_minutes": 480, "max_depth_mm": 25, "min_c": 15, "max_c": 28, "recoat_c": 25}
        super().__init__(**{**given, **resin})
        wood = SpeciesFactory(shop=self.shop, specific_gravity=0.55, modulus_gpa=11.6)
        sizes = {"strip_mm": 1, "gap_mm": 1, "finished_mm": 37, "flatten_mm": 1, "over_mm": 1}
        for name, value in {**sizes, "species": wood, "strips": 20, "length_mm": 300}.items():
            setattr(self.block, name, value)
        self.block.save()
        self.step.block = self.block
        for lot in (self.lot_a, self.lot_b):
            lot.use_by = (AT + timedelta(days=300)).date()
            lot.save()
        Machine.objects.create(
            shop=self.shop, created_at=AT, kind=Machine.Kind.SCALE, name="scale", scale_step_g=0.1
        )
        Reading.objects.create(
            shop=self.shop,
            created_at=AT,
            kind="moisture",
            value=7.2,
            unit="%",
            taken_at=AT,
            member=self.member,
        )

    def answers(self, **changed):
        """Answers that leave nothing open, but for what the test changes."""
        first = asked.first_answers(self.step, at=AT)
        return {
            **first,
            "shop_c": 25.0,
            "humidity_percent": 45.0,
            "night_c": 18.0,
            "cups": 2,
            "comb_spacing_mm": 60.0,
            "combs_at_ends": "yes",
            "hold_down_g": 2000.0,
            "mould_checks": MOULD,
            **changed,
        }
