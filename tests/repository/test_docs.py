"""The pages are complete: every name, field, code, hook, table, error and command is in them.

What is made from the code is made here as well, without Sphinx, and held against the code by
another way than it was made.
"""

import re
import shlex
import tomllib
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import attrs
import pytest
from click.testing import CliRunner
from docs.making import (
    changes,
    failures,
    fields,
    messages,
    models,
    numbers,
    outputs,
    stated,
    trust,
    wire,
)

import ampwright
from ampwright import errors, hookspecs, plugin
from ampwright.cli import main
from ampwright.finding import SEVERITIES
from ampwright.kernels.induction import InductionCircuit
from ampwright.records.shop import Shop
from ampwright.step import Step
from ampwright.tables import read_table

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
SOURCE = Path(ampwright.__file__).parent
REFERENCE = "\n".join(
    path.read_text(encoding="utf-8") for path in sorted((DOCS / "reference").glob("*.md"))
)
DIRECTIVE = re.compile(r"^\.\. auto(?:class|function|exception|data):: ([\w.]+)$", re.MULTILINE)
TOML = re.compile(r"^```toml\n(.*?)^```", re.MULTILINE | re.DOTALL)
DOCUMENTED = DIRECTIVE.findall(REFERENCE)
EXAMPLES = sorted((DOCS / "examples").glob("*.toml"))
#: Pages that someone could wire by.
DANGEROUS = (
    "index.md",
    "tutorial/index.md",
    "how-to/read-the-answer.md",
    "how-to/real-plate.md",
    "how-to/editions.md",
    "how-to/check.md",
    "how-to/command-line.md",
    "explanation/rules.md",
    "explanation/trust.md",
)


def found(name: str) -> object:
    """Return what a dotted name stands for."""
    module, _, last = name.rpartition(".")
    return getattr(import_module(module), last)


def records() -> Iterator[type]:
    """Yield every record that the reference describes."""
    for name in DOCUMENTED:
        one = found(name)
        if isinstance(one, type) and attrs.has(one):
            yield one


@pytest.fixture(scope="module")
def plans() -> list[ampwright.Plan]:
    return [ampwright.plan(ampwright.load_shop(path)) for path in EXAMPLES]


# names


@pytest.mark.parametrize("name", ampwright.__all__)
def test_public_name_is_in_the_reference(name: str) -> None:
    assert f"ampwright.{name}" in DOCUMENTED


@pytest.mark.parametrize("name", plugin.__all__)
def test_name_for_plugins_is_in_the_reference(name: str) -> None:
    offered = getattr(plugin, name)
    assert any(found(one) is offered for one in DOCUMENTED), name


def test_nothing_is_described_twice() -> None:
    assert len(DOCUMENTED) == len(set(DOCUMENTED))
    things = [id(found(name)) for name in DOCUMENTED]
    assert len(things) == len(set(things))


@pytest.mark.parametrize("record", list(records()), ids=lambda one: one.__name__)
def test_every_field_of_a_record_is_described(record: type) -> None:
    described: set[str] = set()
    for cls in record.__mro__:
        lines = (cls.__doc__ or "").splitlines()
        described |= set(fields.stated_fields([line.removeprefix("    ") for line in lines])[1])
    public = {one.name for one in attrs.fields(record) if not one.name.startswith("_")}
    assert public <= described
    own = fields.stated_fields(
        [line.removeprefix("    ") for line in (record.__doc__ or "").splitlines()]
    )[1]
    properties = {name for cls in record.__mro__ for name in vars(cls)}
    assert set(own) <= public | properties, "a field is described that is not there"


# findings, assumptions, questions


def test_every_code_has_severity_and_text() -> None:
    known = messages.severities()
    assert len(known) > 50
    page = messages.findings_page()
    for code, severities in known.items():
        assert severities, code
        assert set(severities) <= set(SEVERITIES)
        assert f"| `{code}` | {', '.join(severities)} |" in page
        assert messages.meaning(code), code


