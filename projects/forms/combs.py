"""The form of a comb: play, machine, and the shape of its teeth."""

from workshop.forms.quantities import QuantityField, ShopForm


class CombForm(ShopForm):
    """What a comb is made from besides strip and gap."""

    seal_mm = QuantityField("length", label="Sealer on each face", least=0, most=2)
    clearance_mm = QuantityField("length", label="Play of a strip in its slot", least=0, most=5)
    bed_mm = QuantityField("length", label="Longest comb your machine makes", least=10, most=3000)
    tooth_mm = QuantityField("length", label="Length of a tooth", least=1, most=200)
    base_mm = QuantityField("length", label="Height of the back", least=1, most=100)
    thickness_mm = QuantityField("length", label="Thickness", least=0.5, most=50)
    scale_error_percent = QuantityField("percent", label="Pieces come out too long by", least=-5, most=5)
