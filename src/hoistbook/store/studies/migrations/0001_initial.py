"""First tables."""

import django.db.models.deletion
from django.db import migrations, models

from hoistbook.store.triggers import AppendOnly, versioned


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("changes", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="Study",
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
            name="StudyRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("sheet", models.TextField()),
                ("data", models.TextField()),
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
                        to="studies.study",
                    ),
                ),
                (
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="studies.studyrow",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="studies_stu_owner_i_e4b4a6_idx"),
                    models.Index(fields=["owner", "slot"], name="studies_stu_owner_i_7ea907_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="studies_studyrow_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="studies_studyrow_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="StudyVersion",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("number", models.BigIntegerField()),
                ("frozen", models.TextField()),
                ("differences", models.TextField()),
                (
                    "change",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="changes.change"
                    ),
                ),
                (
                    "study",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="studies.study"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("study", "number"), name="studies_one_of_a_number")
                ],
            },
        ),
        AppendOnly("studies_study", key="code"),
        AppendOnly("studies_studyversion"),
        *versioned("studies_studyrow"),
    ]
