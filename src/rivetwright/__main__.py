"""Run the command as `python -m rivetwright`."""

from rivetwright.cli.main import run

if __name__ == "__main__":
    run()
