"""Runs the numbered upgrades on the connection the program hands over."""

from __future__ import annotations

from alembic import context

from dashboard.records.schema import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    transactional_ddl=True,
)
context.run_migrations()
