"""How the demo's shop came to be: its people, hours, machines and what it buys again and again."""

from materials import actions as shelf
from materials.models import Species
from projects.demo.story import shelf as shelf_story
from projects.demo.story import shop as story
from workshop import actions
from workshop.changes import absences, hours, machines, people
from workshop.models import Shop, User


def found(world, password):
    """The shop and its owner, its settings, hours and machines. `password` gives each person theirs."""
    owner = story.PEOPLE[0]
    at = world.diary.at(owner.weeks, 0, "9:00")
    zone = str(world.diary.tz)
    user = user_of(owner, password)
    member = actions.found_shop(user=user, shop_name=story.NAME, zone=zone, at=at)
    Shop.objects.filter(pk=member.shop_id).update(is_demo=True)
    member.shop.refresh_from_db()
    world.people["tove"] = member
    actions.change_shop(member, story.SETTINGS, at=world.diary.at(owner.weeks, 0, "9:10"))
    hours.set_week(member, story.WEEK, at=world.diary.at(owner.weeks, 0, "9:20"))
    world.woods = {
        word: Species.objects.of(member.shop).get(name=name) for word, name in shelf_story.WOODS.items()
    }
    for person in story.PEOPLE[1:]:
        world.lines.begin(comes_in(world, person, password))
    world.lines.begin(sets_up(world))
    world.lines.begin(keeps_hours(world))
    world.lines.begin(goes_away(world))


def user_of(person, password):
    """The account of somebody; in a second demo they come back with a new password."""
    user = User.objects.filter(email=person.email).first()
    if user is None:
        return User.objects.create_user(person.email, password(person), person.name)
    user.set_password(password(person))
    user.save(update_fields=["password"])
    return user


def comes_in(world, person, password):
    """Somebody is asked in, and comes."""
    yield world.diary.at(person.weeks, 1, "10:00")
    at, owner = world.diary.at(person.weeks, 1, "10:00"), world.people["tove"]
    link = people.invite(owner, key=world.key(), role=person.role, for_whom=person.name, at=at)
    yield world.diary.at(person.weeks, 1, "10:40")
    at = world.diary.at(person.weeks, 1, "10:40")
    world.people[person.word] = people.join(user_of(person, password), link, at=at)


def sets_up(world):
    """Machines, and the one that was given back."""
    at = world.diary.at(105, 1, "8:30")
    yield at
    owner = world.people["tove"]
    for word, (kind, figures) in story.MACHINES.items():
        world.machines[word] = machines.add(owner, kind, figures, at=at)
    name, figures, gone = story.RETIRED
    loan = machines.add(owner, "saw", {"name": name, **figures}, at=at)
    at = world.diary.at(gone, 2, "17:00")
    yield at
    machines.retire(owner, loan, retired=True, at=at)


def keeps_hours(world):
    """Days that differ are set a fortnight before, the ones to come lately."""
    for (weeks, weekday), (note, stretches) in sorted(story.DAYS.items(), reverse=True):
        at = world.diary.at(max(weeks + 2, 1), 0, "8:15" if weekday < 3 else "8:16")
        yield at
        day = world.diary.date(weeks, weekday)
        hours.set_day(world.people["tove"], day, stretches, at=at, note=note)


def goes_away(world):
    """Days away are entered by whose they are, two weeks before or lately."""
    for who, first, last, note in story.AWAY:
        at = world.diary.at(max(first + 2, 1), 0, "8:20")
        yield at
        member, days = world.people[who], (world.diary.date(first, 0), world.diary.date(last, 4))
        absences.enter(member, member, *days, at=at, note=note)


def lists_products(world):
    """Data sheets and supplies are written down in the first week."""
    owner, at = world.people["tove"], world.diary.at(105, 2, "9:00")
    for word, sheet in shelf_story.RESINS.items():
        world.resins[word] = shelf.add_resin(owner, sheet, at=at)
    for word, label in shelf_story.SUPPLIES.items():
        common = shelf_story.DISCS if label["kind"] == "abrasive" else {}
        world.supplies[word] = shelf.add_supply(owner, {**common, **label}, at=at)
