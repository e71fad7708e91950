"""The schema by migration is the schema by model; a database of the oldest version comes along with its data."""

import sqlalchemy as sa

from bot.storage.tables import metadata
from tests.bot.storage.schema import described


def engine_of(url: str) -> sa.Engine:
    return sa.create_engine(url)


def test_schema_by_migration_is_schema_by_model(database_url: str, empty_url: str) -> None:
    """Both read back from the database, constraints and their names included."""
    model = engine_of(empty_url)
    metadata.create_all(model)
    migrated = engine_of(database_url)
    with model.connect() as one, migrated.connect() as other:
        assert described(other) == described(one)
    model.dispose(), migrated.dispose()
