"""Which assessment an idempotency key made."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "m0003"
down_revision = "m0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "written",
        sa.Column("account_id", sa.String(32), nullable=False),
        sa.Column("key", sa.String(255), nullable=False),
        sa.Column("body_digest", sa.String(64), nullable=False),
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("account_id", "key", name="pk_written"),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name="fk_written_account_id_account"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_written_assessment_id_assessment"),
    )
