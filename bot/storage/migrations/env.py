"""Alembic's entry: the connection comes from `bot.storage.migrating`, never from a file, and is in a transaction."""

import sqlalchemy as sa
from alembic import context

from bot.storage.tables import metadata

connection: sa.Connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata, render_as_batch=True, compare_type=True)
with context.begin_transaction():
    context.run_migrations()
