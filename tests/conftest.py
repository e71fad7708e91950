"""What several folders of tests share: databases of our schema, SQLite and a real PostgreSQL; a Matrix server."""

import itertools
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.storage import Database
from bot.storage.tables import metadata
from tests.postgres import Server, server
from tests.synapse import NotToBeHad, Synapse, serving

COUNT = itertools.count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """One server for this worker."""
    with server() as running:
        yield running


@pytest.fixture(scope="session")
def postgres_migrated(postgres: Server) -> str:
    """The address of a database of our schema, emptied after each test: a new one takes thirty times as long."""
    postgres.sql("CREATE DATABASE plimsoll")
    Database(postgres.url("plimsoll")).open().close()
    return postgres.url("plimsoll")


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("template") / "plimsoll.db"
    Database(f"sqlite:///{path}").open().close()
    return path


@pytest.fixture
def sqlite_url(sqlite_template: Path, tmp_path: Path) -> str:
    """A fresh SQLite file of our schema."""
    path = tmp_path / "plimsoll.db"
    shutil.copy(sqlite_template, path)
    return f"sqlite:///{path}"


@pytest.fixture
def postgres_url(postgres: Server, postgres_migrated: str) -> Iterator[str]:
    """A PostgreSQL database of our schema, without data."""
    yield postgres_migrated
    delete = "; ".join(f'DELETE FROM "{name}"' for name in metadata.tables)
    postgres.sql(f"SET session_replication_role = replica; {delete}", "plimsoll")  # foreign keys look away


@pytest.fixture(params=["sqlite", "postgresql"])
def kind(request: pytest.FixtureRequest) -> str:
    """The same test on both databases."""
    return str(request.param)


@pytest.fixture
def database_url(kind: str, request: pytest.FixtureRequest) -> str:
    """A database of our schema, without data."""
    return str(request.getfixturevalue("sqlite_url" if kind == "sqlite" else "postgres_url"))


@pytest.fixture
def empty_url(kind: str, request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database without any table."""
    if kind == "sqlite":
        yield f"sqlite:///{tmp_path / 'empty.db'}"
        return
    server, name = request.getfixturevalue("postgres"), f"e{next(COUNT)}"
    server.sql(f"CREATE DATABASE {name}")
    yield server.url(name)
    server.sql(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    """An open, empty database of the newest schema."""
    opened = Database(database_url).open()
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def synapse() -> Iterator[Synapse]:
    """A running Matrix server. Its tests carry `xdist_group("synapse")`, so that one worker starts one."""
    try:
        with serving() as running:
            yield running
    except NotToBeHad as reason:
        pytest.skip(f"Synapse cannot be installed here: {reason}")
