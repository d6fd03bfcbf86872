"""The two locks: pinned, hashed, agreeing, and free of any place to load from."""

import re

import pytest

from config.paths import PROJECT

RUNTIME, DEV = "requirements.txt", "requirements-dev.txt"


def pins(name: str) -> set[str]:
    return set(re.findall(r"^[a-z0-9._-]+==[^ \\]+", (PROJECT / name).read_text(), re.MULTILINE))


def test_the_development_lock_holds_the_runtime_lock() -> None:
    assert len(pins(RUNTIME)) > 30
    assert pins(RUNTIME) < pins(DEV)


@pytest.mark.parametrize("name", [RUNTIME, DEV])
def test_every_package_has_a_hash_and_no_index_is_named(name: str) -> None:
    text = (PROJECT / name).read_text()
    entries = [entry for entry in re.split(r"\n(?=[a-z])", text) if "==" in entry.split("\n")[0]]
    assert entries and all("--hash=sha256:" in entry for entry in entries)
    assert not re.search(r"://|--(extra-)?index|--find-links", text)
