"""What the pours of a shop had in common when they went wrong: counts, and the words for them."""

from dataclasses import dataclass

from projects import advice, before_pour
from projects.actions.failures import facts
from projects.models import Pour
from projects.trouble import CONDITIONS, TROUBLES
from workshop.units import say

MOST = 1000  # the newest; more would not say it clearer


@dataclass(frozen=True)
class Common:
    """One condition and how often it went along with a failure, as a page says it."""

    condition: str
    code: str
    """The cause it points to."""
    failed_with: int
    total_with: int
    pours: str
    """How the pours were: "pours below 15 °C"."""
    went: str
    failed_without: int
    total_without: int
    chance: str
    striking: bool
    also: str
    """Other conditions that held for the very same pours."""

    @property
    def sentence(self):
        """All in one line: 4 of 5 pours below 15 °C went soft, 1 of 45 others."""
        inside = f"{self.failed_with} of {self.total_with} {self.pours} {self.went}"
        return f"{inside}, {self.failed_without} of {self.total_without} others."


def seen(shop):
    """Each pour of a shop as its kinds of failure and the conditions that held."""
    pours = Pour.objects.of(shop).to_compare()[:MOST]
    coats = before_pour.coats_by_project(shop)
    return [(kinds_of(pour), conditions_of(pour, coats, shop.tz)) for pour in pours]


def conditions_of(pour, coats, tz):
    """Which conditions held for a pour; `coats` are the shop's seal coats by project."""
    under = coats.get(pour.block.project_id, ())
    return advice.conditions_of(facts(pour, cups_of(pour), under), tz)


def cups_of(pour):
    """The cups of a pour in order; they are at hand already."""
    return sorted(pour.batches.all(), key=lambda batch: batch.cup)


def kinds_of(pour):
    """The kinds of failure that came of a pour and stand on a page."""
    return {str(failure.kind) for failure in pour.failures.all()}


def in_common(pours, kind, units):
    """What the pours that failed in one way had in common, the strongest contrast in front."""
    return [common(found, kind, units) for found in advice.contrasts(pours, kind)]


def common(found, kind, units):
    """One contrast in the words of a page."""
    return Common(
        condition=found.condition,
        code=CONDITIONS[found.condition][1],
        failed_with=found.failed_with,
        total_with=found.total_with,
        pours=f"pours {words_of(found.condition, units)}",
        went=TROUBLES[kind].went,
        failed_without=found.failed_without,
        total_without=found.total_without,
        chance=advice.chance_in_words(found.chance),
        striking=found.is_striking,
        also=" and ".join(words_of(name, units) for name in found.also),
    )


def words_of(condition, units):
    """How a pour in a condition is said to have been, in the shop's units."""
    cold_c, damp_percent = advice.limits_of_conditions()
    limits = {"cold": say(cold_c, "temperature", units), "damp": say(damp_percent, "percent", units)}
    return CONDITIONS[condition][0].format(**limits)
