"""Run by alembic: the connection is handed in by riskapi.storage.database, which also owns the transaction."""

from __future__ import annotations

from alembic import context

from riskapi.storage.models import Base

context.configure(
    connection=context.config.attributes["connection"], target_metadata=Base.metadata, render_as_batch=True
)
with context.begin_transaction():
    context.run_migrations()
