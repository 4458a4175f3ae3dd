"""Tells the demo's story in one transaction: all by the app's own actions, at moments that are past."""

import secrets
import shutil
import zoneinfo
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.db import transaction

from projects.demo import founding, keys, making, planning_line, shelf_line
from projects.demo.diary import Diary, Lines
from projects.demo.stock import Stock
from projects.demo.story import shop as story
from projects.demo.story.pieces import PIECES
from projects.demo.world import World
from workshop.changes import people
from workshop.models import Member, Shop

SEED = "hollin quay"


@dataclass(frozen=True)
class Loaded:
    """The demo as it stands: its shop, and who signs in with which password."""

    shop: Shop
    passwords: dict[str, str]


def load(anchor, *, zone="UTC", seed=SEED):
    """The demo's shop with two years of history before `anchor`.

    Loads with one seed whose anchors lie whole weeks apart are equal but for that, and for the passwords.
    """
    passwords = {person.email: secrets.token_urlsafe(9) for person in story.PEOPLE}
    before = Shop.objects.demos().count()
    if before:
        seed = f"{seed}, number {before + 1}"
    try:
        with transaction.atomic(), keys.drawn(seed) as key:
            put_away(anchor)
            return Loaded(tell(anchor, zone, seed, key, passwords), passwords)
    except BaseException:
        forget_files(seed)
        raise


def put_away(at):
    """Nobody belongs to the demos of before any more: they can't be opened, and their rows stay."""
    for member in Member.objects.present().filter(shop__is_demo=True):
        people.go(member, member, "left the shop", at, "a new demo was made")


def tell(anchor, zone, seed, key, passwords):
    """All story lines side by side; returns the shop."""
    days = {place: stretches for place, (_, stretches) in story.DAYS.items()}
    diary = Diary(anchor, zoneinfo.ZoneInfo(zone), story.WEEK, days)
    world = World(seed, diary, Lines(), key)
    founding.found(world, lambda person: passwords[person.email])
    founding.lists_products(world)
    world.stock = Stock(world)
    for line in (*shelf_line.LINES, *planning_line.LINES):
        world.lines.begin(line(world))
    for piece in PIECES:
        world.lines.begin(making.told(world, piece))
    world.lines.run()
    return world.shop


def forget_files(seed):
    """A load that failed leaves no photos and no data sheets behind."""
    for folder in ("pictures", "documents"):
        shutil.rmtree(Path(settings.MEDIA_ROOT) / folder / str(keys.first(seed)), ignore_errors=True)
