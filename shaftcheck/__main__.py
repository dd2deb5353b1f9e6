"""`python -m shaftcheck`."""

from shaftcheck.cli import run

if __name__ == "__main__":
    run()
