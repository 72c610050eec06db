"""Asking in a process of its own, which is ended when the time is up or the plan is made."""

import multiprocessing
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from ampwright.errors import PluginError


def _work(pipe: Connection, one: object) -> None:
    """Answer what comes through the pipe, until it is closed."""
    while True:
        try:
            call, arguments = pipe.recv()
        except EOFError:
            return
        try:
            pipe.send((True, getattr(one, call)(*arguments)))
        except Exception as error:  # a stranger's code may raise anything, and what cannot be sent
            pipe.send((False, f"{type(error).__name__}: {error}"))


class Apart:
    """An object from outside that lives in a process of its own.

    One that lets the time go by, or whose process dies, is not asked again.

    Args:
        one: The object; it is copied into the other process when it is first asked.
        plugin: Name of the plugin.
        deadline_s: Time that each answer may take [s].
    """

    def __init__(self, one: object, plugin: str, deadline_s: float) -> None:
        self.one, self.plugin, self.deadline_s = one, plugin, deadline_s
        self._child: tuple[BaseProcess, Connection] | None = None
        self._off: PluginError | None = None

    def ask(self, call: str, *arguments: object) -> object:
        """Return what the object answers to one *call*.

        Raises:
            PluginError: The time was up, the process died, or the object raised.
        """
        if self._off is None:
            sound, answer = self._answered(call, arguments)
            if sound:
                return answer
            raise PluginError(answer, "an answer", self.plugin, code="plugin.raised")
        off = self._off
        raise PluginError(off.value, off.expected, self.plugin, code=off.code)

    def end(self) -> None:
        """End the process, if there is one."""
        if self._child is not None:
            child, pipe = self._child
            self._child = None
            child.kill()
            child.join()
            pipe.close()

    def _answered(self, call: str, arguments: tuple[object, ...]) -> tuple[bool, object]:
        _, pipe = self._child = self._child or self._begun()
        try:
            pipe.send((call, arguments))
            if not pipe.poll(self.deadline_s):
                wanted = f"an answer within {self.deadline_s:g} s"
                raise self._over(PluginError("none", wanted, self.plugin, code="plugin.timeout"))
            sound, answer = pipe.recv()
        except (EOFError, OSError) as error:
            died = "a process that ended"
            raise self._over(
                PluginError(died, "an answer", self.plugin, code="plugin.died")
            ) from error
        return sound, answer

    def _begun(self) -> tuple[BaseProcess, Connection]:
        methods = multiprocessing.get_all_start_methods()
        context = multiprocessing.get_context("fork" if "fork" in methods else None)
        ours, theirs = context.Pipe()
        child = context.Process(target=_work, args=(theirs, self.one), daemon=True)
        child.start()
        theirs.close()
        return child, ours

    def _over(self, error: PluginError) -> PluginError:
        """End the process for good, and return why."""
        self.end()
        self._off = error
        return error
