"""Rows for tests: each fills in what the test is not about."""

import itertools
import uuid
from datetime import UTC, datetime, timedelta

import factory
from factory.django import DjangoModelFactory

from materials import models as materials
from projects import models as projects
from workshop import models as workshop
from workshop.acting import Moment

AT = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
PASSWORD = "bog-oak-and-amber"


class UserFactory(DjangoModelFactory):
    class Meta:
        model = workshop.User
        skip_postgeneration_save = True

    email = factory.Sequence(lambda n: f"maker{n}@example.org")
    name = "Ines"

    @factory.post_generation
    def password(self, create, extracted, **kwargs):
        self.set_password(extracted or PASSWORD)
        self.save()


class ShopFactory(DjangoModelFactory):
    class Meta:
        model = workshop.Shop

    name = factory.Sequence(lambda n: f"Tallow Yard {n}")
    zone = "Europe/Berlin"
    created_at = AT


class RowFactory(DjangoModelFactory):
    class Meta:
        abstract = True

    shop = factory.SubFactory(ShopFactory)
    created_at = AT


class MemberFactory(RowFactory):
    class Meta:
        model = workshop.Member

    user = factory.SubFactory(UserFactory)
    role = "owner"
    name = "Ines"


class ResinFactory(RowFactory):
    class Meta:
        model = materials.Resin

    name = factory.Sequence(lambda n: f"Tarn {n}")
    parts_a, parts_b = 100, 45
    density_a_g_ml, density_b_g_ml = 1.12, 0.98
    pot_minutes, pot_mass_g, pot_c = 90, 100, 25
    max_depth_mm = 25
    recoat_open_h, recoat_close_h, demould_h, recoat_c = 4, 14, 24, 25


def holding(usually):
    """What came in of a lot, in its unit: as a test says, or what is usual."""

    def came_in(lot, create, extracted, **kwargs):
        amount = usually if extracted is None else extracted
        if amount:
            MovementFactory(shop=lot.shop, lot=lot, thousandths=round(amount * 1000))

    return factory.post_generation(came_in)


class LotFactory(RowFactory):
    """A bottle with something in it: `grams` came in."""

    class Meta:
        model = materials.Lot
        skip_postgeneration_save = True

    kind, part, unit = "resin", "A", "g"
    resin = factory.SubFactory(ResinFactory, shop=factory.SelfAttribute("..shop"))
    code = factory.Sequence(lambda n: f"T-{n}")
    received_on = AT.date()

    grams = holding(5000)


class MovementFactory(RowFactory):
    class Meta:
        model = materials.Movement

    kind = "receive"
    happened_at = AT


class SpeciesFactory(RowFactory):
    class Meta:
        model = materials.Species

    name = factory.Sequence(lambda n: f"walnut {n}")


class SupplyFactory(RowFactory):
    """Something that the shop buys again; not counted, unless a unit is named."""

    class Meta:
        model = materials.Supply

    kind, unit = "consumable", "level"
    name = factory.Sequence(lambda n: f"release tape {n}")


class SupplyLotFactory(LotFactory):
    """Some of a supply on the shelf: enough of it, or `grams` in its unit."""

    resin, part = None, ""
    supply = factory.SubFactory(SupplyFactory, shop=factory.SelfAttribute("..shop"))
    kind, unit = factory.SelfAttribute("supply.kind"), factory.SelfAttribute("supply.unit")
    level = factory.LazyAttribute(lambda lot: "enough" if lot.unit == "level" else "")
    code = factory.Sequence(lambda n: f"K-{n}")
    grams = holding(0)


class WoodLotFactory(LotFactory):
    """A bundle of strips: `grams` of them."""

    resin, part, kind, unit = None, "", "wood", "strips"
    species = factory.SubFactory(SpeciesFactory, shop=factory.SelfAttribute("..shop"))
    code = factory.Sequence(lambda n: f"W-{n}")
    thickness_mm, width_mm, length_mm = 2.0, 30.0, 600.0
    grams = holding(60)


class ProjectFactory(RowFactory):
    class Meta:
        model = projects.Project

    code = factory.Sequence(lambda n: f"{n:03d}")
    title = "Stair window"


class BlockFactory(RowFactory):
    class Meta:
        model = projects.Block

    project = factory.SubFactory(ProjectFactory, shop=factory.SelfAttribute("..shop"))
    resin = factory.SubFactory(ResinFactory, shop=factory.SelfAttribute("..shop"))


class StepFactory(RowFactory):
    class Meta:
        model = projects.Step

    block = factory.SubFactory(BlockFactory, shop=factory.SelfAttribute("..shop"))
    project = factory.SelfAttribute("block.project")
    kind, title = "pour", "Pour Block A"


class NeedFactory(RowFactory):
    """A line that was written on a project's shelf list; with a resin or a wood named, of that."""

    class Meta:
        model = projects.Need

    project = factory.SubFactory(ProjectFactory)
    shop = factory.SelfAttribute("project.shop")
    resin = species = None
    supply = factory.LazyAttribute(
        lambda need: None if need.resin or need.species else SupplyFactory(shop=need.shop)
    )
    unit = factory.LazyAttribute(lambda need: need.supply.unit if need.supply else "g")
    thousandths = 1000


class CheckItemFactory(RowFactory):
    class Meta:
        model = projects.CheckItem

    step = factory.SubFactory(StepFactory)
    shop = factory.SelfAttribute("step.shop")
    text = "Mould level both ways, tray under it"


