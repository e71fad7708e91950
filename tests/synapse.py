"""A real Matrix server for tests: installed once into an environment of its own, started on loopback on a free port."""

import fcntl
import hashlib
import hmac
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
import venv
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

PACKAGE = "matrix-synapse>=1.120"
SECRET = "only-for-tests"
START_WITHIN_S = 60
UNLIMITED = """
rc_message: &free {per_second: 10000, burst_count: 10000}
rc_registration: *free
rc_login: {address: *free, account: *free, failed_attempts: *free}
rc_joins: {local: *free, remote: *free}
rc_joins_per_room: *free
rc_invites: {per_room: *free, per_user: *free, per_issuer: *free}
rc_admin_redaction: *free
rc_room_creation: *free
rc_media_create: *free
"""
CONFIG = """
server_name: localhost
pid_file: {folder}/pid
public_baseurl: http://127.0.0.1:{port}/
listeners:
  - {{port: {port}, type: http, tls: false, bind_addresses: [127.0.0.1], resources: [{{names: [client, media]}}]}}
database: {{name: sqlite3, args: {{database: {folder}/synapse.db}}}}
media_store_path: {folder}/media
log_config: {folder}/log.yaml
signing_key_path: {folder}/signing.key
registration_shared_secret: {secret}
macaroon_secret_key: only-for-tests
form_secret: only-for-tests
report_stats: false
trusted_key_servers: []
suppress_key_server_warning: true
federation_domain_whitelist: []
bcrypt_rounds: 4
presence: {{enabled: false}}
"""
LOG = """
version: 1
handlers: {{file: {{class: logging.FileHandler, filename: {folder}/synapse.log}}}}
root: {{level: WARNING, handlers: [file]}}
disable_existing_loggers: false
"""


class NotToBeHad(Exception):
    """Synapse cannot be installed here; the words say why."""


def environment() -> Path:
    """The environment with Synapse in it. Made once, under a lock; later runs and other workers find it."""
    cache = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache")) / "plimsoll-tests"
    cache.mkdir(parents=True, exist_ok=True)
    folder = cache / f"synapse-{sys.version_info.major}.{sys.version_info.minor}"
    with open(folder.with_suffix(".lock"), "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / "complete").exists():
            shutil.rmtree(folder, ignore_errors=True)
            try:
                _install(folder)
            except (OSError, subprocess.SubprocessError) as error:
                raise NotToBeHad(str(error)) from error
            (folder / "complete").touch()
    return folder


def _install(folder: Path) -> None:
    venv.create(folder, with_pip=True)
    python = str(folder / "bin" / "python")
    pip = [python, "-m", "pip", "install", "--quiet", "--only-binary=:all:", PACKAGE]
    done = subprocess.run(pip, capture_output=True, text=True, timeout=900)
    if done.returncode:
        said = [line for line in done.stderr.splitlines() if line.startswith("ERROR")]
        raise NotToBeHad(said[-1] if said else f"pip failed with {done.returncode}")
    # an environment that forbids writing bytecode would make every start twice as slow
    subprocess.run([python, "-m", "compileall", "-q", "-j", "0", str(folder / "lib")], check=False)


class Synapse:
    """One server with a folder of its own."""

    def __init__(self, folder: Path, limits: str = UNLIMITED) -> None:
        self._bin = environment() / "bin"
        self.folder, self.port = folder, _free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self._running: subprocess.Popen[bytes] | None = None
        given = {"folder": folder, "port": self.port, "secret": SECRET}
        (folder / "homeserver.yaml").write_text(CONFIG.format(**given) + limits)
        (folder / "log.yaml").write_text(LOG.format(**given))
        subprocess.run([self._bin / "generate_signing_key", "-o", folder / "signing.key"], check=True)

    def start(self) -> None:
        command = [self._bin / "python", "-m", "synapse.app.homeserver", "-c", self.folder / "homeserver.yaml"]
        with open(self.folder / "out.log", "ab") as out:
            self._running = subprocess.Popen(command, stdout=out, stderr=out, cwd=self.folder)
        deadline = time.monotonic() + START_WITHIN_S
        while not self._healthy():
            if self._running.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError((self.folder / "out.log").read_text()[-2000:])
            time.sleep(0.05)

    def _healthy(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.url}/health", timeout=2) as answer:
                return bool(answer.status == 200)
        except OSError:
            return False

    def kill(self) -> None:
        """As a power cut does."""
        self.stop(signal.SIGKILL)

    def stop(self, how: signal.Signals = signal.SIGTERM) -> None:
        if self._running is not None:
            self._running.send_signal(how)
            self._running.wait(20)
            self._running = None

    def register(self, name: str, password: str = "pass-word-1") -> tuple[str, str]:
        """A new account: its full id and an access token."""
        address = f"{self.url}/_synapse/admin/v1/register"
        nonce = _asked(address)["nonce"]
        told = "\0".join([nonce, name, password, "notadmin"]).encode()
        mac = hmac.new(SECRET.encode(), told, hashlib.sha1).hexdigest()
        made = _asked(address, {"nonce": nonce, "username": name, "password": password, "admin": False, "mac": mac})
        return made["user_id"], made["access_token"]


def _asked(address: str, body: dict[str, Any] | None = None) -> Any:
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(address, data, {"Content-Type": "application/json"})
    with urllib.request.urlopen(request, timeout=20) as answer:
        return json.load(answer)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def serving(limits: str = UNLIMITED) -> Iterator[Synapse]:
    """A server for as long as the block lasts. Raises NotToBeHad."""
    with tempfile.TemporaryDirectory(prefix="synapse-") as folder:
        server = Synapse(Path(folder), limits)
        try:
            server.start()
            yield server
        finally:
            server.kill()
