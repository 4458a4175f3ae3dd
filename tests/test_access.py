"""Every address of the app, walked: who gets in, who is told what, and by which method.

An address that is new fails here until it stands in `METHODS`, and in `Thread.places` if it names rows.
"""

import uuid

import pytest
from django.urls import URLPattern, get_resolver, reverse

from tests.built_once import built_once
from tests.factories import AT, MemberFactory
from tests.projects.pages import words_of
from tests.thread import Thread

pytestmark = pytest.mark.django_db
GET, POST, BOTH = {"get"}, {"post"}, {"get", "post"}
OUTSIDE_SHOPS = {
    "workshop:home": GET,
    "workshop:sign-in": BOTH,
    "workshop:sign-out": POST,
    "workshop:welcome": BOTH,
    "workshop:look-around": POST,
    "workshop:health": GET,
    "workshop:icon": GET,
    "workshop:password": BOTH,
    "workshop:reset-ask": BOTH,
    "workshop:reset": BOTH,
    "workshop:join": BOTH,
    "workshop:shops": GET,
    "workshop:shop-new": BOTH,
    "calendar": GET,
}
SECRETS = {
    "workshop:reset",
    "workshop:join",
    "calendar",
}  # their address holds a secret; without it they are no pages
PUBLIC = OUTSIDE_SHOPS.keys() - {
    "workshop:sign-out", "workshop:password", "workshop:shops", "workshop:shop-new",
}  # fmt: skip
METHODS = {
    "workshop:shop": BOTH,
    "workshop:people": GET,
    "workshop:away": POST,
    "workshop:away-out": POST,
    "workshop:away-back": POST,
    "workshop:invite": BOTH,
    "workshop:invitation": GET,
    "workshop:invitation-revoke": POST,
    "workshop:member": BOTH,
    "workshop:member-remove": BOTH,
    "workshop:member-take-in": POST,
    "workshop:leave": BOTH,
    "workshop:hours": BOTH,
    "workshop:day-set": POST,
    "workshop:day-usual": POST,
    "workshop:hours-undo": POST,
    "workshop:machines": GET,
    "workshop:machine-new": BOTH,
    "workshop:machine": BOTH,
    "workshop:machine-retire": POST,
    "workshop:history": GET,
    "workshop:parts": GET,
    "workshop:picture": GET,
    "workshop:document": GET,
    "workshop:job": GET,
    "workshop:job-again": POST,
    "materials:shelf": GET,
    "materials:bottles-in": BOTH,
    "materials:bundle-in": BOTH,
    "materials:lot": BOTH,
    "materials:line-reverse": POST,
    "materials:what-to-buy": GET,
    "materials:something-in": GET,
    "materials:lot-in": BOTH,
    "materials:lot-ticket": BOTH,
    "materials:lot-open": BOTH,
    "materials:lot-level": POST,
    "materials:lot-off": POST,
    "materials:supplies": GET,
    "materials:supply-new": BOTH,
    "materials:supply": BOTH,
    "materials:supply-remove": POST,
    "materials:resin-new": BOTH,
    "materials:resin": BOTH,
    "materials:woods": GET,
    "materials:wood-new": BOTH,
    "materials:wood": BOTH,
    "materials:resin-fit": GET,
    "materials:cup-tests": GET,
    "materials:cup-test-new": BOTH,
    "materials:cup-test": GET,
    "materials:cup-test-remove": POST,
    "projects:now": GET,
    "projects:week": GET,
    "projects:when-done": GET,
    "projects:plan-make": POST,
    "projects:plan-search-on": POST,
    "projects:plan-search": GET,
    "projects:plan": GET,
    "projects:plan-accept": POST,
    "projects:plan-drop": POST,
    "projects:plan-back": POST,
    "projects:clocks": GET,
    "projects:clock-settle": BOTH,
    "projects:feed": BOTH,
    "projects:feed-revoke": POST,
    "projects:project-list": GET,
    "projects:project-new": BOTH,
    "projects:project": GET,
    "projects:panel": BOTH,
    "projects:block": BOTH,
    "projects:block-add": POST,
    "projects:block-of": BOTH,
    "projects:combs": GET,
    "projects:comb-file": GET,
    "projects:combs-of": GET,
    "projects:comb-file-of": GET,
    "projects:cuts": GET,
    "projects:cuts-csv": GET,
    "projects:flaws": BOTH,
    "projects:flaw-remove": POST,
    "projects:leftover-use": POST,
    "projects:leftover-back": POST,
    "projects:leftover-keep": BOTH,
    "projects:dry-fit": BOTH,
    "projects:steps": GET,
    "projects:shelf-list": BOTH,
    "projects:need-strike": POST,
    "projects:log": GET,
    "projects:note": POST,
    "projects:photo": POST,
    "projects:sheets": BOTH,
    "projects:sheet-pdf": GET,
    "projects:failures": GET,
    "projects:failure-new": BOTH,
    "projects:failure": GET,
    "projects:failure-change": BOTH,
    "projects:failure-cause": BOTH,
    "projects:failure-lesson": BOTH,
    "projects:failure-remove": POST,
    "projects:lessons": GET,
    "projects:lesson-new": BOTH,
    "projects:failure-kind": GET,
    "projects:lesson-retire": POST,
    "projects:bench": GET,
    "projects:piece": BOTH,
    **{
        f"projects:{name}": POST
        for name in (
            "piece-state",
            "piece-aside",
            "piece-cover",
            "cover-photo",
            "project-remove",
            "step-undo",
            "dates-lay-out",
            "dates-back",
            "step-move",
            "step-remove",
            "own-time",
            "step-join",
            "step-unlink",
            "step-offer",
            "route-remove",
            "line-add",
            "line-remove",
            "step-begin",
            "step-wait",
            "step-done",
            "step-reopen",
        )
    },
    "projects:step-new": BOTH,
    "projects:step-change": BOTH,
    "projects:step-split": BOTH,
    "projects:step-link": BOTH,
    "projects:step-link-change": BOTH,
    "projects:glue-parts": BOTH,
    "projects:route-keep": BOTH,
    "projects:routes": GET,
    "projects:step-skip": BOTH,
    "projects:bench-step": GET,
    "projects:tick": POST,
    "projects:mix": BOTH,
    "projects:cup": GET,
    "projects:weigh": POST,
    "projects:pour": BOTH,
    "projects:bench-photo": BOTH,
    "projects:starts": GET,
    "projects:check": BOTH,
    "projects:overrule": POST,
    "projects:clock-new": BOTH,
    "projects:reading-new": BOTH,
    "projects:project-reading": BOTH,
    "projects:river": GET,
    "projects:entry-remove": POST,
    "projects:entry-back": BOTH,
    "projects:act-strips": BOTH,
    "projects:act-seal": BOTH,
    "projects:act-mould": BOTH,
    "projects:act-demould": BOTH,
    "projects:act-glue-up": BOTH,
    "projects:act-coat": BOTH,
    "projects:act-reading": BOTH,
    "projects:act-clock": BOTH,
    "projects:act-sand": BOTH,
    "projects:sanding": GET,
    "projects:sanding-pause": POST,
    "projects:sanding-resume": POST,
    "projects:sanding-stop": POST,
}
OWNERS_SEE = {
    "workshop:invite", "workshop:invitation", "workshop:member", "workshop:member-remove",
}  # fmt: skip
OWNERS_DO = {
    "workshop:shop", "workshop:invite", "workshop:invitation-revoke", "workshop:member",
    "workshop:member-remove", "workshop:member-take-in", "workshop:hours", "workshop:day-set",
    "workshop:day-usual", "workshop:hours-undo",
}  # fmt: skip
GOING = {"workshop:leave"}  # everybody may, and is gone then
OWN_CALENDAR = {"projects:feed", "projects:feed-revoke"}
OWN_MATTER = GOING | OWN_CALENDAR
NO_ROWS = {"size", "part", "day", "kind", "code", "letter"}  # words in an address that name no row


