"""What is the same on every wire: text that a database takes, and addresses that may carry a secret; pure."""

from urllib.parse import urlsplit

from core.problems import refuse

LOOPBACK = ("127.0.0.1", "localhost", "::1")
LONGEST_RAW = 65_536  # characters kept of an arrival that we could not read


def storable(text: object) -> str:
    """JSON can carry half surrogates and NUL, which no database takes as text: they become U+FFFD."""
    if not isinstance(text, str):
        raise ValueError("not a text")
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace").replace("\0", "\ufffd")


def safe_address(address: str, setting: str, secret: str) -> str:
    """The scheme, host and port of a server, or a BadInput: `secret` would travel in clear text."""
    parts = urlsplit(address)
    if parts.hostname and (parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in LOOPBACK)):
        return address.rstrip("/")
    raise refuse(
        setting, f"{address!r} would carry the {secret} in clear text",
        "give an https:// address, or http:// on this machine (127.0.0.1)",
    )  # fmt: skip
