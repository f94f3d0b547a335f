"""Both databases that a register may be in; PostgreSQL is started here, and stopped again."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import pytest

from meshcore.register.connecting import Register
from meshcore.register.opening import open_register

DATABASES = ("sqlite", "postgresql")
#: A server that was killed looks through what it held before it is up; on a busy machine that takes
#: longer than the minute it is given by itself [s].
LONGEST_WAIT_S = 300


@dataclass
class Server:
    """A PostgreSQL of the tests' own, reached by a socket in its folder alone."""

    programs: Path
    folder: Path
    user: str | None

    def run(self, program: str, *words: str) -> None:
        # The server keeps what is written to; a pipe would not be closed until it stops.
        subprocess.run(
            [str(self.programs / program), *words], check=True, user=self.user, cwd=self.folder,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={"LC_ALL": "C.UTF-8"},
        )  # fmt: skip

    def start(self) -> None:
        # The tests stop the server, and not the machine: what is written need not be on the disk.
        own = f"-c listen_addresses='' -c unix_socket_directories='{self.folder}' -c fsync=off"
        self.run("pg_ctl", "-D", str(self.folder / "data"), "-w", "-t", str(LONGEST_WAIT_S),
                 "-l", str(self.folder / "log"), "-o", own, "start")  # fmt: skip

    def kill(self) -> None:
        """Stop at once, as a power cut does: nothing is written any more."""
        self.run("pg_ctl", "-D", str(self.folder / "data"), "-m", "immediate", "-w",
                 "-t", str(LONGEST_WAIT_S), "stop")  # fmt: skip

    def url(self, name: str) -> str:
        return f"postgresql+psycopg://mill@/{name}?host={self.folder}"

    def new(self, name: str) -> str:
        self.run("createdb", "-h", str(self.folder), "-U", "mill", name)
        return self.url(name)


def programs() -> Path | None:
    """Folder of PostgreSQL's own programs, which Debian keeps out of the path."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    named = shutil.which("initdb")
    return found[-1].parent if found else Path(named).parent if named else None


@contextmanager
def running() -> Iterator[Server]:
    """Run a server of its own, where PostgreSQL's programs are at hand."""
    found = programs()
    if found is None:
        raise FileNotFoundError("initdb")
    # A socket's path must be short, and the server will not run as root.
    folder = Path(tempfile.mkdtemp(prefix="meshcore-pg-", dir="/tmp"))
    user = None
    if os.geteuid() == 0:
        user = "postgres"
        os.chown(folder, pwd.getpwnam(user).pw_uid, pwd.getpwnam(user).pw_gid)
    folder.chmod(0o755)
    server = Server(found, folder, user)
    server.run("initdb", "-D", str(folder / "data"), "-U", "mill", "-A", "trust",
               "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync")  # fmt: skip
    server.start()
    try:
        yield server
    finally:
        server.kill()
        shutil.rmtree(folder)


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Server]:
    """A server for all tests that need one."""
    if programs() is None:
        reason = "needs PostgreSQL; on Debian: apt-get install postgresql"
        if os.environ.get("CI") == "true":
            pytest.fail(f"{reason} (nothing is skipped where CI=true)")
        pytest.skip(reason)
    with running() as server:
        yield server


_NUMBERS = count(1)


@pytest.fixture(scope="module", params=DATABASES)
def shared_register(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Register:
    """A register in either database that the tests of a file only add to."""
    if request.param == "sqlite":
        return open_register(tmp_path_factory.mktemp("office") / "register.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return open_register(server.new(f"s{next(_NUMBERS)}_{os.getpid()}"))


@pytest.fixture(params=DATABASES)
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a new register may be: a path or a URL, with nothing there yet."""
    if request.param == "sqlite":
        return str(tmp_path / "office" / "register.sqlite")
    server: Server = request.getfixturevalue("postgresql")
    return server.new(f"r{next(_NUMBERS)}_{os.getpid()}")


@pytest.fixture
def register(place: str) -> Register:
    """A new register in either database."""
    return open_register(place)


@pytest.fixture(params=DATABASES)
def another(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], Register]:
    """Makes further registers, in a database of its own choosing."""

    def make() -> Register:
        if request.param == "sqlite":
            return open_register(tmp_path / f"another-{next(_NUMBERS)}.sqlite")
        server: Server = request.getfixturevalue("postgresql")
        return open_register(server.new(f"a{next(_NUMBERS)}_{os.getpid()}"))

    return make
