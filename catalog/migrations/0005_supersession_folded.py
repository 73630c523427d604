from django.db import migrations, models

from catalog.numbers import folded_form


def fold(apps, schema_editor):
    supersessions = apps.get_model("catalog", "Supersession").objects
    rows = list(supersessions.only("old", "new"))
    for row in rows:
        row.old_folded, row.new_folded = folded_form(row.old), folded_form(row.new)
    supersessions.bulk_update(rows, ["old_folded", "new_folded"], batch_size=2_000)


class Migration(migrations.Migration):
    dependencies = [("catalog", "0004_upload")]

    operations = [
        migrations.AddField(
            "supersession", "old_folded", models.CharField(db_index=True, default="", max_length=80), False
        ),
        migrations.AddField(
            "supersession", "new_folded", models.CharField(db_index=True, default="", max_length=80), False
        ),
        migrations.RunPython(fold, migrations.RunPython.noop),
    ]
