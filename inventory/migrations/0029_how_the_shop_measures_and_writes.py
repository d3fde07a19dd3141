from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('inventory', '0028_one_seat_for_all_its_names'),
    ]

    operations = [
        migrations.AddField(
            model_name='historicalshopfigures',
            name='currency',
            field=models.CharField(db_default='$', default='$', max_length=8),
        ),
        migrations.AddField(
            model_name='historicalshopfigures',
            name='currency_is_after',
            field=models.BooleanField(db_default=False, default=False),
        ),
        migrations.AddField(
            model_name='historicalshopfigures',
            name='currency_places',
            field=models.PositiveSmallIntegerField(db_default=2, default=2),
        ),
        migrations.AddField(
            model_name='historicalshopfigures',
            name='day_order',
            field=models.CharField(blank=True, db_default='', default='', max_length=5),
        ),
        migrations.AddField(
            model_name='historicalshopfigures',
            name='has_decimal_comma',
            field=models.BooleanField(db_default=False, default=False),
        ),
        migrations.AddField(
            model_name='historicalshopfigures',
            name='runout_unit',
            field=models.CharField(blank=True, db_default='', default='', max_length=4),
        ),
        migrations.AddField(
            model_name='historicalshopfigures',
            name='unit',
            field=models.CharField(blank=True, db_default='', default='', max_length=2),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='currency',
            field=models.CharField(db_default='$', default='$', max_length=8),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='currency_is_after',
            field=models.BooleanField(db_default=False, default=False),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='currency_places',
            field=models.PositiveSmallIntegerField(db_default=2, default=2),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='day_order',
            field=models.CharField(blank=True, db_default='', default='', max_length=5),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='has_decimal_comma',
            field=models.BooleanField(db_default=False, default=False),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='runout_unit',
            field=models.CharField(blank=True, db_default='', default='', max_length=4),
        ),
        migrations.AddField(
            model_name='shopfigures',
            name='unit',
            field=models.CharField(blank=True, db_default='', default='', max_length=2),
        ),
        migrations.AddField(
            model_name='user',
            name='runout_unit',
            field=models.CharField(blank=True, db_default='', default='', max_length=4),
        ),
        migrations.AddField(
            model_name='user',
            name='unit',
            field=models.CharField(blank=True, db_default='', default='', max_length=2),
        ),
        migrations.AddConstraint(
            model_name='shopfigures',
            constraint=models.CheckConstraint(condition=models.Q(('unit__in', ['', 'in', 'mm'])), name='inventory_shop_figures_unit_known'),
        ),
        migrations.AddConstraint(
            model_name='shopfigures',
            constraint=models.CheckConstraint(condition=models.Q(('runout_unit__in', ['', 'in', 'thou', 'mm', 'µm'])), name='inventory_shop_figures_runout_unit_known'),
        ),
        migrations.AddConstraint(
            model_name='shopfigures',
            constraint=models.CheckConstraint(condition=models.Q(('currency_places__in', (0, 2, 3))), name='inventory_shop_figures_currency_places_known'),
        ),
        migrations.AddConstraint(
            model_name='shopfigures',
            constraint=models.CheckConstraint(condition=models.Q(('day_order__in', ['', 'iso', 'd.m.y', 'd/m/y', 'm/d/y'])), name='inventory_shop_figures_day_order_known'),
        ),
        migrations.AddConstraint(
            model_name='user',
            constraint=models.CheckConstraint(condition=models.Q(('unit__in', ['', 'in', 'mm'])), name='inventory_user_unit_known'),
        ),
        migrations.AddConstraint(
            model_name='user',
            constraint=models.CheckConstraint(condition=models.Q(('runout_unit__in', ['', 'in', 'thou', 'mm', 'µm'])), name='inventory_user_runout_unit_known'),
        ),
    ]
