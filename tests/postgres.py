"""A PostgreSQL of the tests' own: made in a temporary folder, reached by a socket there, gone afterwards."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from threading import Event

import pytest

DEBIAN = Path("/usr/lib/postgresql")
MEMORY, ROOM_BYTES = Path("/dev/shm"), 2_000_000_000
NO_HUB = "No PostgreSQL to test the hub with"
HOW_TO_GET_ONE = "apt-get install postgresql, and pip install '.[hub]'"


def programs() -> Path | None:
    """The folder with PostgreSQL's own programs, the newest; Debian has them not on the path."""
    found = [p.parent for p in sorted(DEBIAN.glob("*/bin/initdb"), key=lambda p: int(p.parts[-3]))]
    on_path = shutil.which("initdb")
    return found[-1] if found else Path(on_path).parent if on_path else None


class Cluster:
    """A server with databases.

    Args:
        folder: where it lies, its socket too.
        programs: as `programs` gives it.
        durable: a commit waits for the disk; without, nothing does.
    """

    def __init__(self, folder: Path, programs: Path, durable: bool) -> None:
        self.folder, self._programs = folder, programs
        self._sync = "on" if durable else "off"
        self._named = count(1)
        self.killed = Event()
        # it refuses to run as root
        self._as = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        if self._as:
            shutil.chown(folder, "postgres")
        self._run("initdb", "-D", folder / "data", "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync")
        self.start()

    def start(self) -> None:
        where = ("listen_addresses=", f"unix_socket_directories={self.folder}", f"fsync={self._sync}")
        settings = [word for setting in (*where, "max_wal_size=1GB") for word in ("-c", setting)]
        command = [*self._as, str(self._programs / "postgres"), "-D", str(self.folder / "data"), *settings]
        with (self.folder / "log").open("ab") as log:
            self._server = subprocess.Popen(command, cwd="/", stdout=log, stderr=log)
        for _ in range(600):
            if self._run("pg_isready", "-q", "-h", self.folder, check=False):
                return
            assert self._server.poll() is None, (self.folder / "log").read_text()
            time.sleep(0.1)

    def kill(self) -> None:
        """SIGKILL to the server and all it started, as if the power were cut."""
        server = int((self.folder / "data" / "postmaster.pid").read_text().split()[0])
        children = Path(f"/proc/{server}/task/{server}/children").read_text().split()
        for pid in (server, *map(int, children)):
            os.kill(pid, signal.SIGKILL)
        self._server.wait(60)
        self.killed.set()

    def stop(self) -> None:
        self._run("pg_ctl", "-D", self.folder / "data", "-w", "-s", "-m", "immediate", "stop", check=False)
        self._server.wait(60)

    def cpu_s(self) -> float:
        """What the server and all it runs have taken of the processors so far."""
        server = int((self.folder / "data" / "postmaster.pid").read_text().split()[0])
        children = Path(f"/proc/{server}/task/{server}/children").read_text().split()
        ticks = sum(_ticks(server)) + sum(sum(_ticks(int(child))[:2]) for child in children)
        return ticks / os.sysconf("SC_CLK_TCK")

    def database(self) -> str:
        """The name of a new empty database."""
        import psycopg

        name = f"hub{next(self._named)}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as server:
            server.execute(f"CREATE DATABASE {name} TEMPLATE template0 ENCODING 'UTF8'".encode())
        return name

    def copy(self, database: str) -> str:
        """The name of a database that is a copy of another one as it stands: what a backup puts back."""
        import psycopg

        name = f"hub{next(self._named)}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as server:
            server.execute(f"CREATE DATABASE {name} TEMPLATE {database}".encode())
        return name

    def url(self, database: str, login: str = "postgres") -> str:
        return f"postgresql://{login}@/{database}?host={self.folder}"

    def _run(self, program: str, *words: object, check: bool = True) -> bool:
        command = [*self._as, str(self._programs / program), *map(str, words)]
        done = subprocess.run(
            command, cwd="/", capture_output=True, text=True, env={**os.environ, "LC_ALL": "C.UTF-8"}
        )
        assert done.returncode == 0 or not check, done.stderr
        return done.returncode == 0


def _ticks(pid: int) -> list[int]:
    """What a process has taken of the processors, as program and in the kernel, and then those it has buried."""
    try:
        return [int(n) for n in Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[11:15]]
    except FileNotFoundError:  # it ended just now
        return []


@contextmanager
def cluster(durable: bool = False) -> Iterator[Cluster]:
    """A server of its own; where there is none the tests are left out, or fail where one is required."""
    found = programs()
    try:
        import psycopg  # noqa: F401
    except ImportError:
        found = None
    if found is None:
        why = f"{NO_HUB}: {HOW_TO_GET_ONE}."
        if os.environ.get("INSPECT_REQUIRE_HUB") == "1":
            pytest.fail(why)
        pytest.skip(why)
    # in memory where nothing is to last; short, as a socket's path may have 107 letters
    memory = not durable and MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM_BYTES
    folder = Path(tempfile.mkdtemp(prefix="hub-", dir=MEMORY if memory else None))
    try:
        server = Cluster(folder, found, durable)
        yield server
        server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