def addresses(patterns=None, space=""):
    """All addresses of the app: name to what it wants to be told."""
    found = {}
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(pattern, URLPattern):
            found[f"{space}{pattern.name}"] = set(pattern.pattern.converters)
        else:
            inner = addresses(pattern.url_patterns, f"{pattern.namespace}:")
            outer = set(pattern.pattern.converters)
            found |= {name: wanted | outer for name, wanted in inner.items()}
    return found


@pytest.fixture(scope="module")
def threads(django_db_setup, django_db_blocker, tmp_path_factory):
    """Two shops with all that an address can name, built once for this file."""
    media = tmp_path_factory.mktemp("media")
    with built_once(django_db_blocker, media), pytest.MonkeyPatch.context() as patch:
        # what its paper looks like is no matter here
        patch.setattr("projects.sheets.render", lambda sheet: b"%PDF-1.7 made for a test")
        yield Thread(), Thread(), media


@pytest.fixture
def thread(threads, media_of_its_own, settings, monkeypatch):
    """A shop with all that an address can name."""
    settings.MEDIA_ROOT = threads[2]
    monkeypatch.setattr("projects.sheets.render", lambda sheet: b"%PDF-1.7 made for a test")
    return threads[0]


@pytest.fixture
def other(threads):
    """Another shop of the same kind."""
    return threads[1]


