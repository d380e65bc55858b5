"""The office of the first day: every table, and the rules that rows are only ever added."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Day, Flag, Instant, Key

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
REAL = sa.Double().with_variant(sa.REAL(), "sqlite")
LATE = {"ondelete": "RESTRICT", "initially": "DEFERRED", "deferrable": True}
"""Links are checked at commit, so that rows that belong together arrive in any order."""

APPEND_ONLY = ("change", "stock_movement", "sealed_revision", "attachment_bytes")
"""Rows of these are added and never changed or taken away; the database holds it."""

TABLES = (
    "attachment_bytes",
    "device",
    "change_set",
    "here",
    "change",
    "checklist_edition",
    "conflict",
    "customer",
    "part",
    "person",
    "premises",
    "shop",
    "appliance",
    "customer_email",
    "customer_phone",
    "premises_link",
    "visit",
    "acknowledgement",
    "attachment",
    "check_result",
    "part_used",
    "reading",
    "sealed_revision",
    "signature",
    "stock_movement",
    "fill",
    "reading_input",
)


def upgrade() -> None:
    op.create_table(
        "attachment_bytes",
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.CheckConstraint("length(content) <= 400000", name="ck_attachment_bytes_small_enough"),
        sa.PrimaryKeyConstraint("sha256", name="pk_attachment_bytes"),
        sqlite_strict=True,
    )
    op.create_table(
        "device",
        sa.Column("id", Key(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("prefix", sa.Text(), nullable=False),
        sa.Column("sets_made", WHOLE, nullable=False),
        sa.Column("visits_made", WHOLE, nullable=False),
        sa.Column("appliances_made", WHOLE, nullable=False),
        sa.CheckConstraint("kind IN ('office', 'laptop')", name="ck_device_kind"),
        sa.PrimaryKeyConstraint("id", name="pk_device"),
        sa.UniqueConstraint("prefix", name="uq_device_prefix"),
        sqlite_strict=True,
    )
    op.create_table(
        "change_set",
        sa.Column("id", Key(), nullable=False),
        sa.Column("device_id", Key(), nullable=False),
        sa.Column("number", WHOLE, nullable=False),
        sa.Column("person_id", Key(), nullable=True),
        sa.Column("at", Instant(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("deed", sa.Text(), nullable=False),
        sa.Column("undoes_id", Key(), nullable=True),
        sa.ForeignKeyConstraint(
            ["device_id"], ["device.id"], name="fk_change_set_device_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_change_set_person_id", **LATE, use_alter=True
        ),
        sa.ForeignKeyConstraint(
            ["undoes_id"], ["change_set.id"], name="fk_change_set_undoes_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_change_set"),
        sa.UniqueConstraint("device_id", "number", name="uq_change_set_device_id_number"),
        sqlite_strict=True,
    )
    op.create_table(
        "here",
        sa.Column("id", WHOLE, autoincrement=False, nullable=False),
        sa.Column("device_id", Key(), nullable=False),
        sa.CheckConstraint("id = 1", name="ck_here_only_one"),
        sa.ForeignKeyConstraint(["device_id"], ["device.id"], name="fk_here_device_id", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_here"),
        sqlite_strict=True,
    )
    op.create_table(
        "change",
        sa.Column("change_set_id", Key(), nullable=False),
        sa.Column("position", WHOLE, autoincrement=False, nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_id", Key(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["change_set_id"], ["change_set.id"], name="fk_change_change_set_id", **LATE
        ),
        sa.PrimaryKeyConstraint("change_set_id", "position", name="pk_change"),
        sqlite_strict=True,
    )
    op.create_index("ix_change_row", "change", ["row_id", "table_name"])

    op.create_table(
        "checklist_edition",
        sa.Column("id", Key(), nullable=False),
        sa.Column("checklist", sa.Text(), nullable=False),
        sa.Column("edition", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_checklist_edition_made_in", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_checklist_edition"),
        sa.UniqueConstraint("edition", name="uq_checklist_edition_edition"),
        sqlite_strict=True,
    )
    op.create_index("ix_checklist_edition_made_in", "checklist_edition", ["made_in"])

    op.create_table(
        "conflict",
        sa.Column("id", Key(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_id", Key(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.Column("base_value", sa.Text(), nullable=False),
        sa.Column("office_value", sa.Text(), nullable=False),
        sa.Column("laptop_value", sa.Text(), nullable=False),
        sa.Column("chosen", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("settled_in", Key(), nullable=True),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_conflict_made_in", **LATE),
        sa.ForeignKeyConstraint(
            ["settled_in"], ["change_set.id"], name="fk_conflict_settled_in", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_conflict"),
        sqlite_strict=True,
    )
    op.create_table(
        "customer",
        sa.Column("id", Key(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("folded", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("street", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("locality", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("region", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("postcode", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("country", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_customer_made_in", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_customer"),
        sqlite_strict=True,
    )
    op.create_index("ix_customer_folded", "customer", ["folded"])
    op.create_index("ix_customer_made_in", "customer", ["made_in"])

    op.create_table(
        "part",
        sa.Column("id", Key(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("price_cents", WHOLE, nullable=True),
        sa.Column("keep_at_least", WHOLE, nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_part_made_in", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_part"),
        sa.UniqueConstraint("number", name="uq_part_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_part_made_in", "part", ["made_in"])

    op.create_table(
        "person",
        sa.Column("id", Key(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("is_technician", Flag(), nullable=False),
        sa.Column("licence_class", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("licence_number", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("may_plumbing", Flag(), nullable=False),
        sa.Column("may_electrical", Flag(), nullable=False),
        sa.Column("may_gas", Flag(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_person_made_in", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sqlite_strict=True,
    )
    op.create_index("ix_person_made_in", "person", ["made_in"])

    op.create_table(
        "premises",
        sa.Column("id", Key(), nullable=False),
        sa.Column("access_note", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("supply_area", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("water_source", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("fuel", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("hardness_typed", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("hardness_kg_per_m3", REAL, nullable=True),
        sa.Column("altitude_m", REAL, nullable=True),
        sa.Column("street", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("locality", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("region", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("postcode", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("country", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_premises_made_in", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_premises"),
        sqlite_strict=True,
    )
    op.create_index("ix_premises_made_in", "premises", ["made_in"])

    op.create_table(
        "shop",
        sa.Column("id", Key(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("email", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("licence", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("system", sa.Text(), nullable=False),
        sa.Column("paper", sa.Text(), nullable=False),
        sa.Column("language", sa.Text(), nullable=False),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("street", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("locality", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("region", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("postcode", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("country", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint("paper IN ('letter', 'a4')", name="ck_shop_paper"),
        sa.CheckConstraint("system IN ('us', 'si')", name="ck_shop_system"),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_shop_made_in", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_shop"),
        sqlite_strict=True,
    )
    op.create_index("ix_shop_made_in", "shop", ["made_in"])

    op.create_table(
        "appliance",
        sa.Column("id", Key(), nullable=False),
        sa.Column("premises_id", Key(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("sensing_kind", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("model", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("serial", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("installed", Day(), nullable=True),
        sa.Column("warranty_until", Day(), nullable=True),
        sa.Column("rated_input_typed", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("rated_input_w", REAL, nullable=True),
        sa.Column("smallest_input_typed", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("smallest_input_w", REAL, nullable=True),
        sa.Column("activation_typed", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("activation_m3_per_s", REAL, nullable=True),
        sa.Column(
            "activation_accuracy_typed", sa.Text(), server_default=sa.text("''"), nullable=False
        ),
        sa.Column("activation_accuracy_m3_per_s", REAL, nullable=True),
        sa.Column("gas_kind", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("vent", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("rented_from", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("note", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("replaced_by_id", Key(), nullable=True),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('combination_boiler', 'instantaneous_heater', 'storage_heater', 'indirect_tank', 'other')",
            name="ck_appliance_kind",
        ),
        sa.CheckConstraint(
            "sensing_kind IN ('reed_float', 'turbine_hall', 'pressure_difference', 'tank_thermostat', 'vortex_ultrasonic', 'mechanical_valve', 'not_known')",
            name="ck_appliance_sensing_kind",
        ),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_appliance_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["premises_id"], ["premises.id"], name="fk_appliance_premises_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["replaced_by_id"], ["appliance.id"], name="fk_appliance_replaced_by_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_appliance"),
        sa.UniqueConstraint("number", name="uq_appliance_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_appliance_made_in", "appliance", ["made_in"])
    op.create_index("ix_appliance_model", "appliance", ["maker", "model"])
    op.create_index("ix_appliance_premises_id", "appliance", ["premises_id"])

    op.create_table(
        "customer_email",
        sa.Column("id", Key(), nullable=False),
        sa.Column("customer_id", Key(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("label", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name="fk_customer_email_customer_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_customer_email_made_in", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_customer_email"),
        sqlite_strict=True,
    )
    op.create_index("ix_customer_email_customer_id", "customer_email", ["customer_id"])
    op.create_index("ix_customer_email_made_in", "customer_email", ["made_in"])

    op.create_table(
        "customer_phone",
        sa.Column("id", Key(), nullable=False),
        sa.Column("customer_id", Key(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("e164", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("label", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name="fk_customer_phone_customer_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_customer_phone_made_in", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_customer_phone"),
        sqlite_strict=True,
    )
    op.create_index("ix_customer_phone_customer_id", "customer_phone", ["customer_id"])
    op.create_index("ix_customer_phone_e164", "customer_phone", ["e164"])
    op.create_index("ix_customer_phone_made_in", "customer_phone", ["made_in"])

    op.create_table(
        "premises_link",
        sa.Column("id", Key(), nullable=False),
        sa.Column("premises_id", Key(), nullable=False),
        sa.Column("customer_id", Key(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("since", Day(), nullable=True),
        sa.Column("until", Day(), nullable=True),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint("role IN ('owner', 'occupant', 'agent')", name="ck_premises_link_role"),
        sa.CheckConstraint(
            "until IS NULL OR since IS NULL OR until >= since", name="ck_premises_link_in_order"
        ),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name="fk_premises_link_customer_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_premises_link_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["premises_id"], ["premises.id"], name="fk_premises_link_premises_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_premises_link"),
        sqlite_strict=True,
    )
    op.create_index("ix_premises_link_customer_id", "premises_link", ["customer_id"])
    op.create_index("ix_premises_link_made_in", "premises_link", ["made_in"])
    op.create_index("ix_premises_link_premises_id", "premises_link", ["premises_id"])

    op.create_table(
        "visit",
        sa.Column("id", Key(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("customer_id", Key(), nullable=True),
        sa.Column("premises_id", Key(), nullable=True),
        sa.Column("appliance_id", Key(), nullable=True),
        sa.Column("technician_id", Key(), nullable=True),
        sa.Column("continues_id", Key(), nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("ending", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("caller_name", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("caller_phone", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("complaint", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("complaint_words", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("danger_reported", Flag(), nullable=False),
        sa.Column("received_at", Instant(), nullable=False),
        sa.Column("booked_for", Instant(), nullable=True),
        sa.Column("booked_minutes", WHOLE, nullable=True),
        sa.Column("started_at", Instant(), nullable=True),
        sa.Column("finished_at", Instant(), nullable=True),
        sa.Column("called_off_reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("checklist", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("edition_id", Key(), nullable=True),
        sa.Column("allowed_by", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("cause", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("cause_words", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("second_cause", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("second_cause_words", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("work_done", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("advice", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("advice_refused", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("next_step", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("referred_to", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("left_state", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("permit", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("internal_note", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("sealed_revision", WHOLE, nullable=False),
        sa.Column("amendment_reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint(
            "(state IN ('finished', 'sealed')) = (ending <> '')",
            name="ck_visit_finished_has_an_ending",
        ),
        sa.CheckConstraint(
            "ending IN ('', 'mended', 'to_continue', 'no_fault_found', 'referred', 'left')",
            name="ck_visit_ending",
        ),
        sa.CheckConstraint("left_state IN ('', 'on', 'off', 'tagged')", name="ck_visit_left_state"),
        sa.CheckConstraint(
            "state IN ('new_call', 'booked', 'under_way', 'finished', 'sealed', 'called_off')",
            name="ck_visit_state",
        ),
        sa.CheckConstraint(
            "finished_at IS NULL OR started_at IS NULL OR finished_at >= started_at",
            name="ck_visit_in_order",
        ),
        sa.ForeignKeyConstraint(
            ["appliance_id"], ["appliance.id"], name="fk_visit_appliance_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["continues_id"], ["visit.id"], name="fk_visit_continues_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name="fk_visit_customer_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["edition_id"], ["checklist_edition.id"], name="fk_visit_edition_id", **LATE
        ),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_visit_made_in", **LATE),
        sa.ForeignKeyConstraint(
            ["premises_id"], ["premises.id"], name="fk_visit_premises_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["technician_id"], ["person.id"], name="fk_visit_technician_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_visit"),
        sa.UniqueConstraint("number", name="uq_visit_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_visit_appliance_received", "visit", ["appliance_id", "received_at"])
    op.create_index("ix_visit_booked_for", "visit", ["booked_for"])
    op.create_index("ix_visit_continues_id", "visit", ["continues_id"])
    op.create_index("ix_visit_customer_id", "visit", ["customer_id"])
    op.create_index("ix_visit_made_in", "visit", ["made_in"])
    op.create_index("ix_visit_premises_id", "visit", ["premises_id"])
    op.create_index("ix_visit_state", "visit", ["state"])

    op.create_table(
        "acknowledgement",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("caution", sa.Text(), nullable=False),
        sa.Column("person_id", Key(), nullable=True),
        sa.Column("at", Instant(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_acknowledgement_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_acknowledgement_person_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["visit_id"], ["visit.id"], name="fk_acknowledgement_visit_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_acknowledgement"),
        sqlite_strict=True,
    )
    op.create_index("ix_acknowledgement_made_in", "acknowledgement", ["made_in"])
    op.create_index("ix_acknowledgement_visit_id", "acknowledgement", ["visit_id"])

    op.create_table(
        "attachment",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("check_id", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("caption", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_attachment_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["sha256"], ["attachment_bytes.sha256"], name="fk_attachment_sha256", **LATE
        ),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"], name="fk_attachment_visit_id", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_attachment"),
        sqlite_strict=True,
    )
    op.create_index("ix_attachment_made_in", "attachment", ["made_in"])
    op.create_index("ix_attachment_visit_id", "attachment", ["visit_id"])

    op.create_table(
        "check_result",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("check_id", sa.Text(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("note", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("by_suggestion", Flag(), nullable=False),
        sa.Column("superseded", Flag(), nullable=False),
        sa.Column("answered_at", Instant(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_check_result_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["visit_id"], ["visit.id"], name="fk_check_result_visit_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_check_result"),
        sqlite_strict=True,
    )
    op.create_index("ix_check_result_made_in", "check_result", ["made_in"])
    op.create_index("ix_check_result_visit", "check_result", ["visit_id", "check_id"])

    op.create_table(
        "part_used",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("part_id", Key(), nullable=True),
        sa.Column("number", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("name", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("pieces", WHOLE, nullable=False),
        sa.Column("old_serial", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("new_serial", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("kept_for_claim", Flag(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint("pieces > 0", name="ck_part_used_some"),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_part_used_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name="fk_part_used_part_id", **LATE),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"], name="fk_part_used_visit_id", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_part_used"),
        sqlite_strict=True,
    )
    op.create_index("ix_part_used_made_in", "part_used", ["made_in"])
    op.create_index("ix_part_used_part_id", "part_used", ["part_id"])
    op.create_index("ix_part_used_visit_id", "part_used", ["visit_id"])

    op.create_table(
        "reading",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("moment", sa.Text(), nullable=False),
        sa.Column("check_id", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("outlet", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("method", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("typed", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("unit", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("si_value", REAL, nullable=True),
        sa.Column("standard_uncertainty_si", REAL, nullable=True),
        sa.Column("full_hot", Flag(), nullable=True),
        sa.Column("no_mixing_valve", Flag(), nullable=True),
        sa.Column("crossing_passed", Flag(), nullable=True),
        sa.Column("others_shut", Flag(), nullable=True),
        sa.Column("vouched", Flag(), nullable=True),
        sa.Column("instrument", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("calibrated_until", Day(), nullable=True),
        sa.Column("note", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("taken_at", Instant(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint("moment IN ('found', 'left')", name="ck_reading_moment"),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_reading_made_in", **LATE),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"], name="fk_reading_visit_id", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_reading"),
        sqlite_strict=True,
    )
    op.create_index("ix_reading_made_in", "reading", ["made_in"])
    op.create_index("ix_reading_visit_id", "reading", ["visit_id"])

    op.create_table(
        "sealed_revision",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("revision", WHOLE, nullable=False),
        sa.Column("reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("snapshot", sa.LargeBinary(), nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("sealed_at", Instant(), nullable=False),
        sa.Column("sealed_by_id", Key(), nullable=True),
        sa.Column("made_in", Key(), nullable=False),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_sealed_revision_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["sealed_by_id"], ["person.id"], name="fk_sealed_revision_sealed_by_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["visit_id"], ["visit.id"], name="fk_sealed_revision_visit_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_sealed_revision"),
        sa.UniqueConstraint("visit_id", "revision", name="uq_sealed_revision_visit_id_revision"),
        sqlite_strict=True,
    )
    op.create_index("ix_sealed_revision_made_in", "sealed_revision", ["made_in"])

    op.create_table(
        "signature",
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        sa.Column("name", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("absent_reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=True),
        sa.Column("signed_at", Instant(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_signature_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["sha256"], ["attachment_bytes.sha256"], name="fk_signature_sha256", **LATE
        ),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"], name="fk_signature_visit_id", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_signature"),
        sqlite_strict=True,
    )
    op.create_index("ix_signature_made_in", "signature", ["made_in"])
    op.create_index("ix_signature_visit_id", "signature", ["visit_id"])

    op.create_table(
        "stock_movement",
        sa.Column("id", Key(), nullable=False),
        sa.Column("part_id", Key(), nullable=False),
        sa.Column("van_of_id", Key(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("pieces", WHOLE, nullable=False),
        sa.Column("visit_id", Key(), nullable=True),
        sa.Column("at", Instant(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('received', 'moved', 'used', 'counted', 'returned')",
            name="ck_stock_movement_kind",
        ),
        sa.CheckConstraint("pieces <> 0", name="ck_stock_movement_moves_something"),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_stock_movement_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name="fk_stock_movement_part_id", **LATE),
        sa.ForeignKeyConstraint(
            ["van_of_id"], ["person.id"], name="fk_stock_movement_van_of_id", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["visit_id"], ["visit.id"], name="fk_stock_movement_visit_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_stock_movement"),
        sqlite_strict=True,
    )
    op.create_index("ix_stock_movement_made_in", "stock_movement", ["made_in"])
    op.create_index("ix_stock_movement_part_id", "stock_movement", ["part_id"])

    op.create_table(
        "fill",
        sa.Column("id", Key(), nullable=False),
        sa.Column("reading_id", Key(), nullable=False),
        sa.Column("number", WHOLE, nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("seconds", REAL, nullable=False),
        sa.Column("mass_typed", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("mass_kg", REAL, nullable=True),
        sa.Column("struck", Flag(), nullable=False),
        sa.Column("struck_reason", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint("seconds > 0", name="ck_fill_takes_time"),
        sa.ForeignKeyConstraint(["made_in"], ["change_set.id"], name="fk_fill_made_in", **LATE),
        sa.ForeignKeyConstraint(["reading_id"], ["reading.id"], name="fk_fill_reading_id", **LATE),
        sa.PrimaryKeyConstraint("id", name="pk_fill"),
        sa.UniqueConstraint("reading_id", "number", name="uq_fill_reading_id_number"),
        sqlite_strict=True,
    )
    op.create_index("ix_fill_made_in", "fill", ["made_in"])

    op.create_table(
        "reading_input",
        sa.Column("id", Key(), nullable=False),
        sa.Column("reading_id", Key(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("si_value", REAL, nullable=True),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name="fk_reading_input_made_in", **LATE
        ),
        sa.ForeignKeyConstraint(
            ["reading_id"], ["reading.id"], name="fk_reading_input_reading_id", **LATE
        ),
        sa.PrimaryKeyConstraint("id", name="pk_reading_input"),
        sqlite_strict=True,
    )
    op.create_index("ix_reading_input_made_in", "reading_input", ["made_in"])
    op.create_index("ix_reading_input_reading", "reading_input", ["reading_id", "name"])
    if op.get_bind().dialect.name == "postgresql":
        op.create_foreign_key(
            "fk_change_set_person_id", "change_set", "person", ["person_id"], ["id"], **LATE
        )
        _forbid_on_postgresql()
    else:
        _forbid_on_sqlite()


def _forbid_on_sqlite() -> None:
    for table in APPEND_ONLY:
        for act in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
            )


def _forbid_on_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END $$"
    )
    for table in APPEND_ONLY:
        op.execute(
            f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION append_only()"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == "postgresql":
        op.drop_constraint("fk_change_set_person_id", "change_set")
    for table in reversed(TABLES):
        op.drop_table(table)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION append_only()")
