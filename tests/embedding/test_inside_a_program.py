"""What a program that embeds the library relies on: no side effects, values, threads, pickles."""

import copy
import json
import pickle
import subprocess
import sys
import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import attrs
import pint
import pytest

import ampwright as aw

EXAMPLES = sorted((Path(__file__).parents[2] / "docs" / "examples").glob("*.toml"))
THREADS = 8

#: Plans, checks, reports and stores one shop while every event of the interpreter is heard.
WATCHED = """
import sys
heard = []
def hear(event, details):
    if event.startswith(("socket.", "subprocess.", "os.system", "os.exec", "os.fork", "os.remove",
                         "os.rename", "os.mkdir", "os.rmdir", "shutil.", "urllib.", "ftplib.",
                         "smtplib.", "http.", "winreg.", "tempfile.")):
        heard.append(event)
    elif event == "open":
        name, mode, flags = details
        writes = (isinstance(mode, str) and set(mode) & set("wax+")) or (
            isinstance(flags, int) and flags & 0b11)
        if writes and "__pycache__" not in str(name):
            heard.append(f"wrote {name}")
sys.addaudithook(hear)
import ampwright as aw
shop = aw.load_shop(sys.argv[1])
plan = aw.plan(shop)
aw.verify(plan)
for form in ("html", "markdown", "text"):
    plan.report(form)
plan.rows("circuits")
again = aw.Plan.from_json(plan.to_json())
aw.compare(plan, again)
aw.read_plate("5 HP 3PH 60CY 230/460 V")
print(heard)
"""


#: Shops that differ in what they share between threads: the edition of a code.
SMALL = (("one", "us@2023"), ("two", "us@2020"))


def small() -> aw.Shop:
    """Return a shop that is planned quickly."""
    saw = aw.Motor(power="2 hp", voltage="230/460 V", current="6/3 A", frequency="60 Hz")
    return aw.Shop(
        supply=aw.Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz",
                         rating="100 A", existing_load="14 A"),
        machines=(aw.Machine(id="saw", length="9 m", motors=(saw,), start="light"),),
    )  # fmt: skip


@pytest.fixture(scope="module")
def shop() -> aw.Shop:
    return aw.load_shop(EXAMPLES[0])


@pytest.fixture(scope="module")
def plan(shop: aw.Shop) -> aw.Plan:
    return aw.plan(shop)


def test_nothing_is_written_sent_or_started() -> None:
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-B", "-c", WATCHED, str(EXAMPLES[0])],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert done.stdout.strip() == "[]"
    assert not done.stderr


def test_the_watch_would_hear_a_file_and_a_socket(tmp_path: Path) -> None:
    text = WATCHED.replace(
        "import ampwright as aw",
        f"open({str(tmp_path / 'x')!r}, 'w').close()\nimport socket\nsocket.socket().close()",
    ).split("shop =")[0]
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-B", "-c", f"{text}\nprint(heard)"],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert "wrote" in done.stdout
    assert "socket" in done.stdout


