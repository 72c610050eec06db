"""What the examples of a page print, put below them when the pages are built.

The blocks of a page run in order in one namespace, in the root of the repository, just as the tests
run them; so what a reader sees is what they print.
"""

import io
import re
from contextlib import chdir, redirect_stdout
from pathlib import Path

ROOT = Path(__file__).parents[2]
BLOCK = re.compile(r"^```python\n(.*?)^```\n", re.MULTILINE | re.DOTALL)


def with_outputs(text: str, name: str) -> str:
    """Return *text* with the output of each block of Python below it.

    Args:
        text: A page in Markdown.
        name: Name of the page, for messages.

    Raises:
        Exception: Whatever a block raises.
    """
    space: dict[str, object] = {"__name__": name}

    def run(match: re.Match[str]) -> str:
        out = io.StringIO()
        with redirect_stdout(out), chdir(ROOT):
            exec(compile(match[1], f"<{name}>", "exec"), space)  # noqa: S102 - our own pages
        said = "\n".join(line.rstrip() for line in out.getvalue().splitlines())
        shown = f"\n```{{code-block}} text\n:class: printed\n\n{said}\n```\n" if said else ""
        return match[0] + shown

    return BLOCK.sub(run, text)


def source_read(_app: object, name: str, source: list[str]) -> None:
    """Put the outputs into a page; Sphinx calls this."""
    if "```python" in source[0]:
        source[0] = with_outputs(source[0], name)
