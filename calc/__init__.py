"""The arithmetic of a sound system: plain functions that know no web and no database.

`calc.check.check` is the one door in; `calc.serialise` reads and writes its input and output.
"""

VERSION = "5"
"""Raised whenever the same description could give other figures than before."""
