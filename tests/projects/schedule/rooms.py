"""A shop with projects to plan: open eight to five UTC from Monday to Friday; AT is a Tuesday, 09:00."""

from datetime import UTC, datetime, time

from projects.models import LogEntry, Step, Timer
from projects.schedule.matter import gather
from tests.factories import AT, BlockFactory, MemberFactory, ProjectFactory, ResinFactory, StepFactory
from workshop.changes import hours


class Room:
    """A maker alone in a shop."""

    def __init__(self, people=1):
        self.member = MemberFactory(shop__zone="UTC")
        self.shop = self.member.shop
        for _ in range(people - 1):
            MemberFactory(shop=self.shop, role="maker")
        self.open()

    def open(self, opens=time(8), closes=time(17), days=range(5)):
        week = {day: [(opens, closes)] if day in days else [] for day in range(7)}
        hours.set_week(self.member, week, at=AT)
        self.shop.refresh_from_db()

    def project(self, *steps, due_on=None, resin=None, **more):
        """A project whose block has steps of (kind, minutes); a kind with a ~ goes by itself."""
        project = ProjectFactory(shop=self.shop, due_on=due_on, state="under_way", **more)
        block = BlockFactory(shop=self.shop, project=project, resin=resin)
        for position, (kind, minutes) in enumerate(steps):
            StepFactory(
                shop=self.shop,
                block=block,
                position=position,
                kind=kind.strip("~"),
                title=f"{kind.strip('~')} {project.code}",
                minutes=minutes,
                mode="passive" if kind.startswith("~") else "hands_on",
            )
        return project

    def resin(self, **more):
        return ResinFactory(shop=self.shop, **more)

    def matter(self, at=AT):
        return gather(self.shop, at)

    def steps(self, project):
        return list(Step.objects.filter(project=project).order_by("position"))


def utc(day, hour, minute=0):
    """A moment of March 2026."""
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def change(step, **values):
    """A step with other values, as if somebody had told them."""
    Step.objects.filter(pk=step.pk).update(**values)


def clock(room, step, kind, due, closes):
    """A running clock of a step."""
    entry = LogEntry.objects.create(
        shop=room.shop, created_at=AT, created_by=room.member.user, project=step.project, step=step,
        member=room.member, kind="pour", happened_at=AT, raw_happened_at=AT, received_at=AT,
    )  # fmt: skip
    return Timer.objects.create(
        shop=room.shop, created_at=AT, created_by=room.member.user, entry=entry, step=step, kind=kind,
        started_at=utc(10, 6), due_at=due, closes_at=closes,
    )  # fmt: skip
