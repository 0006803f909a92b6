"""First tables."""

import django.db.models.deletion
from django.db import migrations, models

from hoistbook.store.triggers import AppendOnly, versioned


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("changes", "0001_initial"),
        ("vehicles", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="MapName",
            fields=[
                ("code", models.TextField(primary_key=True, serialize=False)),
                (
                    "change",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="changes.change"
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="ChannelMap",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("mapping", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="trials.channelmap",
                    ),
                ),
                (
                    "owner",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="trials.mapname",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="trials_chan_owner_i_e955fb_idx"),
                    models.Index(fields=["owner", "slot"], name="trials_chan_owner_i_80ce19_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="trials_channelmap_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="trials_channelmap_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="TrialRun",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("configuration", models.TextField()),
                ("kind", models.TextField()),
                ("at", models.TextField()),
                ("file_name", models.TextField()),
                ("file_sha256", models.TextField()),
                ("channels", models.TextField()),
                ("outcome", models.TextField()),
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
                        to="trials.trialrun",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="trials_tria_owner_i_cc90cb_idx"),
                    models.Index(fields=["owner", "slot"], name="trials_tria_owner_i_d883ad_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="trials_trialrun_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="trials_trialrun_retired_was",
                    ),
                ],
            },
        ),
        AppendOnly("trials_mapname", key="code"),
        *versioned("trials_channelmap", "trials_trialrun"),
    ]
