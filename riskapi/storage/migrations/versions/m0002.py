"""Accounts with their keys, and which account an assessment belongs to.

What was kept before there were accounts belongs to the single-user account of this installation.
"""

from __future__ import annotations

from datetime import UTC, datetime

import sqlalchemy as sa
from alembic import op

revision = "m0002"
down_revision = "m0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    account = op.create_table(
        "account",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_account"),
    )
    op.create_table(
        "api_key",
        sa.Column("prefix", sa.String(8), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("expires_at", sa.DateTime, nullable=True),
        sa.Column("revoked_at", sa.DateTime, nullable=True),
        sa.PrimaryKeyConstraint("prefix", name="pk_api_key"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_api_key_account_id_account"),
    )
    op.create_index("ix_api_key_account_id", "api_key", ["account_id"])
    op.create_table(
        "belonging",
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("assessment_id", name="pk_belonging"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_belonging_assessment_id_assessment"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_belonging_account_id_account"),
    )
    op.create_index("ix_belonging_account_id", "belonging", ["account_id"])
    now = datetime.now(UTC).replace(tzinfo=None, microsecond=0)
    op.bulk_insert(account, [{"id": "local", "name": "this installation", "role": "local", "created_at": now}])
    op.execute("INSERT INTO belonging (assessment_id, account_id) SELECT id, 'local' FROM assessment")
