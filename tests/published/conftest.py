"""What the published checks share: comparing with a printed figure, and keeping the comparison."""

from collections.abc import Callable

import pytest

Check = Callable[..., None]


@pytest.fixture
def printed(record_property: Callable[[str, object], None]) -> Check:
    """Return a check of our figure against a printed one.

    Each comparison is kept as a property of the test (name, printed value, ours, unit), so that a
    page of all of them can be made from a test run.
    """

    def check(name: str, published: float, ours: float, unit: str, *, within: float) -> None:
        record_property("published", (name, published, ours, unit))
        assert ours == pytest.approx(published, abs=within), f"{name}: {ours} {unit}"

    return check