def test_the_hosts_process_is_left_as_it_was() -> None:
    """Signals, locale, working folder, limits, warnings, logging, random numbers, path."""
    text = (
        "import decimal, locale, logging, os, random, signal, sys, threading, warnings\n"
        "def look():\n"
        "    return (signal.getsignal(signal.SIGINT), locale.setlocale(locale.LC_ALL),\n"
        "            os.getcwd(), dict(os.environ), sys.getrecursionlimit(), list(sys.path),\n"
        "            sys.getswitchinterval(), list(warnings.filters), logging.root.level,\n"
        "            list(logging.root.handlers), random.getstate(), decimal.getcontext().prec,\n"
        "            threading.active_count(), sys.excepthook, sys.get_int_max_str_digits())\n"
        "before = look()\n"
        "import ampwright as aw\n"
        "plan = aw.plan(aw.load_shop(sys.argv[1]))\n"
        "plan.to_json(); plan.report('html')\n"
        "after = look()\n"
        "print([n for n, (one, two) in enumerate(zip(before, after)) if one != two])\n"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", text, str(EXAMPLES[0])],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert done.stdout.strip() == "[]"


def test_threads_make_equal_plans() -> None:
    """Several shops in eight threads at once, by the default engine and by engines of their own."""
    shops = [attrs.evolve(small(), name=name, region=region) for name, region in SMALL]
    alone = {one.name: aw.plan(one).to_json() for one in shops}
    gate = threading.Barrier(THREADS)

    def work(number: int) -> tuple[str, str]:
        gate.wait()
        engine = aw.Engine() if number % 2 else None
        one = shops[number % len(shops)]
        made = engine.plan(one) if engine else aw.plan(one)
        return one.name, made.to_json()

    with ThreadPoolExecutor(THREADS) as pool:
        for name, text in pool.map(work, range(THREADS)):
            assert text == alone[name]


def test_a_fresh_process_may_begin_with_eight_threads() -> None:
    """Nothing is read or imported twice at odds where the first calls come at once."""
    text = (
        "import json, sys, threading, ampwright as aw\n"
        "shop = aw.Shop.from_dict(json.loads(sys.argv[1]))\n"
        "found, gate = [], threading.Barrier(8)\n"
        "def work():\n"
        "    gate.wait(); found.append(aw.plan(shop).to_json())\n"
        "threads = [threading.Thread(target=work) for _ in range(8)]\n"
        "[one.start() for one in threads]; [one.join() for one in threads]\n"
        "print(len(found), len(set(found)))\n"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", text, json.dumps(small().to_dict())],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert done.stdout.split() == ["8", "1"]


def test_a_plan_goes_through_a_pickle(plan: aw.Plan) -> None:
    for protocol in (2, pickle.HIGHEST_PROTOCOL):
        again = pickle.loads(pickle.dumps(plan, protocol))  # noqa: S301 - our own
        assert again == plan
        assert hash(again) == hash(plan)
        assert again.to_json() == plan.to_json()
        assert again.shop.to_dict() == plan.shop.to_dict()


def test_a_plan_can_be_copied(plan: aw.Plan) -> None:
    assert copy.copy(plan) == plan
    deep = copy.deepcopy(plan)
    assert deep == plan
    assert deep.to_json() == plan.to_json()


def test_another_process_makes_and_hands_back_plans(shop: aw.Shop, plan: aw.Plan) -> None:
    with ProcessPoolExecutor(1) as pool:
        assert pool.submit(aw.plan, shop).result() == plan


def test_an_error_goes_through_a_pickle() -> None:
    with pytest.raises(aw.InputError) as caught:
        aw.Shop.from_dict({"supply": {"voltage": 240}, "machines": []})
    again = pickle.loads(pickle.dumps(caught.value))  # noqa: S301 - our own
    assert str(again) == str(caught.value)
    assert type(again) is type(caught.value)


def test_the_callers_data_are_left_as_they_were(shop: aw.Shop) -> None:
    data: dict[str, Any] = shop.to_dict()
    data["extra"] = {"order": [1, {"deep": True}]}
    data["machines"][0]["extra"] = {"tag": ["x"]}
    before = copy.deepcopy(data)
    made = aw.Shop.from_dict(data)
    plan = aw.plan(made, limits={"run-up-time": 9.0}, prices={"drive": {"fixed": 1.0}})
    assert data == before
    assert made == aw.Shop.from_dict(before)
    assert made.to_dict() == before
    data["machines"][0]["extra"]["tag"].append("y")
    assert plan.shop.to_dict() == before


def test_the_callers_options_are_left_as_they_were(shop: aw.Shop) -> None:
    limits, prices, methods = {"run-up-time": 9.0}, {"drive": {"fixed": 1.0}}, ["drive", "rotary"]
    kept = copy.deepcopy((limits, prices, methods))
    aw.plan(shop, limits=limits, prices=prices, methods=methods)
    assert (limits, prices, methods) == kept


def test_what_comes_out_is_the_callers_to_change(plan: aw.Plan) -> None:
    text = plan.to_json()
    data = plan.to_dict()
    data["options"].clear()
    data["shop"]["machines"].clear()
    rows = plan.rows("circuits")
    rows[0].clear()
    assert plan.best is not None
    plan.best.assignment.clear()
    assert plan.to_json() == text
    assert plan.rows("circuits") != rows


def test_a_plan_cannot_be_changed(plan: aw.Plan) -> None:
    assert plan.best is not None
    parts: list[Any] = [plan, plan.best, plan.best.circuits[0], plan.best.circuits[0].conductor,
                        plan.steps[0], plan.shop, plan.shop.machines[0]]  # fmt: skip
    for one in parts:
        for field in attrs.fields(type(one)):
            with pytest.raises(attrs.exceptions.FrozenInstanceError):
                setattr(one, field.name, None)


def test_quantities_come_in_on_one_registry_and_go_out_on_the_hosts(plan: aw.Plan) -> None:
    """A host with a registry of its own states a shop in it and reads the plan in it."""
    host: Any = pint.UnitRegistry()
    before = pint.get_application_registry()  # type: ignore[no-untyped-call]
    pint.set_application_registry(host)  # type: ignore[no-untyped-call]
    try:
        stated = aw.Shop(
            supply=aw.Supply(
                arrangement="split-phase", voltage=host.Quantity(0.24, "kV"),
                frequency=host.Quantity(60, "Hz"), rating=host.Quantity(100, "A"),
                existing_load=host.Quantity(14, "A"),
            ),
            machines=(
                aw.Machine(
                    id="saw", length=host.Quantity(40, "ft"),
                    motors=(aw.Motor(power=host.Quantity(5, "hp"), voltage=host.Quantity(230, "V"),
                                     frequency=host.Quantity(60, "Hz")),),
                ),
            ),
        )  # fmt: skip
        in_text = aw.Shop(
            supply=aw.Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz",
                             rating="100 A", existing_load="14 A"),
            machines=(
                aw.Machine(id="saw", length="40 ft", motors=(
                    aw.Motor(power="5 hp", voltage="230 V", frequency="60 Hz"),
                )),
            ),
        )  # fmt: skip
        made, plain = aw.plan(stated), aw.plan(in_text)
        assert made.id == plain.id
        assert made.options == plain.options
        assert made.best is not None
        place = "options[0].circuits[0]"
        drawn: Any = made.quantity(f"{place}.design_current")
        assert drawn._REGISTRY is host  # noqa: SLF001 - nothing public tells the registry
        assert drawn.m_as("A") == pytest.approx(made.options[0].circuits[0].design_current_a)
        long: Any = made.quantity(f"{place}.conductor.length")
        assert (long + host.Quantity(1, "ft")).m_as("ft") > 1.0
        power: Any = made.quantity("shop.machines[0].motors[0].power")
        assert power.m_as("hp") == pytest.approx(5.0)
    finally:
        pint.set_application_registry(before.get())  # type: ignore[no-untyped-call]
