"""The form of a panel: what its sizes are depends on its pattern, what its blocks are on the project."""

from django import forms

from materials.models import Species
from projects import advice
from projects.forms.all_the_same import AllTheSameForm
from projects.models import PanelDesign
from projects.panel.design import Asked, NotMade, checked
from projects.panel.patterns import MOST_RINGS, MOST_SIZE_MM, NAMES, examples_of, made, sizes_of
from projects.panel.rows import CUTTING, saw_of, stack_of
from projects.panel.stock import stock_of
from workshop.forms.quantities import QuantityField
from workshop.models import Machine

MOST_PANEL_MM, LEAST_PANEL_MM = 5000, 20
SIZE, WOOD, TINT, SHAPE = "size_", "wood_", "tint_", "shape_"


class PanelForm(AllTheSameForm):
    """Pattern, sizes, frame, and the wood and tint of each block of the project."""

    pattern = forms.ChoiceField(label="Pattern", choices=tuple(NAMES.items()), widget=forms.RadioSelect)
    width_mm = QuantityField("length", label="Width", least=LEAST_PANEL_MM, most=MOST_PANEL_MM)
    height_mm = QuantityField("length", label="Height", least=LEAST_PANEL_MM, most=MOST_PANEL_MM)
    strip_mm = QuantityField("length", label="Strip", least=0.2, most=50)
    gap_mm = QuantityField(
        "length", label="Gap", least=0.3, most=20, why="thinner ones resin does not run into"
    )
    finished_mm = QuantityField("length", label="Thickness", above=0, most=300)
    lines = forms.ChoiceField(label="Lines", choices=PanelDesign.Lines.choices, widget=forms.RadioSelect)
    saw = forms.ModelChoiceField(
        label="Saw",
        queryset=Machine.objects.none(),
        required=False,
        empty_label="a usual one: 2 mm cut, ±0.1°",
    )
    origin_x_mm = QuantityField(
        "length", label="Pattern begins at, from the left", required=False, least=-MOST_PANEL_MM,
        most=2 * MOST_PANEL_MM,
    )  # fmt: skip
    origin_y_mm = QuantityField(
        "length", label="and from below", required=False, least=-MOST_PANEL_MM, most=2 * MOST_PANEL_MM
    )
    turn_deg = QuantityField("angle", label="Turned by", least=-360, most=360)
    glue_mm = QuantityField("length", label="Width of a glue line", least=0, most=5)
    overhang_mm = QuantityField("length", label="Glued larger, each side", least=0, most=100)
    truing_mm = QuantityField("length", label="Planed off each sawn edge", required=False, least=0, most=10)
    trim_mm = QuantityField("length", label="Squared off each bar’s end", required=False, least=0, most=100)
    stub_mm = QuantityField("length", label="Stub that stays in the hand", required=False, least=0, most=300)

    FRAME = ("width_mm", "height_mm")
    OF_BLOCK = ("strip_mm", "gap_mm", "finished_mm")
    MORE = ("saw", "origin_x_mm", "origin_y_mm", "turn_deg", "glue_mm", "overhang_mm", *CUTTING)

    def __init__(self, data=None, *, blocks, shopful, leftovers=(), **kwargs):
        self.blocks, self.shopful, self.leftovers = blocks, shopful, list(leftovers)
        super().__init__(filled(data), **kwargs)
        self.fields["saw"].queryset = Machine.objects.of(self.shop).in_use().filter(kind="saw")
        self.chosen = self.pattern_now()
        for name, label, kind in sizes_of(self.chosen):
            self.add(SIZE + name, size_field(label, kind))
        woods = Species.objects.of(self.shop).order_by("name")
        for number, block in enumerate(blocks):
            whose = f", block {block.letter}" if len(blocks) > 1 else ""
            self.add(WOOD + str(number), forms.ModelChoiceField(
                label=f"Wood{whose}", queryset=woods, required=False, empty_label="not yet"))  # fmt: skip
            self.add(TINT + str(number), QuantityField(
                "percent", label=f"Light left by 10 mm of resin{whose}", above=0, most=100))  # fmt: skip
        if len(blocks) > 1:
            choices = [(str(block.key), str(block)) for block in blocks]
            for name in self.shape_names():
                self.add(SHAPE + name, forms.ChoiceField(
                    label=f"Piece {name} from", choices=choices, required=False))  # fmt: skip

    def add(self, name, field):
        """A further field that reads the shop's units."""
        if isinstance(field, QuantityField):
            field.system = self.shop.units
        field.widget.attrs["aria-describedby"] = f"id_{name}_says"
        self.fields[name] = field

    def pattern_now(self):
        """The pattern that is typed or kept; the first where it is none of ours."""
        name = self.data.get("pattern") if self.is_bound else self.initial.get("pattern")
        return name if name in NAMES else next(iter(NAMES))

    def shape_names(self):
        """What the pieces of the chosen pattern are called."""
        return [shape.name for shape in made(self.chosen, examples_of(self.chosen)).shapes]

    # what the page shows together

    def size_fields(self):
        """The sizes of the chosen pattern."""
        return [self[SIZE + name] for name, _, _ in sizes_of(self.chosen)]

    def frame_fields(self):
        """The panel's width and height."""
        return [self[name] for name in self.FRAME]

    def block_fields(self):
        """Strip, gap and thickness, then wood and tint, block by block."""
        names = [f"{kind}{number}" for number in range(len(self.blocks)) for kind in (WOOD, TINT)]
        shapes = [name for name in self.fields if name.startswith(SHAPE)]
        return [self[name] for name in (*self.OF_BLOCK, *names, *shapes)]

    def more_fields(self):
        """What has a good guess."""
        return [self[name] for name in self.MORE]

    def more_is_wrong(self):
        """Whether the fold has to be open, since something in it is wrong."""
        return any(name in self.errors for name in self.MORE)

    # what it comes to

    def now(self):
        """What is typed, or kept where nothing is typed, under the names of the fields."""
        return self.cleaned_data if self.is_bound else self.initial

    def made(self):
        """The design as typed or kept, and an empty reason; or none, and why."""
        if self.is_bound:
            return (
                (self.design, "") if self.is_valid() else (None, "Mend the marked figures, then it is drawn.")
            )
        try:
            return checked(self.asked(self.initial).design()), ""
        except NotMade as problem:
            return None, sentence_of(problem)

    def clean(self):
        data = super().clean()
        self.design = None
        for name, usual in CUTTING.items():  # left empty: as usual
            if name in data and data[name] is None:
                data[name] = usual
        x, y = data.get("origin_x_mm"), data.get("origin_y_mm")
        if (x is None) != (y is None) and not {"origin_x_mm", "origin_y_mm"} & self.errors.keys():
            missing = "origin_x_mm" if x is None else "origin_y_mm"
            self.add_error(missing, "Give both, or leave both empty: then the pattern begins in the middle.")
        if not self.errors:
            try:
                self.design = checked(self.asked(data).design())
            except NotMade as problem:
                self.add_error(self.place_of(problem.where), sentence_of(problem))
        return data

    def asked(self, data):
        """The design as typed."""
        first = {name: data[name] for name in self.OF_BLOCK}
        stacks = {
            str(block.key): stack_of(
                {**advice.values_of(block), **(first if number == 0 else {})}, block.resin, self.shopful.mould
            )
            for number, block in enumerate(self.blocks)
        }
        origin = None if data.get("origin_x_mm") is None else (data["origin_x_mm"], data["origin_y_mm"])
        return Asked(
            pattern=data["pattern"],
            sizes=self.sizes(data),
            frame={**{name: data[name] for name in (*self.FRAME, "turn_deg", "glue_mm", "overhang_mm")},
                   "origin": origin},
            lines=data["lines"],
            first=next(iter(stacks.values())),
            by_shape={shape: stacks[key] for shape, key in self.shape_blocks(data).items()},
            saw=saw_of(data["saw"], **{name: data[name] for name in CUTTING}),
            stock=stock_of(self.blocks, stacks, self.leftovers),
        )  # fmt: skip

    def sizes(self, data):
        """The sizes by the pattern's own names."""
        return {name: data[SIZE + name] for name, _, _ in sizes_of(self.chosen)}

    def shape_blocks(self, data):
        """Which block each shape comes from, by the block's key; empty for a single block."""
        return {
            name.removeprefix(SHAPE): value
            for name, value in data.items()
            if name.startswith(SHAPE) and value
        }

    def tints(self, data):
        """What each block's resin lets through at 10 mm, by the block's key."""
        return {str(block.key): data[f"{TINT}{n}"] / 100 for n, block in enumerate(self.blocks)}

    def follows_first(self, block):
        """Whether a block is another cast of the first: as it was kept, and no shape is cut from it alone."""
        first, chosen = self.blocks[0], self.shape_blocks(self.cleaned_data).values()
        alike = all(getattr(block, name) == getattr(first, name) for name in self.OF_BLOCK)
        return alike and str(block.key) not in chosen

    def place_of(self, where):
        """The field at which a refusal stands."""
        return where if where in self.fields else SIZE + sizes_of(self.chosen)[0][0]

    def values(self):
        """What is kept: the design's row, and what changed on each block."""
        data = self.cleaned_data
        asked = self.asked(data)
        blocks = []
        for number, block in enumerate(self.blocks):
            values = {"species": data[f"{WOOD}{number}"]}
            if number == 0 or self.follows_first(block):
                values |= {name: data[name] for name in self.OF_BLOCK}
            blocks.append((block, values))
        row = {
            "pattern": asked.pattern,
            "sizes": asked.sizes,
            **{name: asked.frame[name] for name in (*self.FRAME, "turn_deg", "glue_mm", "overhang_mm")},
            "origin": asked.frame["origin"] and list(asked.frame["origin"]),
            "lines": asked.lines,
            "saw": data["saw"],
            **{name: data[name] for name in CUTTING},
            "overrides": {
                "tints": self.tints(data),
                "blocks": self.shape_blocks(data),
                **({"leftovers": self.leftovers} if self.leftovers else {}),
            },
            "hash": self.design.version(),
        }
        return row, blocks


