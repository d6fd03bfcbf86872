"""`bin/bench [--only PREFIX] [--json FILE]`: measure and print, one line per figure.

Each line reads `name  value unit  ratio  reference`. Every module in this folder adds its
figures with the `benchmark` decorator.
"""

import argparse
import importlib
import json
import pkgutil
import sys
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import benchmarks
from benchmarks.figures import REGISTRY, Entry, Figure


def load_all() -> None:
    """Import every module here, so that all benchmarks are registered."""
    for module in pkgutil.iter_modules(benchmarks.__path__):
        importlib.import_module(f"benchmarks.{module.name}")


def measured(entry: Entry) -> Iterator[Figure]:
    """The figures of one benchmark; each promised one that is missing says why."""
    missing = list(entry.names)
    why = "the benchmark did not yield it"
    try:
        for figure in entry.measure():
            missing.remove(figure.name)
            yield figure
    except Exception as problem:  # one benchmark must not hide the others' figures
        why = f"{type(problem).__name__}: {problem}"
    for name in missing:
        yield Figure(name, None, "", note=why)


def line(figure: Figure) -> str:
    value = "-" if figure.value is None else f"{figure.value:.4g}"
    ratio = "-" if figure.ratio is None else f"{figure.ratio:.3g}"
    text = f"{figure.name:36} {value:>9} {figure.unit:6} {ratio:>7}  {figure.reference}"
    return f"{text}  ({figure.note})" if figure.note else text


def main() -> int:
    parser = argparse.ArgumentParser(prog="bin/bench", description=__doc__)
    parser.add_argument("--only", default="", metavar="PREFIX", help="names that start so")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures there too")
    wanted = parser.parse_args()
    load_all()
    figures: list[Figure] = []
    for entry in REGISTRY:
        if not any(name.startswith(wanted.only) for name in entry.names):
            continue
        for figure in measured(entry):
            if figure.name.startswith(wanted.only):
                print(line(figure), flush=True)
                figures.append(figure)
    if wanted.json:
        wanted.json.write_text(json.dumps([asdict(figure) for figure in figures], indent=1) + "\n")
    if not figures:
        print(f"No figure starts with {wanted.only!r}.", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
