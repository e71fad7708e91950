"""The only place that knows SQL: tables, migrations, the store of a club, the durable doors."""

from bot.storage.database import Database, StorageTrouble
from bot.storage.store import Store
from bot.storage.transaction import DueRow, Owner, Transaction, Waiting, chat_of, key_of

__all__ = ["Database", "DueRow", "Owner", "StorageTrouble", "Store", "Transaction", "Waiting", "chat_of", "key_of"]
