from datetime import date

import pytest

from projects.models import Project
from tests.factories import AT, Bench, CheckItemFactory, MemberFactory, ProjectFactory, ResinFactory
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


def list_page(shop):
    return at("project-list", shop)


def new_page(shop):
    return at("project-new", shop)


# --- the list ---


def test_the_list_shows_each_project_with_its_block(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(list_page(bench.shop)))
    assert f"{bench.project.code} Stair window planned · Block A: 50 strips of 2 mm, gap 2 mm, " in words
    assert "Next: Pour Block A" in words


def listed(client, shop, **asked):
    return [line["project"] for line in client.get(list_page(shop), asked).context["rows"]]


def test_the_list_shows_first_what_is_at_work_and_wanted_soonest(signed_in):
    member = MemberFactory()
    made = {state: ProjectFactory(shop=member.shop, state=state) for state in Project.State.values}
    soon = ProjectFactory(shop=member.shop, due_on=AT.date())
    assert listed(signed_in(member), member.shop) == [soon, made["under_way"], made["planned"]]


@pytest.mark.parametrize("state", ["idea", "finished", "set_aside"])
def test_the_list_can_be_asked_for_one_state(signed_in, state):
    member = MemberFactory()
    made = {state: ProjectFactory(shop=member.shop, state=state) for state in Project.State.values}
    assert listed(signed_in(member), member.shop, which=state) == [made[state]]


def test_all_projects_are_listed_when_asked_for(signed_in):
    member = MemberFactory()
    made = [ProjectFactory(shop=member.shop, state=state) for state in Project.State.values]
    assert listed(signed_in(member), member.shop, which="all") == made[::-1]


def test_a_choice_that_is_none_is_what_is_at_work(signed_in):
    member = MemberFactory()
    ProjectFactory(shop=member.shop, state="idea")
    project = ProjectFactory(shop=member.shop)
    assert listed(signed_in(member), member.shop, which="nonsense") == [project]


@pytest.mark.parametrize("text", ["TÜRSÄULE", "türsäule", "wray", " Wray  tür "])
def test_a_search_finds_in_all_states_and_whatever_case(signed_in, text):
    member = MemberFactory()
    ProjectFactory(shop=member.shop)
    project = ProjectFactory(shop=member.shop, title="Türsäule", customer="Maud Wray", state="finished")
    ProjectFactory(title="Türsäule", customer="Wray")
    assert listed(signed_in(member), member.shop, search=text) == [project]


def test_a_search_that_finds_nothing_says_so(signed_in):
    member = MemberFactory()
    ProjectFactory(shop=member.shop)
    words = words_of(signed_in(member).get(list_page(member.shop), {"search": "50%_<b>"}))
    assert "Nothing is called “50%_<b>” here." in words


def test_the_list_says_what_a_project_is_on(signed_in):
    bench = Bench()
    bench.meet()
    assert "On it: Pour Block A" in words_of(signed_in(bench.member).get(list_page(bench.shop)))


def test_the_list_says_why_a_project_was_set_aside(signed_in):
    member = MemberFactory()
    ProjectFactory(shop=member.shop, state="set_aside", set_aside_why="the glass is late")
    words = words_of(signed_in(member).get(list_page(member.shop), {"which": "set_aside"}))
    assert "the glass is late" in words


def test_a_project_taken_off_can_be_brought_back_from_the_list(signed_in):
    member = MemberFactory()
    project = ProjectFactory(shop=member.shop, removed_at=AT)
    client = signed_in(member)
    assert f"“{project}” was taken off the list." in words_of(client.get(list_page(member.shop)))
    client.post(at("project-remove", member.shop, project.key), act(removed="no"))
    assert Project.objects.get().removed_at is None


def test_the_list_has_what_was_begun_last_on_top(signed_in):
    member = MemberFactory()
    first, second = (ProjectFactory(shop=member.shop, created_at=AT) for _ in range(2))
    assert list(signed_in(member).get(list_page(member.shop)).context["page"]) == [second, first]


def test_a_removed_project_is_not_listed(signed_in):
    member = MemberFactory()
    ProjectFactory(shop=member.shop, removed_at=AT)
    assert "No project yet" in words_of(signed_in(member).get(list_page(member.shop)))


def test_a_project_of_another_shop_is_not_listed(signed_in):
    ProjectFactory()
    member = MemberFactory()
    assert "No project yet" in words_of(signed_in(member).get(list_page(member.shop)))


