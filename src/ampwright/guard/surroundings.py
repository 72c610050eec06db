"""What code from outside changes in this process is put back where Python allows."""

import contextlib
import locale
import random
import sys
import warnings
from collections.abc import Iterator
from decimal import getcontext, setcontext


@contextlib.contextmanager
def kept() -> Iterator[None]:
    """Put back locale, warnings, random state, decimal context and numpy's error state."""
    where = locale.setlocale(locale.LC_ALL)
    dice, context = random.getstate(), getcontext().copy()
    numpy = sys.modules.get("numpy")
    errors = dict(numpy.geterr()) if numpy is not None else {}
    try:
        with warnings.catch_warnings():
            yield
    finally:
        if locale.setlocale(locale.LC_ALL) != where:
            with contextlib.suppress(locale.Error):
                locale.setlocale(locale.LC_ALL, where)
        random.setstate(dice)
        setcontext(context)
        if numpy is not None:
            numpy.seterr(**errors)
