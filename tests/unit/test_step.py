"""One derived number: evaluated from its own text, collected in order, moved to its option."""

import math
import pickle

import attrs
import pytest

from ampwright.finding import Finding, parameters
from ampwright.step import HERE, Figure, Step, Worksheet, evaluate, moved, rebased
from ampwright.tables import Source

BOOK = Source(document="a book", clause="p. 1", edition="1", known="memory")


@pytest.mark.parametrize(
    ("formula", "values", "wanted"),
    [
        ("1.25 * I", {"I": 16.0}, 20.0),
        ("sqrt(3) * U * I", {"U": 230.0, "I": 10.0}, math.sqrt(3.0) * 2300.0),
        ("max(a, b) - min(a, b)", {"a": 3.0, "b": 5.0}, 2.0),
        ("-abs(a) ** 2", {"a": -3.0}, -9.0),
        ("ceil(a / 2)", {"a": 5.0}, 3.0),
        ("0", {}, 0.0),
    ],
)
def test_arithmetic(formula: str, values: dict[str, float], wanted: float) -> None:
    assert evaluate(formula, values) == pytest.approx(wanted, rel=1e-15)


@pytest.mark.parametrize(
    "formula",
    [
        "__import__('os')", "a.b", "a[0]", "(lambda: 1)()", "'text'", "a if b else c", "True",
        "exec(a)", "a and b", "[a for a in b]", "a == b", "sqrt(x=1)", "f'{a}'",
        "sqrt", "(a, b)", "a b", "a := b", "1j", "0x10", "1_000", "a // b", "a % b", "~a", "a @ b",
        "exec (a)", "a(b)", "1.real", "a.5", "(a)(b)", "min(*a)", "", "a; b", "a\n+ b", "not a",
        "1 if a else 2", "...", "sqrt()", "sqrtx(a)", "x.sqrt(a)", "a # b", "a\\\nb",
    ],
)  # fmt: skip
def test_anything_but_arithmetic_is_refused(formula: str) -> None:
    with pytest.raises(ValueError, match="not arithmetic"):
        evaluate(formula, {"a": 1.0, "b": 1.0, "c": 1.0})


def test_a_name_without_a_value_is_an_error() -> None:
    with pytest.raises(NameError):
        evaluate("a + b", {"a": 1.0})


def test_steps_of_a_sheet_are_as_if_made_field_by_field() -> None:
    sheet, known = Worksheet("p"), ("b", Figure(2.0, "q/b"))
    sheet.given("a", "I", 2, "A", text="2 A")
    sheet.assumed("b", "k", 3, "", source=BOOK, rule="r", low=1.0, high=4.0)
    sheet.table("c", "S", "6 AWG", "", table="t", cell=("x", "y"), source=BOOK, rule="r",
                inputs=[known])  # fmt: skip
    sheet.formula("d", "I", "A", "2 * b", {"b": known[1]}, rule="r", source=BOOK)
    sheet.solved("e", "s", 0.5, "", model="m", source=BOOK, residual=1e-9, unknowns=("s",),
                 inputs=[known], rule="r", low=0.1, high=0.9)  # fmt: skip
    caller = Source(document="stated by the caller", known="caller")
    paths = (("b", "q/b"),)
    assert sheet.steps == (
        Step(path="p/a", kind="given", symbol="I", value=2.0, unit="A", text="2 A", source=caller),
        Step(path="p/b", kind="assumed", symbol="k", value=3.0, source=BOOK, rule="r", low=1.0,
             high=4.0),
        Step(path="p/c", kind="table", symbol="S", value="6 AWG", table="t", cell=("x", "y"),
             source=BOOK, rule="r", inputs=paths),
        Step(path="p/d", kind="formula", symbol="I", value=4.0, unit="A", formula="2 * b",
             inputs=paths, rule="r", source=BOOK),
        Step(path="p/e", kind="solved", symbol="s", value=0.5, formula="m", inputs=paths, rule="r",
             source=BOOK, unknowns=("s",), residual=1e-9, low=0.1, high=0.9),
    )  # fmt: skip


def test_a_step_of_a_sheet_is_sealed_and_comes_back_from_a_pickle() -> None:
    sheet = Worksheet("p")
    sheet.given("a", "I", 2.0, "A")
    (step,) = sheet.steps
    assert type(step) is Step
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        step.value = 3.0  # type: ignore[misc]
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        del step.value
    assert pickle.loads(pickle.dumps(step)) == step  # noqa: S301 - written just here


