"""The only place that knows SQL: tables, migrations, the store of a club, the durable doors."""

from bot.storage.database import Database
from bot.storage.filing import Filed
from bot.storage.members import InviteRow
from bot.storage.store import Store
from bot.storage.transaction import DueRow, Owner, SetAside, Transaction, Waiting, chat_of, key_of
from bot.storage.troubles import StorageTrouble

__all__ = [
    "Database",
    "DueRow",
    "Filed",
    "InviteRow",
    "Owner",
    "SetAside",
    "StorageTrouble",
    "Store",
    "Transaction",
    "Waiting",
    "chat_of",
    "key_of",
]
