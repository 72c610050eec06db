"""One object from outside: watched while it is asked, and held to leave the question as it was."""

import logging
import pickle
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

import attrs

from ampwright.errors import InternalError
from ampwright.guard.border import contained
from ampwright.guard.isolation import Apart
from ampwright.guard.surroundings import kept

LOG = logging.getLogger("ampwright")
#: A plugin that takes longer than this is named in the log [s].
PATIENCE_S = 10.0


@contextmanager
def watched(name: str) -> Iterator[None]:
    """Name a plugin in the log that takes longer than the patience there is."""
    said = f"the plugin {name} has not answered for {PATIENCE_S:g} s"
    timer = threading.Timer(PATIENCE_S, LOG.warning, (said,))
    timer.daemon = True
    timer.start()
    try:
        with kept(), contained(name):
            yield
    finally:
        timer.cancel()


@attrs.define(eq=False)
class Outsider:
    """A method, region, house rule or check from outside.

    Attributes:
        one: The object that is asked.
        name: Its name in problems.
        deadline_s: Time that an answer may take, given in a process of its own [s]; ``None``: it
            is asked here, where nothing can end it.
        broken: What must not go on: it changed what it was asked.
    """

    one: object
    name: str
    deadline_s: float | None = None
    broken: list[InternalError] = attrs.field(factory=list)
    _apart: Apart | None = attrs.field(default=None, init=False)

    def ask(self, call: str, *arguments: object) -> object:
        """Return what the object answers to one *call*.

        Raises:
            Exception: Whatever it raises; `PluginError` where that is no error, where its time was
                up, or where its process died.
        """
        if self.deadline_s is not None:
            self._apart = self._apart or Apart(self.one, self.name, self.deadline_s)
            return self._apart.ask(call, *arguments)
        before = pickle.dumps(arguments)
        try:
            with watched(self.name):
                return getattr(self.one, call)(*arguments)
        finally:
            if pickle.dumps(arguments) != before:
                wanted = f"the question as the plugin {self.name} was asked it"
                self.broken.append(InternalError("a changed one", wanted, self.name))

    def end(self) -> None:
        """End its process, if it has one."""
        if self._apart is not None:
            self._apart.end()


def ended(outsiders: Iterable[Outsider]) -> None:
    """End every process, and hold that nothing from outside changed what it was asked.

    Raises:
        InternalError: Something did; nothing that was reckoned beside it can be believed.
    """
    asked = tuple(outsiders)
    for one in asked:
        one.end()
    broken = next((error for one in asked for error in one.broken), None)
    if broken is not None:
        raise broken
