"""All models of the room, so that Django finds them."""

from materials.models.batches import Batch, Reading
from materials.models.cup_tests import CupTest
from materials.models.lots import Lot, Movement
from materials.models.resin import Resin
from materials.models.supplies import Supply
from materials.models.wood import Species

__all__ = ["Batch", "CupTest", "Lot", "Movement", "Reading", "Resin", "Species", "Supply"]
