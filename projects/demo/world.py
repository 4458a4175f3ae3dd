"""What all story lines of the demo share: people, diary, shelf, dice, and the way to act at a moment."""

import random
from dataclasses import dataclass, field
from datetime import timedelta

from projects.demo.diary import Diary, Lines
from workshop.acting import Moment


def chance(*words):
    """Dice of their own for one part of the story: the same throws in every load, whatever else is told."""
    return random.Random(" ".join(map(str, words)))  # noqa: S311 a story, no secret


@dataclass
class World:
    """The demo while it is told."""

    seed: str
    diary: Diary
    lines: Lines
    key: object
    people: dict = field(default_factory=dict)
    machines: dict = field(default_factory=dict)
    resins: dict = field(default_factory=dict)
    supplies: dict = field(default_factory=dict)
    woods: dict = field(default_factory=dict)
    projects: dict = field(default_factory=dict)
    stock: object = None

    @property
    def shop(self):
        """The demo's shop."""
        return self.people["tove"].shop

    def act(self, at):
        """The key and the moment of an act."""
        return {"key": self.key(), "moment": Moment.now(at)}


def minutes(number):
    """A stretch of time."""
    return timedelta(minutes=number)


def air(dice, cellar=False):
    """How warm and how humid it is: upstairs by the stove, or down in the cellar."""
    if cellar:
        return {"temp_c": round(dice.uniform(12.1, 13.8), 1), "humidity_percent": round(dice.uniform(64, 72))}
    return {"temp_c": round(dice.uniform(18.4, 23.2), 1), "humidity_percent": round(dice.uniform(38, 58))}
