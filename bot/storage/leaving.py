"""Seats are taken away: of whoever leaves, or of a stranger who came in with a code meant for somebody else."""

from typing import Any

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.prepared import change, found, remove

T = tables.metadata.tables


def cut_off(connection: sa.Connection, club_id: str, member: str) -> int:
    """Take every seat and open code of a member, who is then reached by a new invite only; how many seats there were.

    A chat in which the member spoke goes to another who has a seat there, or is forgotten.
    """
    key = {"club_id": club_id, "member_id": member}
    taken = found(connection, "seat", key).all()
    for seat in taken:
        here = {"messenger": seat.messenger, "chat": seat.chat}
        remove(connection, "seat", key | here)
        other = found(connection, "seat", here).first()
        if other is None:
            remove(connection, "chat", key | here)
        else:
            change(connection, "chat", key | here, {"club_id": other.club_id, "member_id": other.member_id})
    change(connection, "membership", {"club_id": club_id, "id": member}, {"person_id": None, "joined_ms": None})
    revoke_invites(connection, key)
    return len(taken)


def revoke_invites(connection: sa.Connection, key: dict[str, Any]) -> int:
    """Open codes of a member no longer work; how many there were."""
    return change(connection, "invite", key | {"used_ms": None, "revoked": False}, {"revoked": True})
