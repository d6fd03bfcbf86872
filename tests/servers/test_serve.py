"""`bin/serve` as a person runs, stops and kills it."""

import os
import signal
import socket
import sys

import psycopg
import pytest

from config.paths import read_addresses
from config.processes import free_port, is_running, port_is_free
from tests.servers import running

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="looks processes up in /proc")


def test_keeps_its_data_through_a_kill_and_leaves_nothing_when_stopped() -> None:
    with running.data_folder() as folder:
        port = free_port()
        page = f"http://localhost:{port}/sign-in/"
        first = running.serve(folder, port)
        _wait_for_start(folder, first, times=1)
        assert running.status(page) == 200
        _write_marker(folder)

        again = running.serve(folder, free_port())
        assert again.wait(30) == 1
        assert f"already runs on this data folder: http://localhost:{port}/" in running.words(
            folder
        )

        left_behind = running.recorded_children(folder)
        first.send_signal(signal.SIGKILL)
        first.wait(10)
        assert all(is_running(pid) for pid in left_behind), "the kill should orphan them"

        second = running.serve(folder, port)
        _wait_for_start(folder, second, times=2)
        assert running.status(page) == 200
        assert _read_marker(folder) == "kept"
        new = running.recorded_children(folder)
        assert not set(new) & set(left_behind)
        assert not any(is_running(pid) for pid in left_behind)

        os.kill(new[1], signal.SIGKILL)  # a worker that dies is started again
        assert running.wait_until(lambda: running.recorded_children(folder)[1] != new[1], 10)

        second.send_signal(signal.SIGTERM)
        assert second.wait(30) == 0
        assert running.processes_of(folder) == []
        assert port_is_free("127.0.0.1", port)


def test_ctrl_c_during_the_start_leaves_nothing() -> None:
    with running.data_folder() as folder:
        server = running.serve(folder, free_port())
        assert running.wait_until(lambda: read_addresses(folder) is not None, 30)
        server.send_signal(signal.SIGINT)
        server.wait(30)
        assert running.processes_of(folder) == []


def test_a_taken_port_is_said_in_a_sentence() -> None:
    with running.data_folder() as folder, socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        server = running.serve(folder, port)
        assert server.wait(30) == 1
        assert f"Port {port} is taken by another program." in running.words(folder)
        assert running.processes_of(folder) == []


def _wait_for_start(folder: running.Path, server: running.subprocess.Popen, times: int) -> None:
    """Until the address was announced so often: the page may still come from orphans."""

    def settled() -> bool:
        return (
            running.words(folder).count("Rigwright runs at") == times or server.poll() is not None
        )

    assert running.wait_until(settled, 90, pause=0.1), running.words(folder)
    assert server.poll() is None, running.words(folder)


def _write_marker(folder: running.Path) -> None:
    with _database(folder) as connection:
        connection.execute("CREATE TABLE marker AS SELECT 'kept' AS word")


def _read_marker(folder: running.Path) -> str:
    with _database(folder) as connection:
        row = connection.execute("SELECT word FROM marker").fetchone()
    assert row
    return str(row[0])


def _database(folder: running.Path) -> psycopg.Connection:
    addresses = read_addresses(folder)
    assert addresses
    return psycopg.connect(addresses["database"])