def filled(data):
    """What was typed; where another pattern was just chosen, with its own sizes to begin with."""
    if data is None or data.get("pattern") not in NAMES or data.get("sizes_of") == data["pattern"]:
        return data
    data = data.copy()
    for name, value in examples_of(data["pattern"]).items():
        if not data.get(SIZE + name):
            data[SIZE + name] = f"{value:g}" + (" mm" if name.endswith("_mm") else "")
    return data


def size_field(label, kind):
    """The field of one size of a pattern."""
    if kind == "angle":
        return QuantityField(kind, label=label, least=10, most=90, why="flatter ones no gauge cuts")
    if kind == "count":
        return QuantityField(kind, label=label, least=1, most=MOST_RINGS, whole=True)
    if kind == "parts":
        return QuantityField(kind, label=label, least=1, most=20)
    return QuantityField(kind, label=label, least=2, most=MOST_SIZE_MM, why="smaller pieces no saw can hold")


def sentence_of(problem):
    """A refusal of the calculations as a sentence."""
    found = problem.problem
    if getattr(found, "name", "") == "pieces":
        return (
            f"That would be {found.value:,.0f} pieces; {found.high:,.0f} at most can be drawn and planned. "
            "Make the pattern larger or the panel smaller."
        ).replace(",", "\u202f")
    text = str(found)
    return text[:1].upper() + text[1:].removesuffix(".") + "."
