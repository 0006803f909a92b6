"""First tables."""

from django.db import migrations, models

from hoistbook.store.triggers import AppendOnly


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Result",
            fields=[
                ("input_hash", models.TextField(primary_key=True, serialize=False)),
                ("kind", models.TextField()),
                ("subject", models.TextField()),
                ("model_version", models.TextField()),
                ("inputs", models.TextField()),
                ("value", models.TextField()),
                ("at", models.DateTimeField()),
                ("seconds", models.FloatField()),
            ],
            options={
                "indexes": [models.Index(fields=["subject", "kind"], name="result_of")],
            },
        ),
        AppendOnly("results_result", key="input_hash"),
    ]
