from django.db import migrations

from inventory.reference.codes import spelling_key

SEATS_OF = {
    'Tool': ('mounts_in', 'offers'),
    'Lathe': ('nose', 'headstock_taper', 'tailstock_taper', 'post'),
    'Series': ('seat',),
}
WRITTEN_IN = {'Tool': ('fits',), 'Want': ('mount', 'takes')}


def one_seat_for_all_its_names(apps, schema_editor):
    """`MK4` and `Morse 4` were seats of their own where a shop wrote them so: all that names them is at the MT4 now.

    The seat of the tables stays, else the oldest. Its history goes with a piece: it was that seat all along.
    """
    of_key = {}
    for seat in apps.get_model('inventory', 'Seat').objects.order_by('pk'):
        of_key.setdefault(spelling_key(seat.code), []).append(seat)
    for key, seats in of_key.items():
        stays = next((seat for seat in seats if seat.code == key), seats[0])
        for seat in seats:
            if seat.pk != stays.pk:
                _merge(apps, seat, stays)


def _merge(apps, seat, stays):
    for name, columns in SEATS_OF.items():
        histories = [] if name == 'Series' else [f'Historical{name}']
        for model in (name, *histories):
            rows = apps.get_model('inventory', model).objects
            for column in columns:
                rows.filter(**{f'{column}_id': seat.pk}).update(**{f'{column}_id': stays.pk})
    for name, columns in WRITTEN_IN.items():
        for column in columns:
            for row in apps.get_model('inventory', name).objects.filter(**{f'{column}__icontains': seat.code}):
                names = [part.strip() for part in getattr(row, column).split(',')]
                names = [stays.code if part.upper() == seat.code.upper() else part for part in names]
                setattr(row, column, ', '.join(dict.fromkeys(names)))
                row.save(update_fields=[column])
    seat.delete()


class Migration(migrations.Migration):

    dependencies = [
        ('inventory', '0027_series_and_seats_of_the_shops_own'),
    ]

    operations = [
        migrations.RunPython(one_seat_for_all_its_names, migrations.RunPython.noop),
    ]
