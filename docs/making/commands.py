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


def _below(group: click.Command, name: str, parent: click.Context) -> list[str]:
    """Return the help of the commands of a group."""
    own = click.Context(group, info_name=name, parent=parent)
    commands = group.commands if isinstance(group, click.Group) else {}
    return [
        section(f"`ampwright {name} {one}`", _help(commands[one], one, own), level=3)
        for one in sorted(commands)
    ]


def page() -> str:
    """Return the help of the program and of each command."""
    context = click.Context(main, info_name="ampwright")
    parts = [_help(main, "ampwright", None), ""]
    for name in names():
        command = main.commands[name]
        parts.append(section(f"`ampwright {name}`", _help(command, name, context)))
        parts += _below(command, name, context)
    return "\n".join(parts)
