"""What is raised by code from outside ends here: it becomes a problem of its plugin."""

from collections.abc import Iterator
from contextlib import contextmanager

from ampwright.errors import PluginError


@contextmanager
def contained(plugin: str) -> Iterator[None]:
    """Let nothing from outside end the program: whatever is no error becomes one.

    Errors pass, for callers to name; so does the interrupt of a person at the keyboard.

    Args:
        plugin: Name of the plugin that is asked.

    Raises:
        PluginError: Something else was raised, as by ``sys.exit``.
    """
    try:
        yield
    except (Exception, KeyboardInterrupt):
        raise
    except BaseException as error:
        said = f"{type(error).__name__}: {error}"
        raise PluginError(said, "an answer", plugin, code="plugin.raised") from error
