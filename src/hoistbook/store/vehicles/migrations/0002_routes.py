"""How parts were made, and why they are parts of their own."""

import django.db.models.deletion
from django.db import migrations, models

from hoistbook.store.triggers import versioned


class Migration(migrations.Migration):
    dependencies = [
        ("changes", "0001_initial"),
        ("vehicles", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="Reason",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("tag", models.TextField()),
                ("kind", models.TextField()),
                ("text", models.TextField()),
                ("policy", models.TextField()),
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
                        to="vehicles.reason",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_re_owner_i_37bafa_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_re_owner_i_c0aa5c_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_reason_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_reason_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="RouteStep",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("tag", models.TextField()),
                ("number", models.BigIntegerField()),
                ("process", models.TextField()),
                ("options", models.TextField()),
                ("material", models.TextField()),
                ("seen", models.TextField()),
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
                        to="vehicles.routestep",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_ro_owner_i_a3fdda_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_ro_owner_i_dba7d4_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_routestep_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_routestep_retired_was",
                    ),
                ],
            },
        ),
        *versioned("vehicles_reason", "vehicles_routestep"),
    ]
