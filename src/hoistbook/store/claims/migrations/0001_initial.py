"""First table."""

import django.db.models.deletion
from django.db import migrations, models

from hoistbook.store.triggers import AppendOnly


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("changes", "0001_initial"),
        ("studies", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="ClaimState",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("claim", models.TextField()),
                ("record_change", models.BigIntegerField()),
                ("model_version", models.TextField()),
                ("state", models.TextField()),
                ("probability", models.FloatField(null=True)),
                ("fingerprint", models.TextField()),
                ("value", models.TextField()),
                (
                    "change",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="changes.change"
                    ),
                ),
                (
                    "study",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="studies.study",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("study", "claim", "change"), name="claims_one_in_a_change"
                    )
                ],
            },
        ),
        AppendOnly("claims_claimstate"),
    ]
