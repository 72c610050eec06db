"""The command line, as it describes itself."""

import click
from docs.making.markup import section

from ampwright.cli import main

WIDTH = 88


def names() -> tuple[str, ...]:
    """Return the names of the commands."""
    return tuple(sorted(main.commands))


def _help(command: click.Command, name: str, parent: click.Context | None) -> str:
    context = click.Context(command, info_name=name, parent=parent, terminal_width=WIDTH,
                            max_content_width=WIDTH)  # fmt: skip
    return f"```text\n{command.get_help(context)}\n```"


def page() -> str:
    """Return the help of the program and of each command."""
    context = click.Context(main, info_name="ampwright")
    parts = [_help(main, "ampwright", None), ""]
    parts += [
        section(f"`ampwright {name}`", _help(main.commands[name], name, context))
        for name in names()
    ]
    return "\n".join(parts)
