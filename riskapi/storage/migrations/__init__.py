"""Alembic migrations; they travel inside the package and are applied by riskapi.storage.migrate."""