def test_what_plans_say_is_what_the_reference_lists(plans: list[ampwright.Plan]) -> None:
    known = messages.severities()
    assumed = {one.code for one in messages.said() if one.area == "assumptions"}
    asked = {one.code for one in messages.said() if one.area == "questions"}
    for plan in plans:
        said = [*plan.findings, *(plan.checks or ())]
        for option in plan.options:
            said += option.findings
            said += [one for refusal in option.refusals for one in refusal.reasons]
        for finding in said:
            assert finding.severity in known.get(finding.code, ()), finding
        assert {one.code for one in plan.assumptions} <= assumed
        assert {one.code for one in plan.questions} <= asked


def test_what_plates_say_is_what_the_reference_lists() -> None:
    known = messages.severities()
    texts = (
        "10 HP 3 PH 230 V 12 A 60 HZ",
        "5 HP 460 V 6.6 A",
        "4,5 A 2,000 rpm 3 HP",
        "9 kW 400 V",
    )
    for text in texts:
        for finding in ampwright.read_plate(text).findings:
            assert finding.severity in known.get(finding.code, ()), finding


def test_a_broken_plugin_says_what_the_reference_lists() -> None:
    class Broken:
        @plugin.hookimpl
        def ampwright_methods(self) -> list[object]:
            raise RuntimeError("not today")

    shop = ampwright.load_shop(EXAMPLES[0])
    plan = ampwright.Engine([Broken()]).plan(shop, check=False)
    said = [one for one in plan.findings if one.code.startswith("plugin.")]
    assert said
    for finding in said:
        assert finding.severity in messages.severities()[finding.code]


def test_codes_of_data_files_are_in_the_reference() -> None:
    for path in SOURCE.rglob("*.csv"):
        if "kernels" in path.parts:
            continue
        table = read_table(path)
        if "code" in table.columns and path.name != "conditions.csv":
            for row in table.rows:
                stated = row.get("severity") or "blocks"
                assert stated in messages.severities()[row["code"]]


def test_findings_of_the_drive_are_found_by_hand() -> None:
    """Three codes read off the code by eye: a loop over pairs, a table, a constant."""
    known = messages.severities()
    assert known["converter.idler-start-sequence"] == ("info",)
    assert known["supply.start-disturbance"] == ("caution",)
    assert "blocks" in known["machine.two-speed-pole-changing"]


# hooks, errors, tables, limits, symbols, commands


def test_every_hook_is_described_with_its_signature() -> None:
    names = {name for name in vars(hookspecs) if name.startswith("ampwright_")}
    assert set(wire.hooks()) == names
    page = wire.hooks_page()
    for name in names:
        kind = re.search(rf"def {name}\(\) -> (.+):", Path(hookspecs.__file__).read_text("utf-8"))
        assert kind is not None
        assert f"### `{name}() -> {kind[1]}`" in page


def test_every_hook_is_used_in_a_how_to_or_by_a_part_of_ours() -> None:
    texts = [path.read_text("utf-8") for path in (DOCS / "how-to").glob("*.md")]
    texts += [path.read_text("utf-8") for path in (SOURCE / "regions").rglob("*.py")]
    for name in wire.hooks():
        assert any(f"def {name}(" in text for text in texts), name


def test_every_error_class_is_described() -> None:
    classes = {
        name
        for name, one in vars(errors).items()
        if isinstance(one, type) and issubclass(one, errors.AmpwrightError)
    }
    assert {one.__name__ for one in failures.classes()} == classes
    for name in classes:
        assert f".. autoexception:: ampwright.{name}\n" in REFERENCE


def test_an_error_that_is_raised_has_its_code_in_the_reference() -> None:
    page = failures.page()
    faulty = {"supply": {"arrangement": "split", "voltage": "240"}, "machines": [{"id": "a"}]}
    with pytest.raises(errors.AmpwrightError) as caught:
        Shop.from_dict(faulty)
    codes = {one.code for one in caught.value.faults}
    assert len(codes) >= 3
    for code in codes - {"enum.arrangement"}:
        assert f"| `{code}` |" in page, code


