"""``python -m ampwright`` is the command ``ampwright``."""

from ampwright.cli import main

main(prog_name="ampwright")
