"""Knowledge packs, assessments and their documents."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "m0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "knowledge",
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("version", sa.Text, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("first_used_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_knowledge"),
    )
    op.create_table(
        "assessment",
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("created_at", sa.DateTime, nullable=False),
        sa.Column("reference", sa.Text, nullable=True),
        sa.Column("knowledge_digest", sa.String(64), nullable=False),
        sa.Column("program_version", sa.Text, nullable=False),
        sa.Column("case_json", sa.LargeBinary, nullable=False),
        sa.Column("result_json", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_assessment"),
        sa.ForeignKeyConstraint(
            ["knowledge_digest"], ["knowledge.digest"], name="fk_assessment_knowledge_digest_knowledge"
        ),
    )
    op.create_index("ix_assessment_created_at", "assessment", ["created_at"])
    op.create_index("ix_assessment_reference", "assessment", ["reference"])
    op.create_table(
        "document",
        sa.Column("assessment_id", sa.String(32), nullable=False),
        sa.Column("name", sa.String(100), nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("assessment_id", "name", name="pk_document"),
        sa.ForeignKeyConstraint(["assessment_id"], ["assessment.id"], name="fk_document_assessment_id_assessment"),
    )
