from django.db import migrations


def fill(apps, schema_editor):
    """Projects of before are found too, by the same words as new ones."""
    for project in apps.get_model("projects", "Project").objects.filter(search="").iterator():
        words = (project.code, project.title, project.customer)
        project.search = " ".join(words).casefold()[:400]
        project.save(update_fields=["search"])


class Migration(migrations.Migration):

    dependencies = [
        ('projects', '0003_project_search'),
    ]

    operations = [
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
