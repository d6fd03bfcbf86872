"""The embedded servers themselves."""

import os
import signal

import psycopg
import pytest
import redis

from config.embedded import EmbeddedServers, ServerProblem
from config.paths import read_addresses
from config.processes import is_running
from tests.servers import running


@pytest.fixture(autouse=True)
def no_given_addresses(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DATABASE_URL", "REDIS_URL"):
        monkeypatch.delenv(name, raising=False)


def test_two_data_folders_do_not_meet() -> None:
    with running.data_folder() as one, running.data_folder() as other:
        with EmbeddedServers(one) as servers, EmbeddedServers(other):
            here, there = read_addresses(one), read_addresses(other)
            assert here and there
            assert here["database"] != there["database"]
            with psycopg.connect(here["database"], autocommit=True) as connection:
                connection.execute("CREATE TABLE marker ()")
            with psycopg.connect(there["database"]) as connection:
                found = connection.execute("SELECT to_regclass('marker')").fetchone()
            assert found == (None,)
            assert servers.ensure() == []
        assert read_addresses(one) is None
        assert running.processes_of(one) == running.processes_of(other) == []


def test_killed_servers_are_started_again_with_what_they_knew() -> None:
    with running.data_folder() as folder, EmbeddedServers(folder) as servers:
        before = read_addresses(folder)
        assert before
        with psycopg.connect(before["database"], autocommit=True) as connection:
            connection.execute("CREATE TABLE marker AS SELECT 'kept' AS word")
        client = redis.Redis.from_url(before["redis"])
        client.rpush("queue", "job")
        client.close()
        for server in servers._servers:
            assert server.running
            os.kill(server.running.pid, signal.SIGKILL)
            assert running.wait_until(lambda s=server: not s.is_alive(), 5)

        assert servers.ensure() == ["postgres", "valkey"]
        after = read_addresses(folder)
        assert after
        with psycopg.connect(after["database"]) as connection:
            assert connection.execute("SELECT word FROM marker").fetchone() == ("kept",)
        client = redis.Redis.from_url(after["redis"])
        assert client.lrange("queue", 0, -1) == [b"job"]
        client.close()


def test_servers_of_a_killed_program_are_adopted() -> None:
    with running.data_folder() as folder:
        lost = EmbeddedServers(folder)
        lost.start()
        pids = [server.running.pid for server in lost._servers if server.running]
        assert lost._in_use
        lost._in_use.close()  # all that the system does for a killed holder

        with EmbeddedServers(folder) as servers:
            assert [s.running.pid for s in servers._servers if s.running] == pids
        assert lost._servers[0].is_alive() is False
        assert not any(is_running(pid) for pid in pids)


def test_the_last_user_stops_the_servers() -> None:
    with running.data_folder() as folder:
        with EmbeddedServers(folder) as first:
            with EmbeddedServers(folder):
                pass
            assert all(server.is_alive() for server in first._servers)
            assert read_addresses(folder)
        assert running.processes_of(folder) == []


def test_data_of_another_version_is_refused_in_a_sentence() -> None:
    with running.data_folder() as folder:
        with EmbeddedServers(folder):
            pass
        (folder / "postgres" / "PG_VERSION").write_text("9\n")
        with pytest.raises(ServerProblem, match="written by PostgreSQL 9, but the programs here"):
            EmbeddedServers(folder).start()
        assert running.processes_of(folder) == []


def test_a_stranger_without_the_password_gets_nothing() -> None:
    with running.data_folder() as folder, EmbeddedServers(folder):
        addresses = read_addresses(folder)
        assert addresses
        password = addresses["database"].split(":")[2].split("@")[0]
        with pytest.raises(psycopg.OperationalError, match="authentication failed"):
            psycopg.connect(addresses["database"].replace(password, "wrong"))
        client = redis.Redis.from_url(addresses["redis"].replace(password, "wrong"))
        with pytest.raises(redis.AuthenticationError):
            client.ping()
        client.close()
