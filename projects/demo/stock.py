"""What the demo's shop buys and takes from its shelf while it works."""

from datetime import timedelta

from materials import actions as shelf
from materials.models import Lot, Movement
from projects.demo.story import shelf as story
from projects.demo.world import chance


class Stock:
    """The shelf: bottles are bought when those that stand there would run dry."""

    def __init__(self, world):
        self.world, self.dice = world, chance(world.seed, "stock")
        self.boxes, self.bundles, self.tins = {}, {}, {}
        self.numbers = {}

    def code(self, mark):
        """The next code of a kind of lot: M-07."""
        self.numbers[mark] = self.numbers.get(mark, 0) + 1
        return f"{mark}-{self.numbers[mark]:02d}"

    def day(self, at):
        """The date on the shop's calendar."""
        return self.world.diary.local(at).date()

    def receive(self, values, amount, *, at, who="tove"):
        """Something comes in."""
        values = {"received_on": self.day(at), "place": story.PLACES[values["kind"]], **values}
        return shelf.receive(self.world.people[who], values, amount, at=at)

    def box(self, resin, *, at, share=1.0, **more):
        """A box of a resin comes in: one bottle of A and one of B, with one number."""
        product, number = self.world.resins[resin], self.code(story.MARKS[resin])
        months = product.shelf_months_closed or 12
        use_by = self.day(at) + timedelta(days=round(30.4 * months))
        pair = []
        for part, grams, cost in zip("AB", story.PACKS[resin], story.PRICES[resin], strict=True):
            values = {
                "kind": "resin", "resin": product, "part": part, "unit": "g", "code": f"{number}-{part}",
                "maker": product.maker, "use_by": use_by, "cost": cost, **more,
            }  # fmt: skip
            pair.append(self.receive(values, grams * share, at=at))
        self.boxes.setdefault(resin, []).append(pair)
        return pair

    def pair(self, resin, a_g, b_g, *, at):
        """The bottles for a cup: the oldest box that still holds enough, else a new one."""
        for pair in self.boxes.get(resin, []):
            bottle_a, bottle_b = pair
            fresh = all(bottle.use_by is None or bottle.use_by > self.day(at) for bottle in pair)
            if fresh and bottle_a.on_hand >= a_g * 1.15 and bottle_b.on_hand >= b_g * 1.15:
                return pair
        return self.box(resin, at=at - timedelta(minutes=25))

    def used_up(self, resin, *, at):
        """Empty bottles leave the shelf; what clung to them is poured away."""
        product = self.world.resins[resin]
        bottles = [bottle for pair in self.boxes.get(resin, []) for bottle in pair]
        for bottle in bottles:
            rest = bottle.on_hand
            if rest < 0.06 * story.PACKS[resin]["AB".index(bottle.part)] and self.still_there(bottle):
                self.throw_away(bottle, rest, f"the rest of {product.name}, clung to the bottle", at=at)

    def throw_away(self, lot, rest, why, *, at, who="anselm"):
        """What is left of a lot is wasted, and it leaves the shelf."""
        member = self.world.people[who]
        if rest > 0:
            shelf.draw_at_shelf(member, lot, rest, at=at, kind=Movement.Kind.WASTE, why=why)
        shelf.take_off(member, lot, at=at)

    def still_there(self, lot):
        """Whether a lot stands on the shelf."""
        return Lot.objects.here().filter(pk=lot.pk).exists()

    def film(self, resin, grams, why, *, at, who):
        """A little resin for sealing or gluing, taken at the shelf by the ratio of its sheet."""
        product = self.world.resins[resin]
        parts = (2.28, 1.0) if product.basis == product.Basis.VOLUME else (product.parts_a, product.parts_b)
        amounts = [round(grams * part / sum(parts), 1) for part in parts]
        for bottle, amount in zip(self.pair(resin, *amounts, at=at), amounts, strict=True):
            shelf.draw_at_shelf(self.world.people[who], bottle, amount, at=at, why=why)

    def bundle(self, piece, block, *, at):
        """The strips for a block come in."""
        wood = self.world.woods[piece.wood]
        count = round(piece.sizes[0] * self.dice.uniform(1.12, 1.25))
        values = {
            "kind": "wood", "species": wood, "unit": "strips", "code": self.code("W"),
            "maker": story.SOURCES[piece.wood], "thickness_mm": block.strip_mm,
            "width_mm": round(block.poured_mm + 1, 1),
            "length_mm": block.length_mm + 10,
            "cost": round(count * self.dice.uniform(0.45, 0.9), 2),
        }  # fmt: skip
        lot = self.bundles[piece.title] = self.receive(values, count, at=at)
        return lot

    def tin(self, finish, *, at):
        """The tin of a finish that is in use, or a new one."""
        supply, lot = self.world.supplies[finish], self.tins.get(finish)
        if lot is not None and lot.on_hand >= 90:
            return lot
        if lot is not None:
            self.throw_away(lot, max(lot.on_hand, 0), "skin on it, too little to be worth a coat", at=at)
        values = {
            "kind": "finish", "supply": supply, "unit": "ml", "code": self.code("F"), "maker": supply.maker,
            "cost": 38, "use_by": self.day(at) + timedelta(days=540),
        }  # fmt: skip
        lot = self.tins[finish] = self.receive(values, supply.pack, at=at - timedelta(minutes=20))
        return lot

    def leftover(self, piece, block, *, at, who):
        """Bars and offcuts that are kept."""
        length = round(self.dice.uniform(60, 240))
        values = {
            "kind": "leftover", "species": self.world.woods[piece.wood], "resin": block.resin,
            "unit": "pieces",
            "code": self.code("L"), "strip_mm": block.strip_mm, "gap_mm": block.gap_mm,
            "phase_mm": round(self.dice.uniform(0, block.strip_mm + block.gap_mm), 1),
            "thickness_mm": block.finished_mm, "width_mm": 60.0, "length_mm": float(length),
            "came_from": f"{block.project} · {block}",
        }  # fmt: skip
        return self.receive(values, self.dice.randint(1, 3), at=at, who=who)

    def pictured(self, lot, picture, *, at, who):
        """A lot's ticket gets its photo."""
        shelf.change_lot(self.world.people[who], lot, {}, at=at, picture=picture)