def test_a_formula_is_evaluated_from_the_text_that_is_stated() -> None:
    sheet = Worksheet("circuits/saw")
    flc = sheet.table("current", "I", 15.2, "A", table="motor_current", cell=("5 hp", "230 V"),
                      source=BOOK)  # fmt: skip
    need = sheet.formula("required", "I_req", "A", "1.25 * I", I=flc, rule="nec.430.22")
    assert need == Figure(19.0, "circuits/saw/required")
    step = sheet.steps[-1]
    assert (step.formula, step.inputs, step.rule) == (
        "1.25 * I", (("I", "circuits/saw/current"),), "nec.430.22",
    )  # fmt: skip
    assert step.value == 19.0


def test_terms_and_keywords_go_into_one_formula() -> None:
    sheet = Worksheet("a")
    one, two = sheet.given("x", "x", 2, "A"), sheet.given("y", "y", 3, "A")
    assert sheet.formula("z", "z", "A", "p + q", {"p": one}, q=two).value == 5.0


def test_sub_sheets_collect_into_one_list_in_order() -> None:
    sheet = Worksheet("a")
    sheet.given("x", "x", 1.0, "")
    sheet.under("b").given("y", "y", 2.0, "")
    sheet.given("z", "z", 3.0, "")
    assert [one.path for one in sheet.steps] == ["a/x", "a/b/y", "a/z"]


def test_a_solved_step_keeps_model_unknowns_and_residual() -> None:
    sheet = Worksheet("a")
    sheet.solved("s", "s", 0.03, "", model="network", source=BOOK, residual=1e-12,
                 unknowns=("slip",), low=0.02, high=0.05)  # fmt: skip
    (step,) = sheet.steps
    assert (step.kind, step.formula, step.residual, step.unknowns, step.low, step.high) == (
        "solved", "network", 1e-12, ("slip",), 0.02, 0.05,
    )  # fmt: skip


def test_a_text_from_a_table_counts_as_nought() -> None:
    sheet = Worksheet("a")
    assert sheet.table("size", "S", "8 AWG", "", table="t", cell=("8",), source=BOOK).value == 0.0
    assert sheet.steps[0].value == "8 AWG"


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="kind"):
        Step(path="a", kind="guessed", symbol="x", value=1.0)


def test_paths_move_with_everything_that_holds_them() -> None:
    figure = Figure(1.0, f"{HERE}/a/b")
    said = Finding(code="x.y", severity="info", parameters=parameters("v=A", v=figure, w="text"))
    step = Step(path=f"{HERE}/a", kind="formula", symbol="x", value=1.0,
                inputs=(("i", f"{HERE}/b"), ("j", "shop/c")))  # fmt: skip
    there = rebased((figure, said, step, "shop/d", 3.0), "options/one")
    assert there[0] == Figure(1.0, "options/one/a/b")
    assert [one.step for one in there[1].parameters] == ["options/one/a/b", ""]
    assert there[2].path == "options/one/a"
    assert there[2].inputs == (("i", "options/one/b"), ("j", "shop/c"))
    assert there[3:] == ("shop/d", 3.0)


def test_what_does_not_move_comes_back_as_it_is() -> None:
    said = Finding(code="x.y", severity="info", parameters=parameters(v=Figure(1.0, "shop/a")))
    assert rebased(said, "options/one") is said
    assert moved("~", "options/one") == "~"


def test_steps_can_be_pickled_and_are_frozen() -> None:
    step = Step(path="a", kind="given", symbol="x", value=1.0, source=BOOK)
    assert pickle.loads(pickle.dumps(step)) == step  # noqa: S301 - our own bytes
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        step.value = 2.0  # type: ignore[misc]


@pytest.mark.parametrize("place", [HERE, "shop"])
def test_a_step_that_is_moved_keeps_every_field(place: str) -> None:
    step = Step(
        path=f"{place}/a/x", kind="solved", symbol="I", value=2.0, unit="A", formula="a model",
        inputs=(("U", f"{HERE}/a/u"), ("P", "shop/p")), rule="nec.1", source=BOOK, table="t",
        cell=("r", "c"), text="said", unknowns=("I",), residual=1e-9, low=1.0, high=3.0,
    )  # fmt: skip
    for one in attrs.fields(Step):
        assert one.default is attrs.NOTHING or getattr(step, one.name) != one.default
    there = rebased(step, "options/one")
    path = "options/one/a/x" if place == HERE else "shop/a/x"
    inputs = (("U", "options/one/a/u"), ("P", "shop/p"))
    assert there == attrs.evolve(step, path=path, inputs=inputs)


def test_a_step_without_a_path_from_here_is_the_very_same() -> None:
    step = Step(path="shop/x", kind="given", symbol="I", value=2.0, inputs=(("P", "shop/p"),))
    assert rebased(step, "options/one") is step
