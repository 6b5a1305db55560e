from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('ledger', '0003_who_did_it'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='entry',
            index=models.Index(fields=['verb', 'happened_at'], name='ledger_entry_by_time'),
        ),
    ]
