"""The garbage collector, and how it is kept from going through a plan again and again."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def resting() -> Iterator[None]:
    """Let the collector rest for a while, and leave it as it was.

    A plan makes a hundred thousand objects that stay and hardly any that refer to each other in a
    circle; the collector would go through all of them, and those of the caller's program, several
    times in vain. Whoever finds it at rest leaves it so, and whoever laid it to rest wakes it:
    where plans are made in several threads it wakes each time one of them is done.
    """
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
