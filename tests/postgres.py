"""A real PostgreSQL of the tests' own, started from the machine's packages: a private cluster in a temporary folder.

Tests that need it are skipped, by name, where no server's programs are found. Whatever is kept there is on the disk
before it is acknowledged, as in a shop.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

PLACES = "usr/lib/postgresql/*/bin/postgres"
"""Where Debian puts the programs of a server, a folder a version."""

WAIT = 60.0
"""For the server to answer. [s]"""

SETTINGS = {
    "listen_addresses": "",
    "max_connections": "60",
    "shared_buffers": "32MB",
    "autovacuum": "off",
    "log_min_messages": "fatal",
}
"""Small, and on no network; all that makes a commit durable stays as it comes."""

ALONE = (
    "select pg_terminate_backend(pid) from pg_stat_activity"
    " where datname = current_database() and pid <> pg_backend_pid()"
)
TABLES = (
    "select relname from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r'"
    " and relname not in ('arrival', 'ventwright_version') order by oid desc"
)


def programs() -> Path | None:
    """Return the folder of the newest server's programs on this machine, None where there is none."""
    found = sorted(Path("/").glob(PLACES), key=lambda one: int(one.parts[-3]))
    on_path = [Path(one).resolve() for one in (shutil.which("postgres"),) if one]
    folders = [one.parent for one in (*on_path, *found) if (one.parent / "initdb").is_file()]
    return folders[-1] if folders else None


class Server:
    """A server with a cluster in a folder of its own, which goes with it."""

    def __init__(self, bin_folder: Path) -> None:
        self._bin = bin_folder
        self._who = _unprivileged()
        self._made = 0
        self._clean: list[str] = []
        self.folder = Path(tempfile.mkdtemp(prefix="ventwright-pg-"))
        if self._who:
            shutil.chown(self.folder, self._who["user"], self._who["group"])
        self._run("initdb", "-D", self.folder / "data", "-U", "shop", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "-N")  # fmt: skip
        self.start()

    def start(self) -> None:
        """Start it, and wait until it answers; after a kill what is left of the old one may turn the first away."""
        options = [f"-c{name}={value}" for name, value in SETTINGS.items()]
        command = [
            str(one)
            for one in (self._bin / "postgres", "-D", self.folder / "data", "-k", self.folder, *options)
        ]
        self._process = subprocess.Popen(command, stderr=subprocess.DEVNULL, **self._who)
        until = time.monotonic() + WAIT
        while not self._answers():
            if time.monotonic() > until:
                pytest.fail("the tests' own PostgreSQL does not start")
            if self._process.poll() is not None:
                self._process = subprocess.Popen(command, stderr=subprocess.DEVNULL, **self._who)
            time.sleep(0.05)

    def kill(self) -> None:
        """End it at once, as when its machine loses its power: every connection breaks."""
        self._process.kill()
        self._process.wait()

    def close(self) -> None:
        """End it and take its folder away."""
        self._process.send_signal(signal.SIGQUIT)  # its quick way to end
        self._process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def url(self, database: str = "postgres") -> str:
        """Return the address of a database."""
        return f"postgresql://shop@/{database}?host={self.folder}"

    def fresh(self, like: str = "template0") -> str:
        """Make an empty database, or one like another, and return its address."""
        self._made += 1
        name = f"test_{self._made}"
        self.tell(f"create database {name} template {like}")
        return self.url(name)

    def drop(self, url: str) -> None:
        """Take a database away, whoever is still connected to it."""
        name = url.partition("?")[0].rpartition("/")[2]
        self.tell(f"drop database if exists {name} with (force)")

    def lend(self) -> str:
        """Return the address of a database in which nothing is kept; one that was used before has its tables."""
        return self._clean.pop() if self._clean else self.fresh()

    def take_back(self, url: str) -> None:
        """Empty a database that was lent; one that is not as this program makes it goes."""
        import psycopg
        from psycopg import sql

        from ventwright.store.database import migrations

        try:
            with psycopg.connect(url) as connection:
                connection.execute(ALONE)
                connection.execute("set synchronous_commit to off")
                kept = connection.execute("select version from ventwright_version").fetchone()
                for (name,) in connection.execute(TABLES).fetchall():
                    connection.execute(sql.SQL("delete from {}").format(sql.Identifier(name)))
                connection.execute("update arrival set reached = 0")
        except psycopg.Error:
            kept = None
        if kept == (len(migrations("postgres")),):
            self._clean.append(url)
        else:
            self.drop(url)

    def tell(self, statement: str) -> None:
        """Have a statement done outside of any transaction."""
        import psycopg

        with psycopg.connect(self.url(), autocommit=True) as connection:
            connection.execute(statement.encode())

    def _answers(self) -> bool:
        import psycopg

        try:
            psycopg.connect(self.url(), connect_timeout=2).close()
        except psycopg.OperationalError:
            return False
        return True

    def _run(self, program: str, *arguments: str | Path) -> None:
        command = [self._bin / program, *arguments]
        done = subprocess.run(
            command, capture_output=True, text=True, check=False, cwd=self.folder, **self._who
        )
        assert done.returncode == 0, done.stderr


def _unprivileged() -> dict[str, Any]:
    """Return as whom the server runs: it refuses to run as root."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return {}
    import pwd

    there = {one.pw_name: one for one in pwd.getpwall()}
    person = there.get("postgres") or there["nobody"]
    return {"user": person.pw_uid, "group": person.pw_gid, "extra_groups": []}


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[Server]:
    """Return a server for all tests of this process."""
    found = programs()
    if found is None:
        pytest.skip("PostgreSQL: no server's programs on this machine")
    server = Server(found)
    yield server
    server.close()


@pytest.fixture(scope="session")
def postgres_url(postgres_server: Server) -> str:
    """Return the address of a server; the databases in it are the tests' own."""
    return postgres_server.url()


@pytest.fixture
def fresh_postgres_url(postgres_server: Server) -> Iterator[str]:
    """Return the address of an empty database of this test's own."""
    url = postgres_server.fresh()
    yield url
    postgres_server.drop(url)