def url_of(name, shop, rows):
    return reverse(name, kwargs={"shop": shop.key, **rows})


def address_outside(name):
    return reverse(name, args=["a-secret-that-is-none"] if name in SECRETS else [])


def answers(client, thread, method, names=METHODS, shop=None):
    """How each address of a shop answers: name to status."""
    places, found = thread.places(), {}
    for name in names:
        response = send(client, method, url_of(name, shop or thread.shop, places.get(name, {})))
        found[name] = response.status_code
    return found


def send(client, method, url):
    response = getattr(client, method)(url, {"key": ""} if method == "post" else None)
    if response.streaming:
        b"".join(response.streaming_content)  # to its end, which closes the file
    return response


def all_but(wanted, found):
    """Those that answered otherwise."""
    return {name: status for name, status in found.items() if status != wanted}


# the list itself


def test_every_address_is_in_the_list_of_methods():
    assert set(addresses()) == METHODS.keys() | OUTSIDE_SHOPS.keys()


def test_every_address_but_a_few_lies_below_a_shop():
    assert {name for name, wanted in addresses().items() if "shop" not in wanted} == set(OUTSIDE_SHOPS)


def test_every_address_that_names_rows_is_walked_with_rows(thread):
    wanted = {name: needs - {"shop"} for name, needs in addresses().items() if needs - {"shop"}}
    wanted = {name: rows for name, rows in wanted.items() if name not in SECRETS}
    assert {name: set(rows) for name, rows in thread.places().items()} == wanted


# signed out


def test_signed_out_only_the_public_few_answer(client, thread):
    public = {name for name in OUTSIDE_SHOPS if "/sign-in/?next=" not in where(client, address_outside(name))}
    assert public == PUBLIC


def where(client, url):
    return client.get(url).headers.get("Location", "")


@pytest.mark.parametrize("method", ["get", "post", "put", "delete"])
def test_signed_out_every_address_of_a_shop_leads_to_the_door(client, thread, method):
    places, wrong = thread.places(), {}
    for name in METHODS:
        url = url_of(name, thread.shop, places.get(name, {}))
        response = send(client, method, url)
        if (response.status_code, response.headers.get("Location")) != (302, f"/sign-in/?next={url}"):
            wrong[name] = response.status_code
    assert wrong == {}


# strangers


@pytest.mark.parametrize("method", ["get", "post", "put", "delete"])
def test_a_stranger_finds_no_such_page_anywhere(signed_in, thread, method):
    assert all_but(404, answers(signed_in(MemberFactory()), thread, method)) == {}


@pytest.mark.parametrize("method", ["get", "post"])
def test_who_has_left_finds_no_such_page_anywhere(signed_in, thread, method):
    left = MemberFactory(shop=thread.shop, left_at=AT)
    assert all_but(404, answers(signed_in(left), thread, method)) == {}


