from django.db import migrations


def fill(apps, schema_editor):
    """Lots of before are found too, by the same words as new ones."""
    lots = apps.get_model("materials", "Lot").objects.select_related("resin", "species", "supply")
    parts = {"A": "part A", "B": "part B"}
    for lot in lots.filter(search="").iterator():
        target = lot.resin if lot.kind == "resin" else lot.supply or lot.species
        rest = (target.name, lot.code, parts.get(lot.part), lot.maker, lot.place, lot.came_from)
        lot.search = " ".join(part for part in rest if part).casefold()[:300]
        lot.save(update_fields=["search"])


class Migration(migrations.Migration):

    dependencies = [
        ('materials', '0003_lot_search'),
    ]

    operations = [
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
