"""Members from athlete files and back: what `import` and `export` do, and the invented club's first day."""

from datetime import datetime
from hashlib import sha256
from secrets import token_hex, token_urlsafe

from bot.storage import Store
from core.club import Member, Role
from core.files import AthleteFile
from core.language.tables import plain
from core.problems import refuse
from core.training import Athlete, Screening


def member_named(store: Store, name: str) -> Member:
    """The member of this name or id; BadInput with the nearest names otherwise."""
    roster = store.roster()
    found = [one for one in roster if one.id == name] or [one for one in roster if plain(one.name) == plain(name)]
    if len(found) == 1:
        return found[0]
    if found:
        ids = ", ".join(one.id for one in found)
        raise refuse(f"“{name}”", "is the name of several members", f"use one of the ids {ids}")
    names = ", ".join(one.name for one in roster[:12]) or "nobody yet"
    raise refuse(f"“{name}”", "is nobody of this club", f"use one of: {names}")


def take_in(store: Store, file: AthleteFile, now: datetime) -> tuple[str, ...]:
    """Add or update one athlete by id, else by name; sessions merged by their id. What changed, in words."""
    known = _known(store, file)
    filed = store.put_file(file.athlete.id if known is None else known.id, file, now)
    name = file.athlete.name
    counted = {"kit": filed.kits, "body weight": filed.bodyweights, "session": filed.sessions, "order": filed.orders}
    told = [f"{name}: {'added' if filed.added else 'facts updated'}"] if filed.added or filed.profile else []
    return (*told, *(f"{name}: {what}s added or updated: {count}" for what, count in counted.items() if count))


def _known(store: Store, file: AthleteFile) -> Member | None:
    roster = [one for one in store.roster() if one.role is Role.ATHLETE]
    by_id = [one for one in roster if one.id == file.athlete.id]
    by_name = [one for one in roster if plain(one.name) == plain(file.athlete.name)]
    return next(iter(by_id or by_name), None)


def invited(store: Store, name: str, coach: bool, now: datetime, expires: datetime) -> str:
    """A fresh code of 128 random bits for the member of this name; somebody new is added first."""
    known = [one for one in store.roster() if plain(one.name) == plain(name) or one.id == name]
    role = Role.COACH if coach else Role.ATHLETE
    same = [one for one in known if one.role is role]
    if len(same) > 1:
        member_named(store, name)  # names the ids
    member = same[0].id if same else token_hex(8)
    if not same:
        screening = Screening.CLEAR if coach else Screening.PENDING
        store.add_member(Athlete(member, name.strip()[:60], screening=screening), role, now=now)
    code = token_urlsafe(16)
    store.invite(sha256(code.encode()).hexdigest(), member, now, expires)
    store.note("invite", member, "shell", "invite", now)
    return code
