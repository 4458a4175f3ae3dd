"""What the Panel page says in words, and the links that carry a design on with one figure changed."""

from dataclasses import dataclass
from urllib.parse import urlencode

from workshop import units

FOOT_MM = 304.8
SHORT_MM = 40  # a piece below it can't be held on a sled without a carrier; judgement, no source


@dataclass(frozen=True)
class Choice:
    """A rule for lines with what it does and what it costs."""

    name: str
    says: str
    cost: str
    query: str
    sizes: str


@dataclass(frozen=True)
class Mind:
    """Something to mind before sawing: a word, what is so, what to do."""

    word: str
    what: str
    then: str


def distance(value_mm, system):
    """A distance that one walks: figure and unit."""
    if system == "inch":
        return units.digits(value_mm / FOOT_MM, 1), "ft"
    return units.digits(value_mm / 1000, 1 if value_mm >= 1000 else 2), "m"


def place_of_eye(look, system):
    """Where the eye is and how strips stand, as the rails say it."""
    across, unit = distance(abs(look.eye_x_mm), system)
    side = "in the middle" if not look.eye_x_mm else "right" if look.eye_x_mm > 0 else "left"
    back, back_unit = distance(look.eye_z_mm, system)
    return {
        "across": side if not look.eye_x_mm else f"{across}\u00a0{unit} {side}",
        "back": f"{back}\u00a0{back_unit}",
        "lean": f"{units.digits(look.lean_deg, 1)}°" if look.lean_deg else "plumb",
    }


def typed(value):
    """A value of a field as it stands in an address."""
    return str(getattr(value, "pk", value))


def query_with(data, **changed):
    """An address's query with some figures changed."""
    pairs = {name: data[name] for name in data if name not in {"csrfmiddlewaretoken", "key"}} | changed
    return "?" + urlencode({**pairs, "sizes_of": pairs.get("pattern", "")})


def calm_query(counts, data):
    """The link to the origin that leaves fewer slivers, or nothing where none is better."""
    if counts.calm is None:
        return ""
    x, y = counts.calm
    return query_with(data, origin_x_mm=f"{x:g} mm", origin_y_mm=f"{y:g} mm")


def rules(found, data, design):
    """Both rules for lines in words."""
    return [choice(rule, data, design) for rule in found]


def choice(rule, data, design):
    """One rule: what it does at the sizes that keep it, and its cost."""
    say = WHAT[rule.name]
    sizes = "" if rule.keeps else sizes_in_words(rule.sizes, dict(design.sizes))
    changed = {
        f"size_{name}": f"{value:.9g} mm" for name, value in rule.sizes.items() if name.endswith("_mm")
    }
    return Choice(
        name=rule.name,
        says=say(rule),
        cost=cost_in_words(rule),
        query="" if rule.keeps else query_with(data, lines=rule.name, **changed),
        sizes=sizes,
    )


def run_on(rule):
    """What lines that run on across rims ask for."""
    shift = f"Lines shift by {rule.shift_mm:.3g} mm from one bar to the next: " if rule.shift_mm else ""
    then = "sort pieces by bar, a ring from one bar." if shift else "Bars are alike as well."
    return f"Bars of {rule.bar_mm:.4g} mm are {rule.pitches:.0f} whole pitches. {shift}{then}"


def alike(rule):
    """What bars that are all alike ask for."""
    jump = (
        f"Lines jump by {rule.rim_jump_mm:.3g} mm at rims." if rule.rim_jump_mm else "Lines run on as well."
    )
    return (
        f"Bars of {rule.bar_mm:.4g} mm with their cut are {rule.pitches:.0f} whole pitches: "
        f"any piece may lie anywhere. {jump}"
    )


WHAT = {"run_on": run_on, "alike": alike}


def cost_in_words(rule):
    """Bars, and the wood that one rule takes over the other."""
    if rule.bars is None:
        return "The shop can't cast blocks for these bars."
    more = f", {100 * rule.more_wood:.0f} % more wood" if rule.more_wood and rule.more_wood > 0.005 else ""
    first = " True of the widest bars only." if rule.others else ""
    return f"{rule.bars} bars{more}.{first}"


def sizes_in_words(wanted, now):
    """The sizes that differ from those typed: 64 mm instead of 60 mm."""
    changed = [(value, now[name]) for name, value in wanted.items() if abs(value - now[name]) > 1e-6]
    return ", ".join(f"{value:.5g} mm instead of {old:.5g} mm" for value, old in changed)


def minds(design, counts):
    """What to mind: slivers, pieces too short to hold, a cut that swallows strips."""
    found = []
    if counts.slivers:
        what = f"{counts.slivers} slivers at the frame: of each less than a tenth is seen."
        found.append(Mind("slivers", what, "They break in the saw. Shift the pattern or change the size."))
    if counts.shortest_mm < SHORT_MM:
        what = f"The smallest piece is {counts.shortest_mm:.3g} mm long."
        then = "Too short to hold by hand: a carrier or a glued-on tail, hands at least 150 mm off the blade."
        found.append(Mind("short", what, then))
    strip = min(stack.strip_mm for stack in design.stacks)
    if design.saw.kerf_mm > strip:
        what = f"The cut takes {design.saw.kerf_mm:.3g} mm, more than a strip of {strip:.3g} mm."
        then = "A rip can leave a splinter of a strip at a bar's edge. A thinner blade loses less."
        found.append(Mind("wide cut", what, then))
    return found
