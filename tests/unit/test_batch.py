"""Many shops: each like alone, a bad one costs its row, and a cut run goes on."""

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import attrs
import pytest

import ampwright as aw

EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "quarry-lane.toml"


@pytest.fixture(scope="module")
def shops() -> list[aw.Shop]:
    shop = aw.load_shop(EXAMPLE)
    small = attrs.evolve(shop, machines=shop.machines[:2], together=None)
    return [attrs.evolve(small, name=f"shop {n}") for n in range(3)]


def test_many_are_like_one_by_one(shops: list[aw.Shop]) -> None:
    found = list(aw.plan_many(shops))
    assert [one.row for one in found] == [1, 2, 3]
    assert [one.plan for one in found] == [aw.plan(one) for one in shops]
    assert all(one.error is None for one in found)


def test_a_bad_row_costs_only_itself(shops: list[aw.Shop]) -> None:
    bad = shops[1].to_dict()
    bad["machines"][0]["length"] = "-3 m"
    first, second, third = aw.plan_many([shops[0], bad, shops[2]])
    assert first.plan == aw.plan(shops[0])
    assert third.plan == aw.plan(shops[2])
    assert second.plan is None
    assert isinstance(second.error, aw.InputError)
    assert "machines[0].length" in str(second.error)


def test_any_map_will_do(shops: list[aw.Shop]) -> None:
    with ThreadPoolExecutor(2) as pool:
        assert [one.plan for one in aw.plan_many(shops, map=pool.map)] == [
            aw.plan(one) for one in shops
        ]


def test_a_cut_run_goes_on_where_it_stopped(shops: list[aw.Shop], tmp_path: Path) -> None:
    journal = tmp_path / "done.jsonl"
    whole = list(aw.plan_many(shops, journal=journal))
    text = journal.read_text(encoding="utf-8")
    lines = text.splitlines(keepends=True)
    assert len(lines) == 4
    journal.write_text("".join(lines[:2]) + lines[2][:500], encoding="utf-8")
    asked = []

    def counting(ask: Callable[[Any], Any], rows: Iterable[Any], /) -> Iterable[Any]:
        for row in rows:
            asked.append(row.name)
            yield ask(row)

    again = list(aw.plan_many(shops, journal=journal, map=counting))
    assert again == whole
    assert asked == ["shop 1", "shop 2"]
    assert journal.read_text(encoding="utf-8") == text


def test_a_journal_of_other_shops_is_refused_and_left_alone(
    shops: list[aw.Shop], tmp_path: Path
) -> None:
    journal = tmp_path / "done.jsonl"
    list(aw.plan_many(shops[:1], journal=journal))
    text = journal.read_text(encoding="utf-8")
    with pytest.raises(aw.ConsistencyError, match="digest"):
        list(aw.plan_many(shops[1:], journal=journal))
    assert journal.read_text(encoding="utf-8") == text
