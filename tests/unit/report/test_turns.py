"""What must not run together, and the order of starting, as the first page says them."""

import pytest

import ampwright as aw

SUPPLY = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
          "rating": "200 A", "existing_load": "10 A"}  # fmt: skip


def planned(together: list[list[str]] | None, names: str = "abc") -> aw.Plan:
    """Return the plan of machines alike behind one converter."""
    machines = [
        {"id": one, "name": f"Saw {one}", "length": "10 m", "start": "light", "controls": "none",
         "plate": "5 HP 3 PH 60 HZ 1740 RPM 230/460 V 13.2/6.6 A", "traits": ["internal-switching"]}

        for one in names
    ]  # fmt: skip
    shop = {"region": "us", "supply": SUPPLY, "machines": machines}
    return aw.plan(aw.Shop.from_dict(shop | ({"together": together} if together else {})))


def section(plan: aw.Plan, title: str) -> str:
    """Return the words of a section of the first page, on one line."""
    text = plan.report("text")
    _, _, rest = text.partition(f"{title}\n---")
    return " ".join(rest.split("\n\n")[0].split())


@pytest.mark.parametrize(
    ("together", "pairs"),
    [
        (None, ()),
        ([["a", "b", "c"]], ()),
        ([["a", "b"], ["b", "c"]], (("a", "c"),)),
        ([["a"], ["b"], ["c"]], (("a", "b"), ("a", "c"), ("b", "c"))),
    ],
)
def test_each_pair_that_stands_in_no_set_must_not_run_together(
    together: list[list[str]] | None, pairs: tuple[tuple[str, str], ...]
) -> None:
    plan = planned(together)
    assert plan.options
    for option in plan.options:
        if all(one.method for one in option.machines):
            assert set(option.apart) == set(pairs)


def test_what_never_runs_together_is_said_and_is_in_no_order_together() -> None:
    plan = planned([["a", "b"], ["c"]])
    assert plan.best is not None
    never = section(plan, "What must not run together")
    assert "Saw a and Saw c: one at a time." in never
    assert "Saw b and Saw c: one at a time." in never
    assert "Saw a and Saw b: one" not in never
    order = section(plan, "Order of starting")
    for entry in order.split("- ")[1:]:
        assert not ("Saw c" in entry and ("Saw a" in entry or "Saw b" in entry))
    assert "Saw a" in order
    assert "Saw c" in order


def test_several_partners_of_one_machine_stand_in_one_line() -> None:
    never = section(planned([["a"], ["b"], ["c"]]), "What must not run together")
    assert "Saw a: not together with any of these: Saw b and Saw c." in never
    assert "Saw b and Saw c: one at a time." in never


def test_where_all_run_at_once_there_is_one_order_of_all() -> None:
    order = section(planned(None), "Order of starting")
    assert "1." in order
    assert order.count("Saw") == 3


def test_a_new_motor_has_a_name_in_the_table_of_sizes() -> None:
    machine = {"id": "saw", "name": "Table saw", "length": "10 m", "start": "light",
               "plate": "5 HP 3 PH 60 HZ 1740 RPM 230/460 V 13.2/6.6 A"}  # fmt: skip
    shop = aw.Shop.from_dict({"region": "us", "supply": SUPPLY, "machines": [machine]})
    text = aw.plan(shop, methods=["motor-swap"]).report("text")
    sizes = text.partition("Why that size")[2]
    assert "motor.saw/0" not in text.lower()
    assert "New motor of Table saw" in " ".join(sizes.split())
