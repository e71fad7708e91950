"""Alembic's entry: the connection comes from `bot.storage.migrating`, never from a file."""

import sqlalchemy as sa
from alembic import context

from bot.storage.tables import metadata

connection: sa.Connection = context.config.attributes["connection"]
is_sqlite = connection.dialect.name == "sqlite"
context.configure(connection=connection, target_metadata=metadata, render_as_batch=True, compare_type=True)
with context.begin_transaction():
    if is_sqlite:
        connection.exec_driver_sql("PRAGMA defer_foreign_keys=ON")
    context.run_migrations()
