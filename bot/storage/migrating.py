"""The schema up to date: a look at one row, and Alembic only where something is to be done."""

from importlib.resources import as_file, files

import sqlalchemy as sa

from bot.storage.migrations import HEAD, REVISIONS
from core.problems import Problem

ONE_AT_A_TIME = 0x9117_5011  # the advisory lock under which a PostgreSQL schema is changed


def version(connection: sa.Connection) -> str | None:
    """The revision a database is at; None where it has none of ours."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()


def newer(found: str | None, where: str) -> Problem | None:
    """What is wrong with a database that a later version of this program has written."""
    if found is None or found in REVISIONS:
        return None
    what = f"was written by a newer version of Plimsoll (schema {found}, this one knows {HEAD})"
    return Problem(where, what, "update Plimsoll, or restore a backup of this version")


def upgrade(engine: sa.Engine, revision: str = HEAD) -> None:
    """Run the migrations up to `revision` in one transaction: all or nothing, one process at a time.

    SQLite changes a table by copying it. Its foreign keys are off meanwhile, and all of them are checked at the end.
    """
    from alembic import command
    from alembic.config import Config

    with as_file(files("bot.storage.migrations")) as folder, engine.connect() as connection:
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.attributes["connection"] = connection
        _foreign_keys(connection, on=False)
        try:
            with connection.begin():
                if connection.dialect.name == "postgresql":
                    connection.execute(sa.select(sa.func.pg_advisory_xact_lock(ONE_AT_A_TIME)))
                command.upgrade(config, revision)
                _check_foreign_keys(connection)
        finally:
            _foreign_keys(connection, on=True)


def _foreign_keys(connection: sa.Connection, on: bool) -> None:
    """On or off for this connection; SQLite only, and only outside a transaction, which it would ignore."""
    if connection.dialect.name == "sqlite":
        raw = connection.connection.dbapi_connection
        assert raw is not None
        raw.execute(f"PRAGMA foreign_keys={'ON' if on else 'OFF'}")


def _check_foreign_keys(connection: sa.Connection) -> None:
    if connection.dialect.name == "sqlite":
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        if broken:
            raise RuntimeError(f"a migration breaks {len(broken)} foreign keys, the first in table {broken[0][0]}")
