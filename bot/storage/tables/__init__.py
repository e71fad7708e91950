"""The schema. Whatever belongs to a club carries `club_id` in its key and in every foreign key.

Instants are integers, milliseconds since 1970 in UTC; local dates are ISO text; masses are grams; ratings are
counted in halves. `table=True` models validate nothing, so what must hold is a constraint here.
"""

from sqlmodel.sql.sqltypes import AutoString

from bot.storage.tables.base import Words, metadata
from bot.storage.tables.doors import Conversation, Cursor, Inbox, Occurrence, Outbox
from bot.storage.tables.people import (
    Account,
    Audit,
    Chat,
    Club,
    Consent,
    Erasure,
    Invite,
    Membership,
    Person,
    Seat,
    Setting,
    Stranger,
)
from bot.storage.tables.record import (
    Bodyweight,
    Checkpoint,
    DoneSet,
    Entry,
    Kit,
    Prescription,
    Question,
    StandingOrder,
    Told,
    TrainingSession,
)

for _table in metadata.tables.values():
    for _column in _table.columns:
        if isinstance(_column.type, AutoString):
            _column.type = Words()  # no text of a network or a person may make a statement fail

__all__ = [
    "Account", "Audit", "Bodyweight", "Chat", "Checkpoint", "Club", "Consent", "Conversation", "Cursor", "DoneSet",
    "Entry", "Erasure", "Inbox", "Invite", "Kit", "Membership", "Occurrence", "Outbox", "Person", "Prescription",
    "Question", "Seat", "Setting", "StandingOrder", "Stranger", "Told", "TrainingSession", "metadata",
]  # fmt: skip
