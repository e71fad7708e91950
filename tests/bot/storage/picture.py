"""All rows of a database, table by table, as plain data: to see what a step has changed."""

from typing import Any

from bot.storage import Transaction
from bot.storage.tables import metadata

Rows = dict[str, list[dict[str, Any]]]


def rows_of(tx: Transaction) -> Rows:
    """Every row as the driver gives it, in an order of its own."""
    found = {name: tx.connection.exec_driver_sql(f'SELECT * FROM "{name}"').mappings() for name in metadata.tables}
    return {name: sorted((dict(row) for row in rows), key=repr) for name, rows in found.items()}


def of_club(rows: Rows, club_id: str) -> Rows:
    """What belongs to a club by its key."""
    return {name: [row for row in found if row.get("club_id") == club_id] for name, found in rows.items()}
