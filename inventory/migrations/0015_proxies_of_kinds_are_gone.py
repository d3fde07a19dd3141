from django.db import migrations


class Migration(migrations.Migration):
    """The tables stay: a proxy is known to the state only."""

    dependencies = [("inventory", "0014_pieces_found_in_the_index_alone")]

    operations = [
        migrations.DeleteModel(name="Center"),
        migrations.DeleteModel(name="Chuck"),
        migrations.DeleteModel(name="Collet"),
        migrations.DeleteModel(name="Cutter"),
        migrations.DeleteModel(name="Holder"),
    ]