def test_every_table_file_is_listed_with_its_source() -> None:
    page = numbers.tables_page()
    paths = sorted(SOURCE.rglob("*.csv"))
    assert len(paths) > 30
    for path in paths:
        assert f"`{path.relative_to(SOURCE).as_posix()}`" in page
        source = re.search(r"^# source: ?(.+)$", path.read_text("utf-8"), re.MULTILINE)
        assert source is not None
        assert source[1].split(";")[0].strip() in page


def test_every_limit_is_listed_and_can_be_stated() -> None:
    page = numbers.limits_page()
    names = re.findall(r"^\| `([a-z-]+)` \|", page, re.MULTILINE)
    assert "run-up-time" in names
    shop = ampwright.load_shop(EXAMPLES[0])
    with pytest.raises(errors.InputError) as caught:
        ampwright.plan(shop, limits={"not-a-limit": 1.0})
    assert all(name in caught.value.expected for name in names)


def steps_of(plan: ampwright.Plan) -> Iterator[Step]:
    yield from plan.steps
    for option in plan.options:
        yield from option.steps
        for circuit in option.circuits:
            yield from circuit.steps


def test_every_symbol_of_a_step_is_in_the_glossary(plans: list[ampwright.Plan]) -> None:
    known = {(one["symbol"], one["unit"]) for one in numbers.symbols()}
    rows = {row[0] for table in numbers.all_tables() for row in table.rows}
    missing = {
        (step.symbol, step.unit)
        for plan in plans
        for step in steps_of(plan)
        if step.kind != "given"
        and step.symbol not in rows
        and (step.symbol, step.unit) not in known
    }
    assert not missing


def test_glossary_has_each_symbol_once_and_the_whole_circuit() -> None:
    pairs = [(one["symbol"], one["unit"]) for one in numbers.symbols()]
    assert len(pairs) == len(set(pairs))
    assert set(InductionCircuit._fields) <= {symbol for symbol, _ in pairs}
    assert all(one["name"] and one["group"] for one in numbers.symbols())


def test_every_command_is_described_and_used() -> None:
    commands = import_module("docs.making.commands")
    page = commands.page()
    how_to = (DOCS / "how-to" / "command-line.md").read_text("utf-8")
    for name in commands.names():
        assert f"## `ampwright {name}`" in page
        assert f"ampwright {name} " in how_to, name


def test_every_built_in_method_is_explained() -> None:
    page = (ROOT / "docs" / "explanation" / "how-a-plan-comes-about.md").read_text(encoding="utf-8")
    explained = re.findall(r"^([A-Z][a-z -]+)\n: ", page, re.MULTILINE)
    assert sorted(one.lower().replace(" ", "-") for one in explained) == sorted(
        ampwright.Engine().methods()
    )


def test_every_kernel_states_accuracy_and_source() -> None:
    stated = models.stated()
    assert {"induction", "network", "starting", "rectifier", "protection"} <= set(stated)
    for _, functions in stated.values():
        for one in functions:
            assert one.accuracy, one
            assert one.source, one


# the page on trust


def test_how_a_figure_is_known_is_read_from_the_docstring() -> None:
    assert trust.known("Status: from memory, high.") == "memory"
    assert trust.known("115 seen on a page, the others from memory") == "seen; memory"
    assert trust.known("one figure is our own arithmetic") == "own arithmetic"


def test_deviation_is_that_of_ours_from_the_printed_figure() -> None:
    assert trust.deviation(trust.Comparison("x", 200.0, 202.0, "A")) == "+1.00 %"
    assert trust.deviation(trust.Comparison("x", 200.0, 199.9, "A")) == "-0.05 %"
    assert trust.deviation(trust.Comparison("x", 3.0, 3.0, "")) == "0"


@pytest.mark.slow
def test_the_page_on_trust_holds_every_published_check() -> None:
    files = {path.name for path in (ROOT / "tests" / "published").glob("test_*.py")}
    checks = trust.checks()
    assert {Path(one.file).name for one in checks} == files
    compared = {Path(one.file).name for one in checks if one.compared}
    assert compared == trust.fixture_names()
    assert sum(len(one.compared) for one in checks) >= 40  # printed figures; far more are there
    page = trust.checks_page()
    for file in files:
        assert f"`tests/published/{file}`" in page


