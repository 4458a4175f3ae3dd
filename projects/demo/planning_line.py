"""What is planned beside the bench: changed routes, lists, dates, a lesson let go, a sheet in a drawer."""

from django.core.files.uploadedfile import SimpleUploadedFile

from materials import actions as shelf
from projects.actions import lessons, needs, route, routes
from projects.actions import plans as proposals
from projects.demo.story import plans
from projects.demo.world import minutes
from projects.models import Lesson
from workshop import documents


def change_route(story, at):
    """What is different about a project's route, said when it is planned."""
    title, member, project = story.piece.title, story.member, story.project
    steps = project.steps.kept().in_order()
    if title in plans.ADDED:
        kind, words, lasts, after = plans.ADDED[title]
        values = {"kind": kind, "title": words, "minutes": lasts, "after": steps.filter(kind=after).last()}
        route.add_step(member, project, values, at=at)
    if title in plans.CHECKS:
        kind, text = plans.CHECKS[title]
        route.add_check(member, steps.filter(kind=kind).first(), text, at=at + minutes(2))
    if title in plans.CHANGED_THEIR_MIND:
        gone = steps.filter(kind=plans.CHANGED_THEIR_MIND[title]).first()
        route.remove_step(member, gone, at=at + minutes(3))
        route.undo(member, project, at=at + minutes(31))
    if title in plans.TOGETHER:
        for step in steps.filter(kind="glue_up"):
            with_whom = {"people": 2, "assignee": story.world.people["anselm"]}
            route.change_step(member, step, with_whom, at=at + minutes(35))
    if title in plans.KEPT:
        routes.keep_route(member, project, plans.KEPT[title], at=at + minutes(40))


def writes_lists(world):
    """Things no block knows of, written on shelf lists."""
    for weeks, weekday, clock, title, word, amount in plans.WANTED:
        at = world.diary.at(weeks, weekday, clock)
        yield at
        values = {"supply": world.supplies[word], "amount": amount}
        needs.write_in(world.people["tove"], world.projects[title], values, at=at)


def lays_out_dates(world):
    """First dates for all that goes on, laid out shortly before the anchor."""
    at = world.diary.anchor - minutes(2)
    yield at
    route.lay_out(world.people["tove"], at=at)


def proposes_a_plan(world):
    """A plan beside those dates, which nobody has taken or dropped yet."""
    at = world.diary.anchor - minutes(1)
    yield at
    proposals.propose(world.people["tove"], at=at)


def lets_a_lesson_go(world):
    """A lesson that is not needed any more."""
    weeks, weekday, clock, sentence = plans.LET_GO
    at = world.diary.at(weeks, weekday, clock)
    yield at
    lesson = Lesson.objects.of(world.shop).get(sentence=sentence)
    lessons.retire(world.people["tove"], lesson, at=at, retired=True)


def files_a_sheet(world):
    """The data sheet of the deep resin, kept beside its figures."""
    at = world.diary.at(102, 1, "11:30")
    yield at
    upload = SimpleUploadedFile("meer-48.pdf", plain_pdf(plans.SHEET_LINES), content_type="application/pdf")
    sheet = documents.take_in(upload, world.people["tove"], at=at)
    shelf.change_resin(world.people["tove"], world.resins["deep"], {"sheet": sheet}, at=at)


def plain_pdf(lines):
    """A page of plain lines as a PDF, written out by hand: no date and no name of a program in it."""
    text = " ".join(f"({line.replace('(', '[').replace(')', ']')}) Tj 0 -22 Td" for line in lines)
    stream = f"BT /F1 14 Tf 60 760 Td {text} ET".encode("latin-1")
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents 4 0 R "
        b"/Resources << /Font << /F1 5 0 R >> >> >>",
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(stream), stream),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    content, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        places.append(len(content))
        content += b"%d 0 obj\n%s\nendobj\n" % (number, part)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    size = len(parts) + 1
    return (
        content + b"xref\n0 %d\n0000000000 65535 f \n" % size + table
        + b"trailer << /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (size, len(content))
    )  # fmt: skip


LINES = (writes_lists, lays_out_dates, proposes_a_plan, lets_a_lesson_go, files_a_sheet)