def test_a_long_list_is_read_page_by_page(signed_in):
    member = MemberFactory()
    ProjectFactory.create_batch(21, shop=member.shop)
    client = signed_in(member)
    sizes = [len(client.get(list_page(member.shop), {"page": number}).context["page"]) for number in (1, 2)]
    assert sizes == [20, 1]


@pytest.mark.parametrize("page", ["0", "-1", "99", "second"])
def test_a_page_that_is_not_there_gives_one_that_is(signed_in, page):
    member = MemberFactory()
    project = ProjectFactory(shop=member.shop)
    assert list(signed_in(member).get(list_page(member.shop), {"page": page}).context["page"]) == [project]


# --- a new one ---


def test_a_title_makes_a_project_and_leads_to_its_block(signed_in):
    member = MemberFactory()
    response = signed_in(member).post(new_page(member.shop), act(title=" Fanlight ", due_on="2026-12-24"))
    project = Project.objects.get()
    assert (response.status_code, response["Location"]) == (302, at("block", member.shop, project.key))
    assert (project.code, project.title, project.due_on) == ("001", "Fanlight", date(2026, 12, 24))


def test_a_script_is_led_to_the_block(signed_in):
    member = MemberFactory()
    response = signed_in(member).post(new_page(member.shop), act(title="Fanlight", due_on=""), **FRAGMENT)
    assert response.status_code == 204
    assert response["HX-Redirect"] == at("block", member.shop, Project.objects.get().key)


def test_a_new_project_takes_the_newest_resin_that_is_in_use(signed_in):
    member = MemberFactory()
    ResinFactory(shop=member.shop)
    newest = ResinFactory(shop=member.shop)
    ResinFactory(shop=member.shop, removed_at=AT)
    ResinFactory()
    signed_in(member).post(new_page(member.shop), act(title="Fanlight", due_on=""))
    assert Project.objects.get().blocks.get().resin == newest


def test_a_project_sent_twice_is_begun_once(signed_in):
    member = MemberFactory()
    client, sent = signed_in(member), act(title="Fanlight", due_on="")
    answers = [client.post(new_page(member.shop), sent) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert Project.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "said", "sentence"),
    [
        ("title", "", "This field is required."),
        ("title", "   ", "This field is required."),
        ("title", "x" * 121, "at most 120 characters (it has 121)"),
        ("due_on", "soon", "Enter a valid date."),
        ("due_on", "2026-02-30", "Enter a valid date."),
    ],
)
def test_what_is_wrong_is_said_at_its_field(signed_in, field, said, sentence):
    member = MemberFactory()
    sent = {"title": "Fanlight", "due_on": "2026-12-24", field: said}
    response = signed_in(member).post(new_page(member.shop), act(**sent))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert {name: typed_in(response)[name] for name in sent} == sent
    assert not Project.objects.exists()


def test_a_title_that_looks_like_a_page_is_only_text(signed_in):
    member = MemberFactory()
    client = signed_in(member)
    client.post(new_page(member.shop), act(title="<b onclick=x>Fan & light</b>", due_on=""))
    content = client.get(list_page(member.shop)).content.decode()
    assert "&lt;b onclick=x&gt;Fan &amp; light&lt;/b&gt;" in content
    assert "<b onclick" not in content


# --- its steps ---


def test_a_project_opens_at_its_block(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(at("project", bench.shop, bench.project.key))
    assert response["Location"] == at("block", bench.shop, bench.project.key)


def test_the_steps_say_what_is_to_do_and_lead_to_the_bench(signed_in):
    bench = Bench()
    CheckItemFactory.create_batch(2, step=bench.step)
    response = signed_in(bench.member).get(at("steps", bench.shop, bench.project.key))
    assert "Pour Block A to do · hands on 60 min · 2 things to check" in words_of(response)
    assert at("bench-step", bench.shop, bench.step.key).encode() in response.content


@pytest.mark.parametrize(
    ("acts", "said"), [((), "to do"), (("meet",), "under way"), (("meet", "pour"), "waits for its cure")]
)
def test_the_steps_say_where_they_stand(signed_in, acts, said):
    bench = Bench()
    for name in acts:
        getattr(bench, name)()
    assert f"Pour Block A {said} ·" in words_of(
        signed_in(bench.member).get(at("steps", bench.shop, bench.project.key))
    )
