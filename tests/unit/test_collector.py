"""The garbage collector rests while a plan is made, and is afterwards as it was before."""

import gc
from collections.abc import Iterator

import pytest
from tests.pinned.extract import EXAMPLES

import ampwright as aw
from ampwright.collector import resting


@pytest.fixture(autouse=True)
def _as_it_was() -> Iterator[None]:
    before = gc.isenabled()
    yield
    (gc.enable if before else gc.disable)()


@pytest.mark.parametrize("awake", [True, False])
def test_it_is_left_as_it_was_found(awake: bool) -> None:  # noqa: FBT001 - a case
    (gc.enable if awake else gc.disable)()
    with resting():
        assert not gc.isenabled()
        with resting():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled() is awake


@pytest.mark.parametrize("awake", [True, False])
def test_it_is_left_as_it_was_found_where_something_fails(awake: bool) -> None:  # noqa: FBT001 - a case
    (gc.enable if awake else gc.disable)()
    with pytest.raises(KeyError), resting():
        raise KeyError
    assert gc.isenabled() is awake


def test_no_collection_goes_through_a_plan() -> None:
    gc.enable()
    shop = aw.load_shop(EXAMPLES / "quarry-lane.toml")
    begun: list[bool] = []

    def told(phase: str, info: dict[str, int]) -> None:
        del info
        if phase == "start":
            begun.append(gc.isenabled())

    gc.callbacks.append(told)
    try:
        aw.plan(shop)
    finally:
        gc.callbacks.remove(told)
    assert gc.isenabled()
    assert len(begun) < 20  # around the call; while a plan is made there would be a hundred


def test_it_wakes_where_no_plan_can_be_made() -> None:
    gc.enable()
    with pytest.raises(aw.InputError):
        aw.plan({})  # type: ignore[arg-type]
    assert gc.isenabled()
