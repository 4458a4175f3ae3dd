import re

import pytest

from materials import actions as shelf
from materials.models import Lot
from projects.models import PanelDesign
from projects.panel.rows import kept_of
from tests.factories import AT, Bench, MemberFactory, SpeciesFactory, design, key
from tests.projects.pages import at, words_of

pytestmark = pytest.mark.django_db

STRIPES = {
    "strip_mm": 2.0,
    "gap_mm": 2.0,
    "thickness_mm": 10.0,
    "length_mm": 300.0,
    "width_mm": 30.0,
    "phase_mm": 3.0,
}


class Sawn(Bench):
    """A bench with a panel of squares, its block's wood, and leftovers on the shelf."""

    def __init__(self):
        super().__init__()
        self.wood = SpeciesFactory(shop=self.shop)
        self.block.species = self.wood
        self.block.save()
        design(self.member, self.project)

    def leftover(self, code="L-03", many=1, **changed):
        values = {"kind": Lot.Kind.LEFTOVER, "species": self.wood, "unit": "pieces", "code": code, **STRIPES}
        return shelf.receive(self.member, {**values, "received_on": AT.date(), **changed}, many, at=AT)

    def url(self, name, *more):
        return at(name, self.shop, self.project.key, *more)

    def post(self, client, name, *more):
        return client.post(self.url(name, *more), {"key": key(), "happened_at": "", "sent_at": ""})

    def use(self, client, lot):
        return self.post(client, "leftover-use", lot.key)

    @property
    def taken(self):
        return PanelDesign.objects.get().overrides.get("leftovers", [])


@pytest.fixture
def sawn():
    return Sawn()


def cuts(client, sawn):
    return words_of(client.get(sawn.url("cuts")))


def test_a_leftover_with_the_panels_stripes_is_offered_with_what_it_gives(signed_in, sawn):
    sawn.leftover()
    assert "On the shelf and fitting L-03 6 pieces T its lines lie right Cut it first" in cuts(
        signed_in(sawn.member), sawn
    )


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"phase_mm": None}, "its first line is not measured"),
        ({"phase_mm": 1.0}, "lines off by 2 mm"),
    ],
)
def test_a_leftover_says_how_its_lines_lie(signed_in, sawn, changed, said):
    sawn.leftover(**changed)
    assert said in cuts(signed_in(sawn.member), sawn)


@pytest.mark.parametrize(
    "changed",
    [{"gap_mm": 1.5}, {"strip_mm": 1.5}, {"thickness_mm": 8.0}, {"width_mm": 28.0}, {"length_mm": 70.0}],
)
def test_a_leftover_that_gives_nothing_is_not_offered(signed_in, sawn, changed):
    sawn.leftover(**changed)
    assert "L-03" not in cuts(signed_in(sawn.member), sawn)


def test_a_leftover_of_another_wood_is_not_offered(signed_in, sawn):
    sawn.leftover(species=SpeciesFactory(shop=sawn.shop))
    assert "L-03" not in cuts(signed_in(sawn.member), sawn)


def test_cut_first_it_comes_off_the_shelf_and_into_the_plan(signed_in, sawn):
    lot, client = sawn.leftover(many=2), signed_in(sawn.member)
    before = kept_of(sawn.project).version
    response = sawn.use(client, lot)
    assert response.headers["Location"] == sawn.url("cuts") + "#leftovers"
    assert Lot.objects.get(pk=lot.pk).on_hand == 1
    said = cuts(client, sawn)
    assert "Cut first L-03 300 mm × 30 mm" in said
    assert "Leftover L-03: 300 mm × 30 mm" in said
    assert re.search(r"1 T L-03 test test \d+", said)
    assert kept_of(sawn.project).version != before


def test_pressed_twice_one_is_taken(signed_in, sawn):
    lot, client = sawn.leftover(many=2), signed_in(sawn.member)
    act = {"key": key(), "happened_at": "", "sent_at": ""}
    for _ in range(2):
        client.post(sawn.url("leftover-use", lot.key), act)
    assert (len(sawn.taken), Lot.objects.get(pk=lot.pk).on_hand) == (1, 1)


def test_what_the_shelf_no_longer_holds_is_refused_with_a_sentence(signed_in, sawn):
    lot, client = sawn.leftover(), signed_in(sawn.member)
    sawn.use(client, lot)
    response = sawn.use(client, lot)
    assert response.status_code == 422
    assert "L-03 holds 0" in words_of(response)
    assert len(sawn.taken) == 1


def test_given_back_it_stands_on_the_shelf_and_the_plan_is_as_before(signed_in, sawn):
    lot, client = sawn.leftover(), signed_in(sawn.member)
    before = kept_of(sawn.project).version
    sawn.use(client, lot)
    line = sawn.taken[0]["line"]
    for _ in range(2):
        assert sawn.post(client, "leftover-back", line).status_code == 302
    assert Lot.objects.get(pk=lot.pk).on_hand == 1
    assert sawn.taken == []
    assert kept_of(sawn.project).version == before


def keep_panel(client, sawn, **changed):
    typed = {
        "pattern": "squares", "sizes_of": "squares", "width_mm": "600", "height_mm": "420",
        "size_side_mm": "60", "strip_mm": "2", "gap_mm": "2", "finished_mm": "10", "tint_0": "100",
        "turn_deg": "0", "glue_mm": "0",
        "overhang_mm": "0", "lines": "alike", "origin_x_mm": "30", "origin_y_mm": "30",
        "wood_0": sawn.wood.pk,
    }  # fmt: skip
    return client.post(
        sawn.url("panel"), {"key": key(), "happened_at": "", "sent_at": "", **typed, **changed}
    )


