"""A sign-in that outlives the process: kept apart from the database, whose copies travel, in a file of its own."""

import json
import logging
import os
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

PRIVATE = 0o600

log = logging.getLogger("plimsoll.matrix")


@dataclass(frozen=True, slots=True)
class SignIn:
    """One device of one account. `user` is the full id, as the server gave it; `account` is what was asked for."""

    homeserver: str
    account: str
    user: str
    device: str
    token: str = field(repr=False)


class Session(Protocol):
    """Where a sign-in is kept. What is lost costs one more login."""

    def load(self) -> SignIn | None: ...

    def save(self, sign_in: SignIn) -> None: ...


class FileSession:
    """One JSON file that only its owner may read; replaced as a whole, so that a crash leaves the old or the new."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def load(self) -> SignIn | None:
        """None where there is none, or none that can be read."""
        try:
            if self._path.stat().st_mode & 0o077:
                log.warning("Matrix: %s was open to others; its mode is now 0600", self._path)
                self._path.chmod(PRIVATE)
            found = json.loads(self._path.read_bytes())
            known = {key: found[key] for key in SignIn.__dataclass_fields__}
        except (OSError, ValueError, LookupError, TypeError):
            return None
        return SignIn(**known) if all(isinstance(value, str) for value in known.values()) else None

    def save(self, sign_in: SignIn) -> None:
        self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside = self._path.with_name(f"{self._path.name}.{os.getpid()}")
        with suppress(FileNotFoundError):
            beside.unlink()  # ours, from a crash; its mode could be anything
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE)
        with os.fdopen(handle, "w") as file:
            json.dump({key: getattr(sign_in, key) for key in SignIn.__dataclass_fields__}, file)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(self._path)


class MemorySession:
    """For one process only."""

    def __init__(self) -> None:
        self._kept: SignIn | None = None

    def load(self) -> SignIn | None:
        return self._kept

    def save(self, sign_in: SignIn) -> None:
        self._kept = sign_in
