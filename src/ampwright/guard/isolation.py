"""Asking in a process of its own, which is ended when the time is up."""

import multiprocessing
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import TypeVar

from ampwright.errors import PluginError

Answer = TypeVar("Answer")


def _work(pipe: Connection, ask: Callable[[], object]) -> None:
    """Put into the pipe what *ask* returns or raises."""
    try:
        pipe.send((True, ask()))
    except Exception as error:  # a stranger's code may raise anything, and what cannot be sent
        pipe.send((False, f"{type(error).__name__}: {error}"))


def within(deadline_s: float, ask: Callable[[], Answer], plugin: str) -> Answer:
    """Return what *ask* returns, asked in a process of its own.

    Args:
        deadline_s: Time that it may take [s].
        ask: What is asked; it is copied into the other process.
        plugin: Name of the plugin.

    Raises:
        PluginError: The time was up, the process died, or the plugin raised.
    """
    methods = multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("fork" if "fork" in methods else None)
    ours, theirs = context.Pipe(duplex=False)
    child = context.Process(target=_work, args=(theirs, ask), daemon=True)
    child.start()
    theirs.close()
    try:
        if not ours.poll(deadline_s):
            wanted = f"an answer within {deadline_s:g} s"
            raise PluginError("none", wanted, plugin, code="plugin.timeout")
        sound, answer = ours.recv()
    except EOFError as error:
        died = "a process that ended"
        raise PluginError(died, "an answer", plugin, code="plugin.died") from error
    finally:
        child.kill()
        child.join()
        ours.close()
    if not sound:
        raise PluginError(answer, "an answer", plugin, code="plugin.raised")
    found: Answer = answer
    return found
