"""Members of a club: their chats, invites, consents; and the club's settings."""

from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa

from bot.storage import leaving, posting, tables
from bot.storage.inserting import insert_once, upsert
from bot.storage.rows import ClubRows, T
from bot.storage.values import instant, ms
from core.club import Role
from core.training import Athlete


@dataclass(frozen=True, slots=True)
class InviteRow:
    """An invite as the coach sees it; `joined_as`: how the messenger calls whoever used it."""

    member: str
    expires: datetime
    used: datetime | None
    revoked: bool
    joined_as: str | None


class ClubMembers(ClubRows):
    """Writes and reads about who is in the club and how they are reached."""

    def add_member(
        self, athlete: Athlete, role: Role = Role.ATHLETE, ward: str | None = None, now: datetime | None = None
    ) -> None:
        """A membership with this profile; one that exists already gets the profile, the role and the ward."""
        key = {"club_id": self.club_id, "id": athlete.id}
        facts = {"name": athlete.name, "language": athlete.language, "profile": athlete.to_json()}
        place = {"role": role.value, "ward": ward}
        created = {"created_ms": 0 if now is None else ms(now)}
        upsert(self._connection, tables.Membership, key, facts | place | created, over=facts | place)

    def show_as(self, member: str, name: str | None) -> None:
        """The name an athlete wants shown in the club chat; None: not shown."""
        changed = T["membership"].update().where(*self._membership(member)).values(shown_as=name)
        self._connection.execute(changed)

    # --- chats -------------------------------------------------------------------------------------------

    def open_chat(self, member: str | None, messenger: str, chat: str, user: str, now: datetime) -> bool:
        """This chat is now open for a member, who speaks in it from now on (None: the club's group).

        False, and nothing changed, for a group that belongs to another club: it has to be closed there first.
        A direct chat keeps the seats that others have in it.
        """
        if member is None and self._taken(messenger, chat):
            return False
        if member is not None:
            self._join(member, messenger, user, now)
        kind = "group" if member is None else "direct"
        values = {"club_id": self.club_id, "member_id": member, "kind": kind, "used_ms": ms(now)}
        key = {"messenger": messenger, "chat": chat}
        upsert(self._connection, tables.Chat, key, values | {"open": True, "moved_to": None})
        if member is not None:
            upsert(self._connection, tables.Seat, self._key(member) | key, {"account": user})
        return True

    def _taken(self, messenger: str, chat: str) -> bool:
        table = T["chat"]
        at = (table.c.messenger == messenger, table.c.chat == chat, table.c.open.is_(True))
        holder = self._connection.execute(sa.select(table.c.club_id).where(*at)).scalar()
        return holder is not None and holder != self.club_id

    def _join(self, member: str, messenger: str, user: str, now: datetime) -> None:
        """The person behind the account is the person behind the membership, unless each is known already."""
        table, account = T["membership"], T["account"]
        at = self._membership(member)
        holder = (account.c.messenger == messenger, account.c.user == user)
        known = self._connection.execute(sa.select(account.c.person_id).where(*holder)).scalar()
        mine = self._connection.execute(sa.select(table.c.person_id).where(*at)).scalar()
        person = mine or known or f"{self.club_id}.{member}"
        insert_once(self._connection, tables.Person, {"id": person})
        insert_once(self._connection, tables.Account, {"messenger": messenger, "user": user, "person_id": person})
        self._connection.execute(table.update().where(*at).values(person_id=person, joined_ms=ms(now)))

    def cut_off(self, member: str) -> int:
        """Take every seat and open code of a member, who is then reached by a new invite only; how many seats."""
        return leaving.cut_off(self._connection, self.club_id, member)

    def chats(self, member: str | None) -> tuple[tuple[str, str], ...]:
        """The open chats of a member (None: the group), the one used last first."""
        return posting.chats(self._connection, self.club_id, member)

    # --- invites, consents, settings ---------------------------------------------------------------------

    def invite(self, code_hash: str, member: str, now: datetime, expires: datetime) -> None:
        """A code for this member; older ones of the same member are revoked."""
        self.revoke_invites(member)
        times = {"created_ms": ms(now), "expires_ms": ms(expires)}
        row = self._key(member, code_hash=code_hash, **times)
        self._connection.execute(T["invite"].insert().values(**row))

    def revoke_invites(self, member: str) -> int:
        """How many open codes of this member no longer work."""
        return leaving.revoke_invites(self._connection, self._key(member))

    def invites(self) -> tuple[InviteRow, ...]:
        """Every invite, the newest first."""
        table = T["invite"]
        return tuple(
            InviteRow(
                member=row.member_id,
                expires=instant(row.expires_ms),
                used=None if row.used_ms is None else instant(row.used_ms),
                revoked=row.revoked,
                joined_as=row.used_name,
            )
            for row in self._all("invite", table.c.created_ms.desc(), table.c.code_hash)
        )

    def consent(self, member: str, kind: str, now: datetime, given_by: str | None = None) -> None:
        """`given_by` (default: the member) agreed to `kind`."""
        giver = member if given_by is None else given_by
        given = {"at_ms": ms(now), "given_by": giver, "withdrawn_ms": None}
        upsert(self._connection, tables.Consent, self._key(member, kind=kind), given)

    def withdraw_consent(self, member: str, kind: str, now: datetime) -> None:
        table = T["consent"]
        at = (*self._at(table, member), table.c.kind == kind)
        self._connection.execute(table.update().where(*at).values(withdrawn_ms=ms(now)))

    def consents(self, member: str) -> frozenset[str]:
        """What holds: given and not withdrawn."""
        return frozenset(row.kind for row in self._of("consent", member) if row.withdrawn_ms is None)

    def setting(self, name: str) -> str | None:
        table = T["setting"]
        query = sa.select(table.c.value).where(*self._at(table), table.c.name == name)
        found = self._connection.execute(query).scalar()
        return None if found is None else str(found)

    def set_setting(self, name: str, value: str) -> None:
        upsert(self._connection, tables.Setting, {"club_id": self.club_id, "name": name}, {"value": value})
