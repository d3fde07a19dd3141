from django.db import migrations
from django.db.models import F


def old_sheets_are_frozen(apps, schema_editor):
    """Until now a sheet never changed from the moment it was made: those that stand go on as they are."""
    sheets = apps.get_model('inventory', 'SetupSheet').objects
    sheets.filter(frozen_at=None).update(frozen_at=F('made_at'), frozen_by=F('made_by'))
    for sheet in sheets.filter(stock=''):
        sheet.stock = next((value for words, value in sheet.numbers if words == 'Stock'), '')[:200]
        sheet.save(update_fields=['stock'])


class Migration(migrations.Migration):

    dependencies = [
        ('inventory', '0032_setup_sheets_in_full_and_tools_in_holders'),
    ]

    operations = [
        migrations.RunPython(old_sheets_are_frozen, migrations.RunPython.noop),
    ]
