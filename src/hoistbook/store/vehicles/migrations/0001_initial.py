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
            name="Vehicle",
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
            name="ShareSet",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("shares", models.TextField()),
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
                        to="vehicles.shareset",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_sh_owner_i_dd447e_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_sh_owner_i_11c08b_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_shareset_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_shareset_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Remarks",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("sentences", models.TextField()),
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
                        to="vehicles.remarks",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_re_owner_i_8b001f_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_re_owner_i_c0fa39_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_remarks_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_remarks_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OwnColumn",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("sheet", models.TextField()),
                ("column", models.TextField()),
                ("cells", models.TextField()),
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
                        to="vehicles.owncolumn",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_ow_owner_i_c16cb7_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_ow_owner_i_ccf851_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_owncolumn_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_owncolumn_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Node",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("parent", models.TextField(null=True)),
                ("name", models.TextField()),
                ("kind", models.TextField()),
                ("count", models.FloatField()),
                ("system", models.TextField()),
                ("function", models.TextField()),
                ("side", models.TextField()),
                ("material", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.node",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_no_owner_i_e059bf_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_no_owner_i_9aa0b5_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_node_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_node_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Measurement",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("value", models.FloatField()),
                ("unit", models.TextField()),
                ("origin", models.TextField()),
                ("terms", models.TextField()),
                ("subject", models.TextField()),
                ("quantity", models.TextField()),
                ("subject_kind", models.TextField()),
                ("pieces", models.FloatField()),
                ("scope", models.TextField()),
                ("replicate", models.BigIntegerField()),
                ("method", models.TextField()),
                ("instrument", models.TextField()),
                ("person", models.TextField()),
                ("at", models.TextField()),
                ("evidence", models.TextField()),
                ("covers", models.TextField()),
                ("corrects", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.measurement",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_me_owner_i_de79c4_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_me_owner_i_7095e4_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_measurement_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_measurement_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Joint",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("parts", models.TextField()),
                ("process", models.TextField()),
                ("fastener", models.TextField()),
                ("fastener_count", models.BigIntegerField()),
                ("drive", models.TextField()),
                ("access", models.TextField()),
                ("removable", models.BooleanField(null=True)),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.joint",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_jo_owner_i_50b8b2_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_jo_owner_i_42ce8e_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_joint_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_joint_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Instrument",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("kind", models.TextField()),
                ("unit", models.TextField()),
                ("accuracy_class", models.TextField()),
                ("step_si", models.FloatField(null=True)),
                ("capacity_si", models.FloatField(null=True)),
                ("limit_si", models.FloatField(null=True)),
                ("limit_frac", models.FloatField(null=True)),
                ("certificate_expanded_si", models.FloatField(null=True)),
                ("certificate_factor", models.FloatField()),
                ("certificate_dof", models.FloatField(null=True)),
                ("repeatability_si", models.FloatField(null=True)),
                ("minimum_si", models.FloatField(null=True)),
                ("in_service_factor", models.FloatField()),
                ("calibrated", models.TextField()),
                ("due", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.instrument",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_in_owner_i_c64db8_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_in_owner_i_0a449d_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_instrument_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_instrument_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Identity",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("name", models.TextField()),
                ("maker", models.TextField()),
                ("family", models.TextField()),
                ("model_year", models.BigIntegerField(null=True)),
                ("vin", models.TextField()),
                ("delivered", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.identity",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_id_owner_i_00a6d9_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_id_owner_i_254171_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_identity_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_identity_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Function",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("name", models.TextField()),
                ("parent", models.TextField()),
                ("aliases", models.TextField()),
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
                        to="vehicles.function",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_fu_owner_i_ec9567_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_fu_owner_i_8b0fee_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_function_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_function_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Fact",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("value", models.FloatField()),
                ("unit", models.TextField()),
                ("origin", models.TextField()),
                ("terms", models.TextField()),
                ("configuration", models.TextField()),
                ("quantity", models.TextField()),
                ("mass_state", models.TextField()),
                ("duty", models.TextField()),
                ("basis", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.fact",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_fa_owner_i_96e0b5_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_fa_owner_i_387395_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_fact_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_fact_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Effect",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("value", models.FloatField()),
                ("unit", models.TextField()),
                ("origin", models.TextField()),
                ("terms", models.TextField()),
                ("function", models.TextField()),
                ("quantity", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.effect",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_ef_owner_i_57b211_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_ef_owner_i_12b444_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_effect_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_effect_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ContentItem",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("value", models.FloatField()),
                ("unit", models.TextField()),
                ("origin", models.TextField()),
                ("terms", models.TextField()),
                ("item", models.TextField()),
                ("description", models.TextField()),
                ("rule", models.TextField()),
                ("quantity", models.TextField()),
                ("function", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.contentitem",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_co_owner_i_269b80_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_co_owner_i_88cc34_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_contentitem_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_contentitem_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Configuration",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("wheels", models.TextField()),
                ("options", models.TextField()),
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
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="vehicles.configuration",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_co_owner_i_53f2c0_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_co_owner_i_1b14b1_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_configuration_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_configuration_retired_was",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Approach",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("slot", models.TextField()),
                ("statement", models.TextField()),
                ("retired", models.BooleanField(default=False)),
                ("configuration", models.TextField()),
                ("function", models.TextField()),
                ("present", models.BooleanField()),
                ("description", models.TextField()),
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
                        to="vehicles.approach",
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
            ],
            options={
                "abstract": False,
                "indexes": [
                    models.Index(fields=["owner", "change"], name="vehicles_ap_owner_i_058123_idx"),
                    models.Index(fields=["owner", "slot"], name="vehicles_ap_owner_i_4534a3_idx"),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("supersedes__isnull", True)),
                        fields=("owner", "statement", "slot"),
                        name="vehicles_approach_one_root",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("retired", False), ("supersedes__isnull", False), _connector="OR"
                        ),
                        name="vehicles_approach_retired_was",
                    ),
                ],
            },
        ),
        AppendOnly("vehicles_vehicle", key="code"),
        *versioned(
            "vehicles_identity",
            "vehicles_configuration",
            "vehicles_instrument",
            "vehicles_function",
            "vehicles_fact",
            "vehicles_node",
            "vehicles_joint",
            "vehicles_measurement",
            "vehicles_approach",
            "vehicles_shareset",
            "vehicles_contentitem",
            "vehicles_effect",
            "vehicles_owncolumn",
            "vehicles_remarks",
        ),
    ]
