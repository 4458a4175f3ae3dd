"""The usual cautions for a kind of step: common practice, no source. The maker's sheet comes first."""

from projects.models import Step

KIND = Step.Kind
RESIN = "Gloves and glasses. Uncured resin can make the skin allergic for good."
CUP = "A cup that gets hot goes outside and is poured out flat. Never sawdust on a spill: it can catch fire."
WARM = "Smoke or a hot mould means out of the shop, windows open, nobody over it."
DUST = "Extraction and a mask: dust of resin that is not fully cured harms skin and lungs."
COOL = "Light pressure, sharp paper. Resin that smears or smells is too hot: stop and let it cool."
SAW = "Guard on, push block, no gloves at the blade. A short piece is held by a jig, never by hand."
AT_THE_SAW = (
    "Hands at least 150 mm off the blade (common practice, no source): the bar clamped to a sled on both "
    "sides, its stub held by a glued-on tail or a carrier. Never a hand between stop and blade. Stop the "
    "blade before you lift a piece. The dust of cut resin and wood harms the lungs: extraction and a mask."
)
RAGS = "Oily rags can catch fire by themselves: lay them flat outside or drown them in a lidded can."
MAINS = (
    "Mains wiring is for whoever is qualified for it. Resin softens near a warm lamp: keep it below 40 °C."
)
COMBS = "Printed combs and hot glue soften from about 60 °C (common practice, no source)."
LIFT = "A block is heavy and its edges are sharp: two hands, gloves, clear floor."
CARES = {
    KIND.SEAL: (RESIN, CUP),
    KIND.COMBS: (COMBS,),
    KIND.MOULD: (COMBS, "Wax and solvents: window open, no flame."),
    KIND.POUR: (RESIN, CUP, WARM),
    KIND.CURE: (WARM,),
    KIND.DEMOULD: (RESIN, LIFT),
    KIND.FLATTEN: (DUST, COOL),
    KIND.TEST_CUT: (SAW, DUST),
    KIND.CUT: (SAW, DUST),
    KIND.GLUE_UP: (RESIN, CUP),
    KIND.CLAMPED: (RESIN,),
    KIND.LEVEL: (DUST, COOL),
    KIND.SAND: (DUST, COOL),
    KIND.COAT: (RAGS, "Window open, gloves, no flame."),
    KIND.LIGHT: (MAINS,),
}


def cares_of(kind):
    """What can hurt someone at a kind of step, and what to do about it."""
    return CARES.get(Step.Kind(kind), ())