# the pages themselves


@pytest.mark.parametrize("page", DANGEROUS)
def test_a_page_that_someone_could_wire_by_opens_with_the_caution(page: str) -> None:
    text = (DOCS / page).read_text("utf-8")
    assert "caution.md" in text
    assert text.index("caution.md") < text.find("\n## ") or "\n## " not in text
    assert "licensed electrician" in (DOCS / "caution.md").read_text("utf-8")


def test_shop_files_shown_on_pages_are_read() -> None:
    shown = 0
    for path in sorted(DOCS.rglob("*.md")):
        for block in re.findall(
            r"^```toml\n(.*?)^```", path.read_text("utf-8"), re.MULTILINE | re.DOTALL
        ):
            data = tomllib.loads(block)
            if "supply" in data:
                assert ampwright.plan(Shop.from_dict(data)).verdict != "not-feasible"
                shown += 1
    assert shown


def test_examples_are_feasible_and_differ(plans: list[ampwright.Plan]) -> None:
    assert len(plans) == 2
    assert all(plan.best is not None for plan in plans)
    assert len({plan.chosen for plan in plans}) == 2, "each example shows another way"


def test_outputs_stand_below_their_blocks() -> None:
    text = "# A\n\n```python\nx = 2\nprint(x * 21)\n```\n\n```python\ny = x\n```\n"
    made = outputs.with_outputs(text, "page")
    assert made.count(":class: printed") == 1
    assert made.index("42") < made.index("y = x")
    with pytest.raises(ZeroDivisionError):
        outputs.with_outputs("```python\n1 / 0\n```\n", "page")


def test_fragments_of_the_changelog_are_named_and_short() -> None:
    found_fragments = changes.fragments()
    assert found_fragments
    assert len({one.number for one in found_fragments}) == len(found_fragments)
    for one in found_fragments:
        assert one.kind in changes.KINDS
        assert 0 < len(one.text.split()) < 100
        assert " ".join(one.text.split()) in changes.page()


def shell_lines() -> list[str]:
    """Return the commands of the how-to that need no file but those of the repository."""
    text = (DOCS / "how-to" / "command-line.md").read_text("utf-8")
    lines = [line for line in text.splitlines() if line.startswith("ampwright ")]
    foreign = ("werkstatt.toml", "our_house_rules")  # a reader's own files
    return [line for line in lines if not any(word in line for word in foreign)]


def test_commands_of_the_how_to_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert len(shell_lines()) > 3
    own = ("tanner-row.json", "older.json", "tanner-row.html", "tanner-row.svg", "answers.csv",
           "wiring.svg", "phasors.svg")  # fmt: skip

    def elsewhere(word: str) -> str:
        kind, colon, file = word.rpartition(":")  # a drawing may have its kind ahead
        return f"{kind}{colon}{tmp_path / file}" if file in own else word

    for line in shell_lines():
        words = [elsewhere(one) for one in shlex.split(line)]
        kept = words.index(">") if ">" in words else len(words)
        done = CliRunner().invoke(main, words[1:kept])
        assert done.exit_code == 0, (line, done.output)
        if kept < len(words):
            Path(words[kept + 1]).write_text(done.stdout, encoding="utf-8")
    assert (tmp_path / "tanner-row.html").stat().st_size > 10_000


def test_the_fields_of_a_shop_stand_in_the_page_itself() -> None:
    page = stated.PAGE.read_text("utf-8")
    assert stated.with_tables(page) == page, "python -m docs.making.stated brings them up to date"
    for record in (Shop, ampwright.Supply, ampwright.Site, ampwright.Machine, ampwright.Motor):
        table = page.partition(f"*{record.__name__}*\n")[2].partition("\n\n*")[0]
        for field in attrs.fields(record):
            if field.init and not field.name.startswith("_"):
                assert f"\n| `{field.alias}` |" in table, f"{record.__name__}.{field.alias}"
