"""The tests of the core see the core: what else is installed beside it is left out."""

from collections.abc import Iterator, Sequence

import pytest

from ampwright import discovery, registry
from ampwright.entry_points import EntryPoint

HIDDEN = {one.name for one in discovery.installed() if not discovery.is_built_in(one)}


def _known() -> Sequence[EntryPoint]:
    return [one for one in _installed() if one.name not in HIDDEN]


_installed = discovery.installed


@pytest.fixture(scope="session", autouse=True)
def built_in_plugins_only() -> Iterator[None]:
    """Hide the plugins that were installed before the tests began."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(discovery, "installed", _known)
        patch.setattr(registry, "installed", _known)
        yield
