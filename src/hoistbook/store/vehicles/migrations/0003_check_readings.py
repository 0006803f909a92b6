"""What was read at a vehicle for checks."""

import django.db.models.deletion
from django.db import migrations, models

from hoistbook.store.triggers import versioned


class Migration(migrations.Migration):
    dependencies = [
        ("changes", "0001_initial"),
        ("vehicles", "0002_routes"),
    ]

    operations = [
        migrations.CreateModel(
            name="CheckReading",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("unit", models.TextField()),
                ("origin", models.TextField()),
                ("terms", models.TextField()),
                ("value", models.FloatField(null=True)),
                ("of_check", models.TextField()),
                ("reading", models.TextField()),
                ("item", models.TextField()),
                ("option", models.TextField()),
                ("instrument", models.TextField()),
                ("evidence", models.TextField()),
                ("note", models.TextField()),
                (
                    "change",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="changes.change",
                    ),
                ),
                (
                    "owner",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="vehicles.vehicle",
                    ),
                ),
                (
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.checkreading",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_ch_owner_i_971183_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_ch_owner_i_2676ce_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_checkreading_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_checkreading_retired_was",
                    ),
                ],
            },
        ),
        *versioned("vehicles_checkreading"),
    ]
