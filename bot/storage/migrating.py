"""The schema up to date: a look at one row, and Alembic only where something is to be done."""

from importlib.resources import as_file, files

import sqlalchemy as sa

from bot.storage.migrations import HEAD, REVISIONS
from core.problems import Problem


def version(connection: sa.Connection) -> str | None:
    """The revision a database is at; None where it has none of ours."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()


def migrate(engine: sa.Engine, where: str) -> None:
    """Bring an empty or older database to HEAD; a newer one is refused."""
    from bot.storage.database import StorageTrouble, safe

    with engine.connect() as connection:
        found = version(connection)
    if found == HEAD:
        return
    if found is not None and found not in REVISIONS:
        what = f"was written by a newer version of Plimsoll (schema {found}, this one knows {HEAD})"
        raise StorageTrouble(Problem(safe(where), what, "update Plimsoll, or restore a backup of this version"))
    upgrade(engine, HEAD)


def upgrade(engine: sa.Engine, revision: str) -> None:
    """Run the migrations up to `revision`, each database in one transaction."""
    from alembic import command
    from alembic.config import Config

    with as_file(files("bot.storage.migrations")) as folder:
        config = Config()
        config.set_main_option("script_location", str(folder))
        with engine.connect() as connection, connection.begin():
            config.attributes["connection"] = connection
            command.upgrade(config, revision)
