"""The compose file's own commands, run as plain processes: no Docker engine needed."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from config.embedded import EmbeddedServers
from config.paths import PROJECT
from config.processes import free_port
from tests.servers import running

BEHIND_THE_PROXY = {"Host": "rig.example", "X-Forwarded-Proto": "https"}


@pytest.fixture
def services() -> dict[str, dict]:
    return yaml.safe_load((PROJECT / "docker-compose.yml").read_text())["services"]


@pytest.fixture
def production(monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, str]]:
    """Environment of the compose file's services, with embedded servers behind it."""
    for name in ("DATABASE_URL", "REDIS_URL"):
        monkeypatch.delenv(name, raising=False)
    with running.data_folder() as folder, EmbeddedServers(folder) as servers:
        addresses = servers.addresses()
        yield running.environment(
            folder,
            RIGWRIGHT_MODE="production",
            SECRET_KEY="x" * 60,
            DATABASE_URL=addresses["database"],
            REDIS_URL=addresses["redis"],
            RIGWRIGHT_HOSTS="rig.example,localhost",
            RIGWRIGHT_ORIGINS="https://rig.example",
        )


def test_the_settings_here_are_those_of_the_compose_file(
    services: dict[str, dict], production: dict[str, str]
) -> None:
    stated = set(services["web"]["environment"])
    assert stated == set(services["worker"]["environment"])
    assert stated <= set(production)


def test_web_and_worker_commands_run_and_the_sign_in_page_answers(
    services: dict[str, dict], production: dict[str, str]
) -> None:
    port = free_port()
    folder = Path(production["RIGWRIGHT_DATA"])
    for command in (
        services["migrate"]["command"],
        ["python", "manage.py", "collectstatic", "--no-input"],
    ):
        _run(command, production)
    web_command = [
        re.sub(r"0\.0\.0\.0:8000", f"127.0.0.1:{port}", w) for w in services["web"]["command"]
    ]
    assert web_command != services["web"]["command"]
    worker_command = [w.replace("/tmp/", f"{folder}/") for w in services["worker"]["command"]]

    web = _start(web_command, production)
    worker = _start(worker_command, production)
    try:
        base = f"http://localhost:{port}"
        running.wait_for_page(f"{base}/healthy/", web)
        assert running.status(f"{base}/sign-in/", BEHIND_THE_PROXY) == 200
        assert (
            running.status(f"{base}/sign-in/", BEHIND_THE_PROXY | {"Host": "other.example"}) == 400
        )
        _run(services["worker"]["healthcheck"]["test"][1:], production, tries=10)
        health = services["web"]["healthcheck"]["test"][1:]
        _run([word.replace("localhost:8000", f"localhost:{port}") for word in health], production)
    finally:
        for process in (web, worker):
            process.terminate()
        assert [process.wait(20) for process in (web, worker)] == [0, 0]


def _program(command: list[str]) -> list[str]:
    """The command with the program of this virtual environment."""
    return [str(Path(sys.executable).parent / command[0]), *command[1:]]


def _start(command: list[str], environment: dict[str, str]) -> subprocess.Popen[str]:
    return subprocess.Popen(_program(command), cwd=PROJECT, env=environment, text=True)


def _run(command: list[str], environment: dict[str, str], tries: int = 1) -> None:
    for _ in range(tries):
        done = subprocess.run(
            _program(command),
            cwd=PROJECT,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode == 0:
            return
    raise AssertionError(f"{command} failed: {done.stdout}{done.stderr}")
