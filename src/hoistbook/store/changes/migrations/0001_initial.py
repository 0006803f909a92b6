"""First tables."""

import django.db.models.deletion
from django.db import migrations, models

from hoistbook.store.triggers import AppendOnly


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Change",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField()),
                ("person", models.TextField()),
                ("kind", models.TextField()),
                ("subject", models.TextField()),
                ("note", models.TextField()),
                ("file_name", models.TextField()),
                ("program_version", models.TextField()),
            ],
        ),
        migrations.CreateModel(
            name="File",
            fields=[
                ("sha256", models.TextField(primary_key=True, serialize=False)),
                ("name", models.TextField()),
                ("size_bytes", models.BigIntegerField()),
                ("at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Store",
            fields=[
                ("id", models.TextField(primary_key=True, serialize=False)),
                ("format", models.IntegerField()),
                ("at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Outcome",
            fields=[
                (
                    "change",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        primary_key=True,
                        serialize=False,
                        to="changes.change",
                    ),
                ),
                ("counts", models.JSONField()),
            ],
        ),
        migrations.AddField(
            model_name="change",
            name="file",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.PROTECT, related_name="+", to="changes.file"
            ),
        ),
        migrations.CreateModel(
            name="Order",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("table", models.TextField()),
                ("owner", models.TextField()),
                ("statement", models.TextField()),
                ("slots", models.TextField()),
                (
                    "change",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="changes.change"
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Vanished",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("table", models.TextField()),
                ("owner", models.TextField()),
                ("statement", models.TextField()),
                ("slot", models.TextField()),
                ("version", models.BigIntegerField()),
                ("event", models.TextField(choices=[("vanished", "vanished"), ("returned", "returned")])),
                (
                    "change",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="changes.change"
                    ),
                ),
            ],
        ),
        migrations.AddIndex(
            model_name="change",
            index=models.Index(fields=["subject"], name="change_subject"),
        ),
        migrations.AddIndex(
            model_name="order",
            index=models.Index(fields=["owner", "table", "statement"], name="order_of"),
        ),
        migrations.AddIndex(
            model_name="vanished",
            index=models.Index(fields=["owner", "table"], name="vanished_of"),
        ),
        AppendOnly("changes_store"),
        AppendOnly("changes_file", key="sha256"),
        AppendOnly("changes_change"),
        AppendOnly("changes_outcome", key="change_id"),
        AppendOnly("changes_order"),
        AppendOnly("changes_vanished"),
    ]
