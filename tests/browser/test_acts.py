"""Each act of the route done on a phone, its page looked at by day, by night and narrow."""

import pytest
from django.conf import settings

from projects.models import LogEntry, SandingSession, Timer
from tests.browser.walker import Walker
from tests.factories import Bench, BundleFactory, StepFactory

PHONE = {"width": 390, "height": 844}
KINDS = ("load", "seal", "mould", "demould", "glue_up", "coat", "sand", "measure")
DONE = "/bench/*/"


class Route(Bench):
    """A shop with a step for each act."""

    def __init__(self):
        super().__init__()
        BundleFactory(shop=self.shop, thickness_mm=2)
        made = {"shop": self.shop, "block": self.block}
        self.steps = {kind: StepFactory(**made, kind=kind, title=kind.replace("_", " ")) for kind in KINDS}

    def do(self, kind, act):
        """The address of an act at the step of a kind."""
        return f"/s/{self.shop.key}/bench/{self.steps[kind].key}/do/{act}/"


@pytest.fixture
def route(transactional_db):
    """A shop with a step for each act."""
    return Route()


@pytest.fixture
def walker(page, context, live_server, client, route):
    """A maker who is signed in, with a phone."""
    client.force_login(route.member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    page.set_viewport_size(PHONE)
    return Walker(page, live_server.url)


def test_each_act_is_done_on_a_phone(walker, route):
    for act in (strips, seal, mould, glue_up, coat, demould, reading, clock):
        act(walker, route)
    assert (walker.faults, walker.said) == ([], [])
    kinds = set(LogEntry.objects.values_list("kind", flat=True))
    assert kinds == {"strips", "seal", "mould", "glue_up", "coat", "demould", "reading", "timer"}
    clocks = set(Timer.objects.values_list("kind", flat=True))
    assert clocks == {"tack", "sealant", "glue", "clamped", "free"}


def strips(walker, route):
    walker.open(route.do("load", "strips"))
    walker.look("strips")
    walker.press("Strips are in", DONE)


def seal(walker, route):
    walker.open(route.do("seal", "seal"))
    walker.choose("steady or falling")
    walker.look("seal")
    walker.press("Seal coat is on", DONE)


def mould(walker, route):
    walker.open(route.do("mould", "mould"))
    walker.page.check("#id_sealed")
    walker.type("sealant_h", "12 h")
    walker.look("mould")
    walker.press("Mould is built", DONE)


def glue_up(walker, route):
    walker.open(route.do("glue_up", "glue-up"))
    for name, text in (("part", "left half"), ("open_min", "40"), ("clamped_h", "12")):
        walker.type(name, text)
    walker.look("glue-up")
    walker.press("Glued up", DONE)


def coat(walker, route):
    walker.open(route.do("coat", "coat"))
    walker.look("coat")
    walker.ask("Coat is on", "are left")  # the glue is in its clamps
    walker.choose("It is about another part")
    walker.press("Coat is on", DONE)


def demould(walker, route):
    walker.open(route.do("demould", "demould"))
    walker.type("width_mm", "199.4")
    walker.page.wait_for_selector("#measures :text('+1.4')")
    walker.look("demould")
    walker.press("It is out of the mould", DONE)


def reading(walker, route):
    walker.open(route.do("measure", "reading"))
    walker.look("kinds")
    walker.follow("thickness", "/reading/?kind=thickness")
    walker.type("value", "2.04")
    walker.look("reading")
    walker.press("Write it down", DONE)


def clock(walker, route):
    walker.open(f"/s/{route.shop.key}/clocks/new/")
    walker.type("name", "Kettle")
    walker.type("minutes", "10")
    walker.look("clock")
    walker.press("Start the clock", "/clocks/")
    walker.look("clocks")


def test_a_session_of_sanding_is_timed_on_a_phone(walker, route):
    walker.open(route.do("sand", "sand"))
    walker.choose("P (FEPA)")
    walker.choose("front")
    walker.type("grade", "3000")
    walker.page.wait_for_selector("#grade-says :text('No published size')")
    walker.look("sand")
    walker.press("Start sanding", "/sand/*/")
    walker.page.wait_for_selector("[data-counted]:has-text('0:0')")
    walker.look("sanding")
    walker.page.get_by_role("button", name="Pause").click()
    walker.page.get_by_role("button", name="Go on sanding").click()
    walker.page.get_by_role("button", name="Pause").wait_for()
    walker.type("discs", "2")
    walker.press("This grade is done", DONE)
    session = SandingSession.objects.get()
    assert (session.discs, len(session.pauses), session.is_resting) == (2, 1, False)
    assert (walker.faults, walker.said) == ([], [])


def test_the_log_is_searched_and_a_note_taken_out_and_brought_back(walker, route):
    walker.open(f"/s/{route.shop.key}/projects/{route.project.key}/log/")
    walker.page.fill("#id_note-text", "It lies calm")
    walker.press("Write it in the log", "/log/")
    walker.page.get_by_text("It lies calm").wait_for()
    walker.look("log")
    walker.page.get_by_text("Find something in the log").click()
    walker.type("q", "CALM")
    walker.press("Show these", "/log/?q=CALM**")
    walker.look("log, searched")
    walker.press("Take it out of the log", "/log/")
    walker.look("log, taken out")
    walker.press("Bring it back", "/log/")
    assert walker.page.locator(".river li").count() == 1
    assert (walker.faults, walker.said) == ([], [])