# the worked panel of nested squares: 280 pieces, none cut by the frame, 20 bars from 4 blocks
SQUARES = {
    "pattern": "squares", "sizes": {"side_mm": 60.0}, "width_mm": 600.0, "height_mm": 420.0,
    "origin": [30.0, 30.0], "saw": None, "lines": "alike", "turn_deg": 0.0, "glue_mm": 0.0,
    "overhang_mm": 0.0, "overrides": {}, "hash": "",
}  # fmt: skip


def design(member, project, **changed):
    """A kept panel: nested squares, but for what is changed."""
    from projects.actions.panel import keep_panel

    return keep_panel(member, project, {**SQUARES, **changed}, [], at=AT)


class LessonFactory(RowFactory):
    class Meta:
        model = projects.Lesson

    sentence, step_kind = "Room above 18 °C for a night and a day", "pour"


keys = itertools.count(1)


def key():
    """A fresh key of an act, the same in every run."""
    return uuid.UUID(int=next(keys) << 64 | 0x4000_8000_0000_0000_0000 >> 4)


def moment(minutes=0):
    """A moment so many minutes after the tests' morning."""
    return Moment.now(AT + timedelta(minutes=minutes))


class Bench:
    """A shop with a pour at the bench: an owner, a resin, a bottle of each part, a project and its block."""

    def __init__(self, **resin):
        self.member = MemberFactory()
        self.shop = self.member.shop
        self.resin = ResinFactory(shop=self.shop, **resin)
        self.lot_a = LotFactory(shop=self.shop, resin=self.resin, part="A")
        self.lot_b = LotFactory(shop=self.shop, resin=self.resin, part="B")
        self.block = BlockFactory(shop=self.shop, resin=self.resin)
        self.project = self.block.project
        self.step = StepFactory(shop=self.shop, block=self.block)

    def cup(self, a_g=314.5, room_c=20.0, **more):
        """What the form of a cup hands on."""
        return {
            "a_g": a_g,
            "room_c": room_c,
            "humidity_percent": None,
            "lot_a": self.lot_a,
            "lot_b": self.lot_b,
            "wanted_a_g": 313.5,
            **more,
        }

    def meet(self, minutes=0, a_g=314.5, room_c=20.0, act=None, **more):
        """The parts of a cup meet so many minutes after the tests' morning."""
        from projects.actions import bench

        return bench.parts_meet(
            self.member,
            self.step,
            key=act or key(),
            moment=moment(minutes),
            resin=self.resin,
            cup=self.cup(a_g, room_c, **more),
        )

    def weigh_b(self, batch, grams=142.0, minutes=2):
        """B as the scale shows it."""
        from projects.actions import bench

        return bench.weigh(self.member, self.step, batch, "B", grams, key=key(), moment=moment(minutes))

    def pour(self, minutes=10, depth_mm=13.0):
        """All open cups into the mould."""
        from projects.actions import bench

        return bench.pour(
            self.member, self.step, key=key(), moment=moment(minutes), depth_mm=depth_mm, text=""
        )


class MachineFactory(RowFactory):
    class Meta:
        model = workshop.Machine

    kind, name = "saw", "the table saw"


class JobFactory(RowFactory):
    """A job of a kind that only tests know; see `tests/workshop/works.py`."""

    class Meta:
        model = workshop.Job

    member = factory.SubFactory(MemberFactory)
    shop = factory.SelfAttribute("member.shop")
    created_by = factory.SelfAttribute("member.user")
    kind, title = "count", "Counting strips"
    total = 4
    moved_at = AT


class CupTestFactory(RowFactory):
    """A cup that was read and not fitted yet."""

    class Meta:
        model = materials.CupTest

    resin = factory.SubFactory(ResinFactory)
    shop = factory.SelfAttribute("resin.shop")
    mass_g, temp_c, taken_at = 100, 25, AT
    points = factory.LazyFunction(
        lambda: [[0, 25.0], [20, 27.5], [40, 34.0], [55, 52.0], [62, 88.0], [66, 97.0], [90, 61.0]]
    )

    @factory.lazy_attribute
    def created_by(self):
        return MemberFactory(shop=self.shop).user


class FinishFactory(SupplyFactory):
    """A finish as its tin says."""

    kind = "finish"
    name = factory.Sequence(lambda n: f"Hard oil {n}")


class TinFactory(RowFactory):
    """A tin of finish with something in it: `millilitres` came in."""

    class Meta:
        model = materials.Lot
        skip_postgeneration_save = True

    kind, unit = "finish", "ml"
    supply = factory.SubFactory(FinishFactory, shop=factory.SelfAttribute("..shop"))
    code = factory.Sequence(lambda n: f"F-{n}")
    received_on = AT.date()

    @factory.post_generation
    def millilitres(self, create, extracted, **kwargs):
        MovementFactory(shop=self.shop, lot=self, thousandths=round((extracted or 1000) * 1000))


class BundleFactory(RowFactory):
    """A bundle of strips: `strips` came in."""

    class Meta:
        model = materials.Lot
        skip_postgeneration_save = True

    kind, unit = "wood", "strips"
    species = factory.SubFactory(SpeciesFactory, shop=factory.SelfAttribute("..shop"))
    code = factory.Sequence(lambda n: f"W-{n}")
    received_on = AT.date()

    @factory.post_generation
    def strips(self, create, extracted, **kwargs):
        MovementFactory(shop=self.shop, lot=self, thousandths=round((extracted or 60) * 1000))
