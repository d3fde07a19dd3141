"""What a shop's own minutes said of work between centers becomes two steps: the holes, once, and the dog, each time."""

from django.db import migrations

WHOLE, HOLES, DOG = "between centers", "two centers drilled", "dog on and off"
HUNDREDTHS_OF_THE_DOG = 100
"""Common practice: a minute. Of a whole that is too short for it, the dog gets half."""


def in_two(apps, schema_editor):
    minutes = apps.get_model("inventory", "WorkingMinutes").objects.using(schema_editor.connection.alias)
    for row in minutes.filter(step=WHOLE, hundredths__gt=1):
        dog = min(HUNDREDTHS_OF_THE_DOG, row.hundredths // 2)
        for step, hundredths in ((HOLES, row.hundredths - dog), (DOG, dog)):
            minutes.get_or_create(step=step, defaults={"hundredths": hundredths, "changed_by": row.changed_by})
    minutes.filter(step=WHOLE).delete()


def in_one(apps, schema_editor):
    minutes = apps.get_model("inventory", "WorkingMinutes").objects.using(schema_editor.connection.alias)
    of = {row.step: row for row in minutes.filter(step__in=[HOLES, DOG])}
    if HOLES in of and DOG in of:
        whole = min(of[HOLES].hundredths + of[DOG].hundredths, 60_000)
        minutes.create(step=WHOLE, hundredths=whole, changed_by=of[HOLES].changed_by)
    minutes.filter(step__in=[HOLES, DOG]).delete()


class Migration(migrations.Migration):

    dependencies = [
        ("inventory", "0020_travels_of_a_lathe_and_slots_of_a_plate"),
    ]

    operations = [
        migrations.RunPython(in_two, in_one),
    ]
