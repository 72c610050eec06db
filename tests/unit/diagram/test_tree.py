"""What feeds what, also where a plugin states it in an unusual way."""

import attrs
import pytest

from ampwright.decision import Decision
from ampwright.diagram.tree import Branch, branches
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.option import Option


@pytest.fixture
def option(decision: Decision) -> Option:
    """Return the best option of the invented plan, without circuits."""
    assert decision.best is not None
    return attrs.evolve(decision.best, circuits=(), converters=(), transformers=())


@pytest.fixture
def circuit(decision: Decision) -> Circuit:
    """Return any circuit, without what it feeds."""
    assert decision.best is not None
    return attrs.evolve(decision.best.circuits[0], feeds=(), fed_from="", overloads=())


@pytest.fixture
def converter(decision: Decision) -> Converter:
    """Return any converter."""
    assert decision.best is not None
    return attrs.evolve(decision.best.converters[0], id="set", machines=("a",))


def shape(found: tuple[Branch, ...]) -> list[object]:
    """Return ids of circuits, converters and machines as nested lists."""
    return [
        [
            one.circuit.id if one.circuit else "",
            [part.id for part in one.converters],
            list(one.machines),
            shape(one.behind),
        ]
        for one in found
    ]


def test_a_circuit_fed_from_a_converter_hangs_behind_it(
    option: Option, circuit: Circuit, converter: Converter
) -> None:
    supply = attrs.evolve(circuit, id="s", role="supply", feeds=("set",))
    branch = attrs.evolve(circuit, id="b", role="branch", feeds=("a",), fed_from="set")
    found = branches(attrs.evolve(option, circuits=(supply, branch), converters=(converter,)))
    assert shape(found) == [["s", ["set"], [], [["b", [], ["a"], []]]]]


def test_what_only_an_idler_circuit_feeds_stands_at_its_end(
    option: Option, circuit: Circuit, converter: Converter
) -> None:
    idler = attrs.evolve(circuit, id="i", role="idler", feeds=("set",))
    output = attrs.evolve(circuit, id="o", role="output", feeds=("a",), fed_from="i")
    made = attrs.evolve(option, circuits=(idler, output), converters=(converter,))
    assert shape(branches(made)) == [["i", ["set"], [], [["o", [], ["a"], []]]]]
    assert branches(made)[0].idler is None


def test_an_idler_beside_a_supply_circuit_is_a_motor(
    option: Option, circuit: Circuit, converter: Converter
) -> None:
    idler = attrs.evolve(circuit, id="i", role="idler", feeds=("set",), fed_from="s")
    supply = attrs.evolve(circuit, id="s", role="supply", feeds=("set",))
    made = attrs.evolve(option, circuits=(idler, supply), converters=(converter,))
    assert shape(branches(made)) == [["s", ["set"], ["a"], [["i", [], [], []]]]]
    assert branches(made)[0].behind[0].idler == converter


def test_a_converter_that_no_circuit_feeds_hangs_on_the_panel(
    option: Option, circuit: Circuit, converter: Converter
) -> None:
    branch = attrs.evolve(circuit, id="b", role="branch", feeds=("a",), fed_from="set")
    made = attrs.evolve(option, circuits=(branch,), converters=(converter,))
    assert shape(branches(made)) == [["", ["set"], [], [["b", [], ["a"], []]]]]


def test_circuits_in_a_ring_are_drawn_all_the_same(option: Option, circuit: Circuit) -> None:
    one = attrs.evolve(circuit, id="x", role="output", fed_from="y", feeds=("a",))
    two = attrs.evolve(circuit, id="y", role="output", fed_from="x", feeds=("b",))
    found = branches(attrs.evolve(option, circuits=(one, two)))
    drawn = [part.circuit.id for branch in found for part in branch.walked() if part.circuit]
    assert sorted(drawn) == ["x", "y"]


def test_the_circuit_ahead_of_the_panel_is_none_of_its_branches(
    option: Option, circuit: Circuit
) -> None:
    service = attrs.evolve(circuit, id="service", role="service")
    assert branches(attrs.evolve(option, circuits=(service,))) == ()