def test_another_shops_rows_are_not_found_through_ones_own(signed_in, thread, other):
    """Each row of an address in turn is one of the other shop's, for each method that it takes."""
    client, theirs, wrong = signed_in(thread.member), other.places(), {}
    for name, mine in thread.places().items():
        for row in mine.keys() - NO_ROWS - {"number"}:
            rows = {**mine, row: theirs[name][row]}
            for method in METHODS[name]:
                wrong[name, row, method] = send(client, method, url_of(name, thread.shop, rows)).status_code
    assert all_but(404, wrong) == {}


def test_a_row_that_does_not_exist_is_no_such_page(signed_in, thread):
    client, found = signed_in(thread.member), {}
    for name, rows in thread.places().items():
        for row in rows.keys() - NO_ROWS:
            missing = {**rows, row: 99 if row == "number" else uuid.uuid4()}
            for method in METHODS[name]:
                found[name, row, method] = send(
                    client, method, url_of(name, thread.shop, missing)
                ).status_code
    assert all_but(404, found) == {}


# viewers, makers, owners


def test_a_viewer_who_sends_something_is_refused_with_a_sentence(signed_in, thread):
    client, places, wrong = signed_in(MemberFactory(shop=thread.shop, role="viewer")), thread.places(), {}
    for name in METHODS.keys() - OWN_MATTER:
        response = client.post(url_of(name, thread.shop, places.get(name, {})), {"key": ""})
        if response.status_code != 403 or "but not change it. Ask an owner" not in words_of(response):
            wrong[name] = response.status_code
    assert wrong == {}


@pytest.mark.parametrize("role", ["viewer", "maker", "owner"])
def test_every_page_can_be_looked_at(signed_in, thread, role):
    client = signed_in(MemberFactory(shop=thread.shop, role=role))
    pages = {name for name, methods in METHODS.items() if "get" in methods and name != "projects:project"}
    shut = set() if role == "owner" else OWNERS_SEE
    assert all_but(200, answers(client, thread, "get", pages - shut)) == {}
    assert all_but(403, answers(client, thread, "get", shut)) == {}


def test_a_project_opens_at_its_block(signed_in, thread):
    url = url_of("projects:project", thread.shop, {"project": thread.project.key})
    assert where(signed_in(thread.member), url) == url_of(
        "projects:block", thread.shop, {"project": thread.project.key}
    )


def test_a_maker_may_send_everything_but_what_owners_decide(signed_in, thread):
    """Sent empty, a form comes back with its sentences (422); a button is done (302)."""
    client = signed_in(MemberFactory(shop=thread.shop, role="maker"))
    names = {name for name, methods in METHODS.items() if "post" in methods} - OWN_MATTER
    found = answers(client, thread, "post", sorted(names))  # what is removed comes last
    refused = {name: status for name, status in found.items() if status not in {302, 422}}
    assert refused == dict.fromkeys(OWNERS_DO, 403)


def test_an_owner_may_send_what_owners_decide(signed_in, thread):
    found = answers(signed_in(thread.member), thread, "post", sorted(OWNERS_DO))  # who is removed comes last
    assert {name for name, status in found.items() if status not in {302, 422}} == set()


@pytest.mark.parametrize("role", ["viewer", "maker", "owner"])
def test_everybody_may_leave(signed_in, thread, role):
    client = signed_in(MemberFactory(shop=thread.shop, role=role))
    assert answers(client, thread, "post", GOING) == dict.fromkeys(GOING, 302)


@pytest.mark.parametrize("role", ["viewer", "maker", "owner"])
def test_everybody_may_have_a_calendar_of_their_own(signed_in, thread, role):
    client = signed_in(MemberFactory(shop=thread.shop, role=role))
    assert answers(client, thread, "post", OWN_CALENDAR) == dict.fromkeys(OWN_CALENDAR, 302)


# methods


@pytest.mark.parametrize("method", ["get", "post", "put", "patch", "delete"])
def test_a_method_that_an_address_does_not_take_is_refused(signed_in, thread, method):
    others = [name for name, methods in METHODS.items() if method not in methods]
    assert all_but(405, answers(signed_in(thread.member), thread, method, others)) == {}


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_pages_outside_a_shop_take_no_other_method_either(signed_in, thread, method):
    client = signed_in(thread.member)
    found = {name: getattr(client, method)(address_outside(name)).status_code for name in OUTSIDE_SHOPS}
    assert all_but(405, found) == {}
