"""The papers tell the truth: what they name exists, and every figure's picture is there."""

import re
from pathlib import Path

import pytest

PROJECT = Path(__file__).parent.parent
PAPERS = [
    PROJECT / "README.md",
    PROJECT / "DEVELOPERS.md",
    *sorted((PROJECT / "docs").rglob("*.md")),
]


@pytest.mark.parametrize("paper", PAPERS, ids=lambda path: str(path.relative_to(PROJECT)))
def test_what_a_paper_links_to_exists(paper: Path) -> None:
    targets = re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", paper.read_text())
    missing = [t for t in targets if "://" not in t and not (paper.parent / t).exists()]
    assert not missing


@pytest.mark.parametrize("paper", PAPERS[:2], ids=lambda path: path.name)
def test_files_and_commands_named_in_the_front_papers_exist(paper: Path) -> None:
    named = re.findall(r"`((?:bin|docs|calc|rigs|config|tests)/[\w./-]+)", paper.read_text())
    named += re.findall(r"^(bin/\w+)", paper.read_text(), re.MULTILINE)
    missing = [name for name in named if not (PROJECT / name).exists()]
    assert named
    assert not missing


def test_the_two_commands_come_before_the_pictures() -> None:
    text = (PROJECT / "README.md").read_text()
    assert text.index("bin/serve") < text.index("bin/test") < text.index("![")
