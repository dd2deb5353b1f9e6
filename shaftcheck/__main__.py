"""`python -m shaftcheck`."""

from shaftcheck.cli import run

run()
