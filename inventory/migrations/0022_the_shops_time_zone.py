from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ('inventory', '0021_minutes_of_centers_in_two'),
    ]

    operations = [
        migrations.AddField(
            model_name=model,
            name='time_zone',
            field=models.CharField(blank=True, db_default='', default='', max_length=64),
        )
        for model in ('shopfigures', 'historicalshopfigures')
    ]