def test_keeping_the_design_anew_keeps_what_is_cut_first(signed_in, sawn):
    lot, client = sawn.leftover(), signed_in(sawn.member)
    sawn.use(client, lot)
    response = keep_panel(client, sawn)
    assert response.status_code == 302
    assert [one["code"] for one in sawn.taken] == ["L-03"]
    row = PanelDesign.objects.get()
    assert row.hash == kept_of(sawn.project).version


def test_without_a_panel_no_leftover_is_taken(signed_in):
    bench = Bench()
    lot = Sawn.leftover(type("At", (), {"member": bench.member, "wood": SpeciesFactory(shop=bench.shop)})())
    response = signed_in(bench.member).post(
        at("leftover-use", bench.shop, bench.project.key, lot.key),
        {"key": key(), "happened_at": "", "sent_at": ""},
    )
    assert response.status_code == 422
    assert lot.on_hand == 1


# what the cutting leaves


def test_the_end_of_the_last_bar_is_offered_for_the_shelf(signed_in, sawn):
    said = cuts(signed_in(sawn.member), sawn)
    assert "What this cutting leaves bar 20: 171 mm × 30 mm" in said


def test_kept_it_goes_to_the_shelf_with_its_stripes_and_its_first_line(signed_in, sawn):
    client, url = signed_in(sawn.member), sawn.url("leftover-keep", 1)
    form = client.get(url).context["form"]
    typed = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    response = client.post(
        url, {"key": key(), "happened_at": "", "sent_at": "", **typed, "species": sawn.wood.pk}
    )
    assert response.headers["Location"] == sawn.url("cuts") + "#leftovers"
    lot = Lot.objects.get(kind=Lot.Kind.LEFTOVER)
    bar = kept_of(sawn.project)
    from projects.panel.design import planned

    assert (lot.strip_mm, lot.gap_mm, lot.thickness_mm, lot.width_mm) == (2, 2, 10, 30)
    assert lot.length_mm == pytest.approx(171.3, abs=0.05)
    assert lot.phase_mm == pytest.approx(planned(bar.design).bars[-1].phase_mm, abs=0.01)
    assert (lot.species, lot.on_hand) == (sawn.wood, 1)
    assert lot.came_from == f"{sawn.project.code} {sawn.project.title}, bar 20"
    assert f"on the shelf as {lot.code}" in cuts(client, sawn)


def test_a_kept_leftover_fits_the_next_panel_of_the_same_wood(signed_in, sawn):
    client, url = signed_in(sawn.member), sawn.url("leftover-keep", 1)
    form = client.get(url).context["form"]
    typed = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    client.post(url, {"key": key(), "happened_at": "", "sent_at": "", **typed, "species": sawn.wood.pk})
    code = Lot.objects.get(kind=Lot.Kind.LEFTOVER).code
    assert re.search(rf"On the shelf and fitting {code} \d pieces T its lines lie right", cuts(client, sawn))


@pytest.mark.parametrize("number", [0, 99])
def test_an_end_that_the_plan_does_not_leave_is_no_such_page(signed_in, sawn, number):
    assert signed_in(sawn.member).get(sawn.url("leftover-keep", number)).status_code == 404


def test_what_is_wrong_with_a_kept_one_is_said(signed_in, sawn):
    response = sawn.post(signed_in(sawn.member), "leftover-keep", 1)
    assert response.status_code == 422
    assert not Lot.objects.filter(kind=Lot.Kind.LEFTOVER).exists()


def test_a_viewer_takes_none_and_keeps_none(signed_in, sawn):
    lot, client = sawn.leftover(), signed_in(MemberFactory(shop=sawn.shop, role="viewer"))
    assert sawn.use(client, lot).status_code == 403
    assert sawn.post(client, "leftover-keep", 1).status_code == 403
    assert Lot.objects.get(pk=lot.pk).on_hand == 1


# truing


def test_a_truing_allowance_stands_in_settings_order_and_offcut(signed_in, sawn):
    PanelDesign.objects.update(truing_mm=0.5)
    said = cuts(signed_in(sawn.member), sawn)
    assert "Rip to 30.5 mm true to 30 mm" in said
    assert "Before each further rip joint the block’s fresh edge, 0.5 mm off" in said
    assert "trued off sawn edges" in said


def test_without_one_nothing_is_said_of_truing(signed_in, sawn):
    said = cuts(signed_in(sawn.member), sawn)
    assert "30 mm true to" not in said
    assert "trued off" not in said


@pytest.mark.parametrize("name", ["truing_mm", "trim_mm", "stub_mm"])
def test_the_version_changes_with_each_allowance(sawn, name):
    before = kept_of(sawn.project).version
    PanelDesign.objects.update(**{name: 1.5})
    assert kept_of(sawn.project).version != before


def test_allowances_are_typed_with_the_saw_and_left_empty_are_the_usual_ones(signed_in, sawn):
    client = signed_in(sawn.member)
    keep_panel(client, sawn, truing_mm="0.5 mm", trim_mm="", stub_mm="60")
    row = PanelDesign.objects.get()
    assert (row.truing_mm, row.trim_mm, row.stub_mm) == (0.5, 3, 60)
    assert kept_of(sawn.project).design.saw.hold_mm == 60
    assert row.hash == kept_of(sawn.project).version


def test_a_truing_allowance_beyond_reason_gets_a_sentence(signed_in, sawn):
    response = keep_panel(signed_in(sawn.member), sawn, truing_mm="40 mm")
    assert response.status_code == 422
    assert "10 mm or less" in words_of(response)
