"""Cars with the versions of their assessments, identities apart, photos, outcomes, recalls; publications with disputes
and seal keys; webhooks with an outbox; the price feed; accounts for trials; sessions of browsers.

Every assessment that was kept before becomes the first version of a car of its own.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "m0004"
down_revision = "m0003"
branch_labels = None
depends_on = None

_DOCUMENT = sa.table("document", sa.column("name", sa.String))


def upgrade() -> None:
    op.add_column("account", sa.Column("trial", sa.Boolean, nullable=False, server_default=sa.false()))
    with op.batch_alter_table("written") as written:
        written.drop_constraint("fk_written_assessment_id_assessment", type_="foreignkey")
        written.alter_column("assessment_id", new_column_name="made_id")
    for old, new in (("report.pdf", "report.en.pdf"), ("watch.ics", "watch.en.ics")):
        op.execute(_DOCUMENT.update().where(_DOCUMENT.c.name == old).values(name=new))
    _assessments()
    _publications()
    _sessions()
    _events()
    op.execute(
        "INSERT INTO car (id, account_id, created_at) SELECT a.id, b.account_id, a.created_at "
        "FROM assessment a JOIN belonging b ON b.assessment_id = a.id"
    )
    op.execute(
        "INSERT INTO version (assessment_id, car_id, number, origin, trial) "
        "SELECT assessment_id, assessment_id, 1, 'new', FALSE FROM belonging"
    )


def _assessments() -> None:
    op.create_table(
        "recall",
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("recalled_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_recall"),
        sa.ForeignKeyConstraint(["digest"], ["knowledge.digest"], name="fk_recall_digest_knowledge"),
    )
    op.create_table(
        "car",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_car"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_car_account_id_account"),
    )
    op.create_index("ix_car_account_id", "car", ["account_id"])
    op.create_table(
        "car_mark",
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("car_id", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("account_id", "digest", name="pk_car_mark"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_car_mark_account_id_account"),
        sa.ForeignKeyConstraint(["car_id"], ["car.id"], name="fk_car_mark_car_id_car"),
    )
    op.create_index("ix_car_mark_car_id", "car_mark", ["car_id"])
    op.create_table(
        "setting",
        sa.Column("name", sa.String(50), nullable=False),
        sa.Column("value", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_setting"),
    )
    op.create_table(
        "version",
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.Column("car_id", sa.String(32), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("previous_id", sa.String(32), nullable=True),
        sa.Column("origin", sa.String(20), nullable=False),
        sa.Column("trial", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("assessment_id", name="pk_version"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_version_assessment_id_assessment"),
        sa.ForeignKeyConstraint(["car_id"], ["car.id"], name="fk_version_car_id_car"),
        sa.ForeignKeyConstraint(["previous_id"], ["assessment.id"], name="fk_version_previous_id_assessment"),
        sa.UniqueConstraint("car_id", "number", name="uq_version_car_id"),
    )
    op.create_index("ix_version_previous_id", "version", ["previous_id"])
    op.create_table(
        "identity",
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.Column("salt", sa.LargeBinary, nullable=True),
        sa.Column("content", sa.LargeBinary, nullable=True),
        sa.Column("erased_at", sa.DateTime, nullable=True),
        sa.PrimaryKeyConstraint("assessment_id", name="pk_identity"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_identity_assessment_id_assessment"),
    )
    op.create_table(
        "photo",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=True),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("erased_at", sa.DateTime, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_photo"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_photo_account_id_account"),
    )
    op.create_index("ix_photo_account_id", "photo", ["account_id"])
    op.create_table(
        "outcome",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_outcome"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_outcome_assessment_id_assessment"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_outcome_account_id_account"),
    )
    op.create_index("ix_outcome_assessment_id", "outcome", ["assessment_id"])
    op.create_index("ix_outcome_created_at", "outcome", ["created_at"])


def _publications() -> None:
    op.create_table(
        "publication",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("token", sa.String(43), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("car_id", sa.String(32), nullable=False),
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.Column("looked_by", sa.String(20), nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("photos", sa.Text, nullable=False),
        sa.Column("indexed", sa.Boolean, nullable=False),
        sa.Column("published_at", sa.DateTime, nullable=False),
        sa.Column("withdrawn_at", sa.DateTime, nullable=True),
        sa.Column("withdrawn_because", sa.Text, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_publication"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_publication_account_id_account"),
        sa.ForeignKeyConstraint(["car_id"], ["car.id"], name="fk_publication_car_id_car"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_publication_assessment_id_assessment"),
        sa.UniqueConstraint("token", name="uq_publication_token"),
    )
    op.create_index("ix_publication_account_id", "publication", ["account_id"])
    op.create_index("ix_publication_car_id", "publication", ["car_id"])
    op.create_table(
        "dispute",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("publication_id", sa.String(32), nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("reply", sa.Text, nullable=True),
        sa.Column("replied_at", sa.DateTime, nullable=True),
        sa.Column("removed_at", sa.DateTime, nullable=True),
        sa.Column("removed_because", sa.Text, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_dispute"),
        sa.ForeignKeyConstraint(["publication_id"], ["publication.id"], name="fk_dispute_publication_id_publication"),
    )
    op.create_index("ix_dispute_publication_id", "dispute", ["publication_id"])
    op.create_table(
        "seal_key",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("public_key", sa.LargeBinary, nullable=False),
        sa.Column("private_key", sa.LargeBinary, nullable=True),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("retired_at", sa.DateTime, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_seal_key"),
    )


def _sessions() -> None:
    op.create_table(
        "session",
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("key_prefix", sa.String(8), nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("expires_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_session"),
        sa.ForeignKeyConstraint(["key_prefix"], ["api_key.prefix"], name="fk_session_key_prefix_api_key"),
    )
    op.create_index("ix_session_key_prefix", "session", ["key_prefix"])


def _events() -> None:
    op.create_table(
        "webhook",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("url", sa.Text, nullable=False),
        sa.Column("secret", sa.Text, nullable=False),
        sa.Column("events", sa.Text, nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("disabled_at", sa.DateTime, nullable=True),
        sa.Column("disabled_because", sa.Text, nullable=True),
        sa.Column("old_secret", sa.Text, nullable=True),
        sa.Column("old_secret_until", sa.DateTime, nullable=True),
        sa.Column("failing_since", sa.DateTime, nullable=True),
        sa.Column("paused_until", sa.DateTime, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_webhook"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_webhook_account_id_account"),
    )
    op.create_index("ix_webhook_account_id", "webhook", ["account_id"])
    op.create_table(
        "event",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("type", sa.String(60), nullable=False),
        sa.Column("payload", sa.LargeBinary, nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_event"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_event_account_id_account"),
    )
    op.create_index("ix_event_account_id", "event", ["account_id"])
    op.create_index("ix_event_created_at", "event", ["created_at"])
    op.create_table(
        "delivery",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("event_id", sa.String(32), nullable=False),
        sa.Column("webhook_id", sa.String(32), nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("state", sa.String(10), nullable=False),
        sa.Column("attempts", sa.Integer, nullable=False),
        sa.Column("next_at", sa.DateTime, nullable=True),
        sa.Column("last_answer", sa.Text, nullable=True),
        sa.Column("delivered_at", sa.DateTime, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_delivery"),
        sa.ForeignKeyConstraint(["event_id"], ["event.id"], name="fk_delivery_event_id_event"),
        sa.ForeignKeyConstraint(["webhook_id"], ["webhook.id"], name="fk_delivery_webhook_id_webhook"),
    )
    op.create_index("ix_delivery_event_id", "delivery", ["event_id"])
    op.create_index("ix_delivery_next_at", "delivery", ["next_at"])
    op.create_index("ix_delivery_webhook_id", "delivery", ["webhook_id"])
    op.create_table(
        "price_feed",
        sa.Column("url", sa.String(500), nullable=False),
        sa.Column("etag", sa.Text, nullable=True),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("fetched_at", sa.DateTime, nullable=False),
        sa.Column("checked_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("url", name="pk_price_feed"),
    )
    op.create_table(
        "worker",
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("started_at", sa.DateTime, nullable=False),
        sa.Column("seen_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_worker"),
    )
