"""The decision: everything once, an id of what was said, and the warning not to buy yet."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import case_of, machine, motor, shop, supply
from tests.unit.planning.stand_ins import Code, proposal

from ampwright.case import Case
from ampwright.decision import Decision
from ampwright.finding import Assumption, Finding, Question, parameters
from ampwright.planning.assembly import Draft
from ampwright.planning.circuits import Equipped, equip
from ampwright.planning.conclusion import (
    canonical,
    conclude,
    distinct,
    identity,
    referred,
    used,
    warned,
)
from ampwright.planning.costs import built_in
from ampwright.planning.ranking import option, ranked
from ampwright.records.load import Load
from ampwright.registry import Offers
from ampwright.step import Figure, Step
from ampwright.tables import Source

OFFERS = Offers(
    regions={}, methods={"drive": None, "rotary": None}, reviews={"rule": None},  # type: ignore[dict-item] # only the names count
    plugins={
        "region:invented": ("region-x", "1.0"), "method:drive": ("method-drive", "2.0"),
        "method:rotary": ("method-rotary", "2.0"), "review:rule": ("house", "3.0"),
        "method:unused": ("method-unused", "9.0"),
    },
    problems=(),
)  # fmt: skip


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(machine("a"), machine("b"))


def test_what_is_said_twice_stands_once_and_in_order() -> None:
    one = Finding(code="x.y", severity="info", where=("a",))
    two = attrs.evolve(one, where=("b",))
    assert distinct([one, two, one]) == (one, two)


def test_a_figure_quoted_from_two_options_is_one() -> None:
    said = [
        Finding(code="x.y", severity="info", parameters=parameters(i=Figure(5.0, path)))
        for path in ("options/one/i", "options/two/i")
    ]
    assert distinct(said) == (said[0],)
    other = Finding(code="x.y", severity="info", parameters=parameters(i=6.0))
    assert distinct([said[0], other]) == (said[0], other)


def test_the_plugins_behind_what_took_part_are_named() -> None:
    found = used(OFFERS, Code())
    assert [(one.name, one.version) for one in found] == [
        ("house", "3.0"), ("method-drive", "2.0"), ("method-rotary", "2.0"), ("region-x", "1.0"),
    ]  # fmt: skip


def test_one_plugin_that_offers_two_things_stands_once() -> None:
    both = attrs.evolve(OFFERS, plugins={"method:drive": ("m", "1"), "method:rotary": ("m", "1")})
    assert [one.name for one in used(both, Code())] == ["m"]


def questions(*changes: str) -> list[Question]:
    return [Question(code=f"ask.{one}", field=one, where=("a",), changes=one) for one in changes]


@pytest.mark.parametrize("change", ["method", "size"])
def test_an_open_question_that_decides_warns_not_to_buy(change: str) -> None:
    *_, found = warned(questions("figures", change))
    assert (found.code, found.severity, found.where) == ("plan.do-not-buy-yet", "caution", ("a",))
    assert found.parameters[0].value == f"ask.{change}"


def test_an_answer_that_decides_the_method_is_named() -> None:
    (needed, _), (alone,) = warned(questions("method")), warned(questions("size"))
    assert (needed.code, needed.where) == ("plan.data-needed", ("a",))
    assert needed.parameters[0].value == "method"
    assert alone.code == "plan.do-not-buy-yet"


def test_questions_that_change_figures_or_safety_do_not_warn() -> None:
    assert warned(questions("figures", "safety")) == ()
    assert warned([]) == ()


def plan(case: Case, *methods: str, code: Code | None = None) -> Decision:
    """Return a decision between one option a method, each of which serves both machines."""
    region = code or Code()
    equipped = []
    for method in methods:
        one = proposal(
            method, "ab",
            assumptions=(Assumption(code="guess.of-method"),),
            questions=(Question(code=f"ask.{method}", field="x"),),
        )  # fmt: skip
        equipped.append(equip(Draft(id=method, proposals=(one,), left_out=()), case, region))
    return concluded(case, region, equipped)


def concluded(case: Case, region: Code, equipped: list[Equipped]) -> Decision:
    options = ranked(option(case, one, (), built_in()) for one in equipped)
    return conclude(case, region, OFFERS, equipped=equipped, options=options, prices=built_in())


def test_the_best_option_stands_first_and_is_chosen(case: Case) -> None:
    found = plan(case, "rotary", "drive")
    assert [one.id for one in found.options] == ["drive", "rotary"]
    assert found.chosen == "drive"
    assert found.best == found.options[0]
    assert found.verdict == found.options[0].verdict
    assert found.shop == case.shop
    assert (found.region.id, found.region.edition) == ("invented", "1")


def test_only_the_questions_of_the_chosen_way_are_asked(case: Case) -> None:
    found = {one.code for one in plan(case, "rotary", "drive").questions}
    assert "ask.drive" in found
    assert "ask.rotary" not in found
    assert {one.code for one in case.questions} <= found


def test_where_nothing_can_be_done_every_question_is_asked(case: Case) -> None:
    block = Finding(code="supply.undersized", severity="blocks", where=("service",))
    found = plan(case, "rotary", "drive", code=Code(said={"findings": (block,)}))
    assert (found.chosen, found.best, found.verdict) == (None, None, "not-feasible")
    assert {"ask.drive", "ask.rotary"} <= {one.code for one in found.questions}


def test_without_any_option_the_verdict_is_no(case: Case) -> None:
    found = concluded(case, Code(), [])
    assert (found.verdict, found.options, found.chosen) == ("not-feasible", (), None)


def test_what_everything_rests_on_stands_once(case: Case) -> None:
    codes = [one.code for one in plan(case, "rotary", "drive").assumptions]
    assert codes.count("guess.of-method") == 1
    assert {one.code for one in case.assumptions} <= set(codes)


def test_the_warning_stands_first(case: Case) -> None:
    shop_with_doubt = case_of(machine("a", motors=(motor(power=None),)), machine("b"))
    found = plan(shop_with_doubt, "drive")
    assert found.findings[0].code == "plan.do-not-buy-yet"
    assert "plan.do-not-buy-yet" not in {one.code for one in plan(case, "drive").findings}


def test_the_steps_that_all_options_share_are_the_cases_but_for_limits(case: Case) -> None:
    found = plan(case, "drive").steps
    assert set(found) <= set(case.steps)
    left = [one.path for one in case.steps if one not in found]
    assert all(path.startswith("limits/") for path in left)


def test_a_limit_that_nothing_rests_on_is_left_out() -> None:
    def limit(name: str) -> Step:
        return Step(path=f"limits/{name}", kind="assumed", symbol="k", value=1.0)

    other = Step(path="machines/a/x", kind="assumed", symbol="x", value=1.0)
    by_step = attrs.evolve(other, path="p", kind="formula", inputs=(("k", "limits/one"),))
    by_word = Finding(
        code="x.y", severity="info", parameters=parameters(k=Figure(1.0, "limits/two"))
    )
    steps = (limit("one"), other, limit("two"), limit("three"))
    assert referred(steps, [[by_step], by_word]) == steps[:3]
    assert referred(steps, []) == (other,)


def number(stated: Any, region: Code | None = None, steps: tuple[Step, ...] = ()) -> str:
    completed = case_of(*stated.machines, supply=stated.supply, name=stated.name)
    return identity(completed, region or Code(), (), steps)


def test_an_id_is_made_of_what_is_said_not_of_its_words() -> None:
    plain = shop(machine("a", motors=(motor(power="5 hp"),)))
    words = shop(machine("a", motors=(motor(power="5.0 HP"),)))
    assert number(words) == number(plain)


def test_the_order_of_machines_is_no_part_of_an_id() -> None:
    one, two = machine("a"), machine("b", length="11 m")
    assert number(shop(one, two)) == number(shop(two, one))


@pytest.mark.parametrize(
    "other",
    [
        shop(machine("b")),
        shop(machine("a", length="10.001 m")),
        shop(machine("a", motors=(motor(current="13.3/6.6 A"),))),
        shop(machine("a", motors=(motor(current="13.2/6.7 A"),))),
        shop(machine("a"), supply=supply(rating="125 A")),
        shop(machine("a"), name="another"),
        shop(machine("a", unloader=False)),
        shop(machine("a", loads=(Load(kind="lamp", power="60 W", phases=1),))),
    ],
)
def test_whatever_else_is_said_changes_the_id(other: Any) -> None:
    assert number(other) != number(shop(machine("a")))


def test_current_and_apparent_power_of_the_same_size_are_not_the_same() -> None:
    amperes, kva = (
        shop(machine("a"), supply=supply(existing_load=one)) for one in ("2400 A", "2400 VA")
    )
    assert number(amperes) != number(kva)


def test_region_edition_and_the_cells_read_are_part_of_an_id() -> None:
    stated = shop(machine("a"))

    def read(value: float) -> Step:
        source = Source(document="x", known="practice")
        return Step(path="p", kind="table", symbol="x", value=value, table="t", cell=("r", "c"),
                    source=source)  # fmt: skip

    found = {
        number(stated), number(stated, Code(id="other")), number(stated, Code(edition="2")),
        number(stated, steps=(read(1.0),)), number(stated, steps=(read(2.0),)),
    }  # fmt: skip
    assert len(found) == 5
    given = Step(path="p", kind="given", symbol="x", value=1.0)
    assert number(stated, steps=(given,)) == number(stated)


def test_an_id_is_sixteen_hexadecimal_digits(case: Case) -> None:
    found = identity(case, Code(), (), ())
    assert len(found) == 16
    assert int(found, 16) >= 0


def test_a_statement_in_canonical_form_is_plain_data() -> None:
    found = canonical(shop(machine("a", traits=("reversing",))))

    def plain(thing: object) -> bool:
        if isinstance(thing, dict):
            return all(isinstance(key, str) and plain(one) for key, one in thing.items())
        if isinstance(thing, list):
            return all(map(plain, thing))
        return thing is None or isinstance(thing, bool | int | float | str)

    assert plain(found)
    assert "required" not in str(found)  # a default says nothing


def test_true_false_and_nothing_stay_themselves() -> None:
    assert canonical((True, False, None, 1)) == [True, False, None, 1]


def test_a_limit_that_the_case_quotes_is_kept(case: Case) -> None:
    said = Finding(
        code="x.y", severity="info", parameters=parameters(k=Figure(1.0, "limits/run-up-time"))
    )
    quoting = attrs.evolve(case, findings=(*case.findings, said))
    kept = [one.path for one in referred(case.steps, [quoting]) if one.path.startswith("limits/")]
    assert kept == ["limits/run-up-time"]
    assert not [one for one in referred(case.steps, [case]) if one.path.startswith("limits/")]
