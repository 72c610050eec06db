"""Lets a judge of bad inputs ask the library: one call, ``attempt``, and plain data back.

The judge and its inputs come from elsewhere. Nothing here hangs on which input it is: what arrives
is put to the public names, what comes back is put into the judge's words.
"""

import copy
import csv
import html.parser
import io
import json
import os
import re
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

import attrs

import ampwright as aw
from ampwright.plugin import Finding
from ampwright.report.phrases import wording_of

sys.path.insert(0, str(Path(__file__).parent))  # the judge loads this file by its path
from faulty_plugins import Borrowed, Clumsy

Job = dict[str, Any]

ENGINE = aw.Engine()
#: Linux tells here how long a thread ran, how long it waited to, and how often.
SCHEDULED = Path("/proc/thread-self/schedstat")


def imported() -> None:
    """Import before the clock runs what is imported on demand: by a name, a plan, a report."""
    for name in aw.__all__:
        getattr(aw, name)
    motor = {"power": "3 hp", "voltage": "230 V", "speed": "1750 rpm", "frequency": "60 Hz"}
    supply = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"}
    machine = {"id": "saw", "motors": [motor]}
    shop = {"schema": "ampwright.shop/1", "supply": supply, "machines": [machine]}
    ENGINE.plan(aw.Shop.from_dict(shop), region="us").report("html")


imported()

#: Findings by which a plan says that it doubts what it was given, the gravest first.
DOUBTS = ("nameplate.implausible", "supply.frequency-mismatch", "nameplate.ambiguous-unit")
#: Our codes, and the judge's word where it is another one.
WORDS = {"plugin.failed": "plugin.raised", "check.breach": "check.mismatch"}
ENDINGS = {"json": ".json", "toml": ".toml", "csv": ".csv", "bytes": ""}


class Watch:
    """Sees every file that is opened for writing, the interpreter's caches of code left out."""

    def __init__(self) -> None:
        self.written: list[str] = []
        self.on = True
        sys.addaudithook(self.heard)

    def ended(self) -> list[str]:
        """Stop looking, and return what was seen."""
        self.on = False
        return self.written

    def heard(self, event: str, details: tuple[Any, ...]) -> None:
        if not self.on or event != "open":
            return
        name, mode, flags = details
        writes = (isinstance(mode, str) and set(mode) & set("wax+")) or (
            isinstance(flags, int) and flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
        )
        if writes and "__pycache__" not in str(name):
            self.written.append(str(name))


class Answer(NamedTuple):
    """What came of one attempt, before the clock is added."""

    outcome: str
    message: str
    preserved: bool
    error: str | None = None
    code: str | None = None


def attempt(case: Job, job: Job | None, payload: bytes | None) -> Job:
    """Put one bad input to the library and say what it did, in the judge's words."""
    before, setup = copy.deepcopy(job), case.get("setup", {})
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"job{ENDINGS.get(case['how'], '')}"
        file.write_bytes(payload or b"")
        plugin = Clumsy({"plugin": "", "kind": "", "fault": "", **setup})
        ways: dict[str, Callable[[], Answer]] = {
            "patch": lambda: planned(lambda: aw.Shop.from_dict(job or {}), job),
            "plugin": lambda: with_plugin(plugin, job or {}),
            "python": lambda: from_python(setup, job or {}),
            "csv": lambda: from_table(file, job or {}),
        }
        way = ways.get(case["how"], lambda: from_file(case["how"], setup, file))
        answer, seconds, written = watched(way)
        kept = file.read_bytes() == (payload or b"") and job == before and not written
    return {**answer._asdict(), "preserved": answer.preserved and kept, "seconds": seconds}


def watched(way: Callable[[], Answer]) -> tuple[Answer, float, list[str]]:
    """Return what came of *way*, how long it took on a core of its own, and the files it wrote."""
    watch, begun, waited = Watch(), time.perf_counter(), waited_s()
    try:
        answer = way()
    except (aw.AmpwrightError, attrs.exceptions.FrozenInstanceError) as error:
        name = type(error).__name__
        answer = Answer("reject", said(error), preserved=True, error=name, code=code_of(error))
    seconds = time.perf_counter() - begun - (waited_s() - waited)
    return answer, seconds, watch.ended()


def waited_s() -> float:
    """Return how long this thread has waited for a core that others had; 0 where nobody tells."""
    try:
        _, waited_ns, _ = SCHEDULED.read_text(encoding="ascii").split()
    except (OSError, ValueError):
        return 0.0
    return int(waited_ns) * 1e-9


def said(error: Exception) -> str:
    """Return everything that a caller sees of *error*."""
    text = str(error)
    return text if text.strip() else f"{type(error).__name__}: cannot set an attribute"


def code_of(error: Exception) -> str | None:
    """Return the judge's word for an error."""
    code = getattr(error, "code", None)
    return WORDS.get(code, code) if code else None


def from_file(how: str, setup: Job, file: Path) -> Answer:
    """Read a file: a shop, or a stored plan."""
    if how == "batch":
        raise NotImplementedError("batches of shops are not put to the library here")
    if setup.get("read_as") == "plan":
        aw.Plan.from_json(file.read_text(encoding="utf-8"))
        return Answer("accept", "", preserved=True)
    return planned(lambda: aw.load_shop(file), None)


def from_table(file: Path, job: Job) -> Answer:
    """Plan a table of machines, and tell whether what is right in it was planned."""
    found = aw.plan_table(file, shop=job, engine=ENGINE)
    planned_rows = [one for one in found.rows if one["error"] is None]
    if found.errors:
        first = found.errors[0]
        kept = len(planned_rows) == len(found.rows) - len(found.errors)
        kept = kept and all(one["verdict"] for one in planned_rows)
        name = type(first).__name__
        return Answer("row_rejected", said(first), kept, error=name, code=code_of(first))
    texts = [str(one["name"]) for one in planned_rows if one["name"]]
    if hostile := [text for text in texts if text.startswith(("=", "+", "-", "@"))]:
        cells = [row["name"] for row in csv.DictReader(io.StringIO(found.to_csv()))]
        safe = all(f"'{text}" in cells for text in hostile)
        return Answer("accept_escaped", "", safe)
    return Answer("accept", "", preserved=True)


def planned(read: Callable[[], aw.Shop], job: Job | None) -> Answer:
    """Read a shop, plan it, and tell what the plan says of its input."""
    shop = read()
    plan = ENGINE.plan(shop)
    if plan.verdict == "not-feasible":
        return refused(plan)
    if hostile := [text for text in names(job or {}) if html_escaped(text) != text]:
        return Answer("accept_escaped", "", all(inert(plan, text) for text in hostile))
    doubts = [(place, one) for place, one in every_finding(plan) if one.code in DOUBTS]
    if not doubts:
        return Answer("accept", "", preserved=shop.to_dict() == plan.shop.to_dict())
    _, first = min(doubts, key=lambda pair: DOUBTS.index(pair[1].code))
    kept = shop == plan.shop and echoed(plan, job) and kept_both(plan, first)
    return Answer("accept_with_finding", text_of(plan, first), kept, code=first.code)


def every_finding(plan: aw.Plan) -> Iterator[tuple[str, Finding]]:
    """Yield the findings of a plan, its options' behind them, with the option's id."""
    yield from (("", one) for one in plan.findings)
    for option in plan.options:
        yield from ((option.id, one) for one in option.findings)


def text_of(plan: aw.Plan, one: Finding) -> str:
    """Return code, place and sentence of a finding, and its parameters as they are."""
    parts = " ".join(f"{part.name} {part.value} {part.unit}" for part in one.parameters)
    return f"{one.code} {' '.join(one.where)}: {wording_of(plan).finding(one)} [{parts}]"


def names(thing: object) -> Iterator[str]:
    """Yield every name that the caller chose."""
    if isinstance(thing, Mapping):
        for key, value in thing.items():
            if key == "name" and isinstance(value, str):
                yield value
            yield from names(value)
    elif isinstance(thing, list):
        for one in thing:
            yield from names(one)


def html_escaped(text: str) -> str:
    """Return *text* as it has to stand in an attribute of HTML."""
    return html.escape(text, quote=True)


class Inspector(html.parser.HTMLParser):
    """Looks for anything in a page that would run."""

    def __init__(self) -> None:
        super().__init__()
        self.live = False

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.live |= tag == "script" or any(name.startswith("on") for name, _ in attributes)


def inert(plan: aw.Plan, text: str) -> bool:
    """Tell whether a name is whole in JSON and only text in every export."""
    whole = text in list(names(json.loads(plan.to_json())))
    page, inspector = plan.report("html"), Inspector()
    inspector.feed(page)
    return whole and not inspector.live and ("<" not in text or text not in page)


def echoed(plan: aw.Plan, job: Job | None) -> bool:
    """Tell whether the plan still holds the caller's own words."""
    return job is None or plan.shop.to_dict() == json.loads(json.dumps(job))


def kept_both(plan: aw.Plan, one: Finding) -> bool:
    """Tell whether a doubted figure stands in the plan, with its step, beside the one used."""
    steps = {step.path: step for step in plan.steps}
    quoted = [part for part in one.parameters if not isinstance(part.value, str)]
    if one.code == "supply.frequency-mismatch":
        unable = {"rotary", "static"} & set(ENGINE.methods())
        told = {
            refusal.method
            for option in plan.options
            for refusal in option.refusals
            for reason in refusal.reasons
            if reason.code == one.code and set(reason.where) & set(one.where)
        }
        return unable <= told
    return all(part.step in steps and steps[part.step].value == part.value for part in quoted)


def refused(plan: aw.Plan) -> Answer:
    """Tell why nothing serves: the supply's finding first, then every method's own reason."""
    wanted = {one.id for option in plan.options for one in option.machines if one.method is None}
    refusals = {
        (one.method, name): one
        for option in plan.options
        for one in option.refusals
        for name in one.machines
        if name in wanted
    }
    reasons = [
        reason
        for option in plan.options
        for one in option.machines
        if one.verdict == "not-feasible"
        for reason in one.reasons
    ]
    blocking = [one for _, one in every_finding(plan) if one.severity == "blocks"]
    supply = [one for one in (*blocking, *reasons) if one.code.startswith("supply.")]
    text = [
        f"{one.method}: {text_of(plan, why)}" for one in refusals.values() for why in one.reasons
    ]
    text += [text_of(plan, one) for one in (*blocking, *reasons)]
    converting = {name for name, one in ENGINE.methods().items() if one.converts}
    tried = {one.method for one in refusals.values()}
    used = {name for option in plan.options for name in option.assignment.values() if name}
    complete = plan.best is None and converting <= tried | used
    code = supply[0].code if supply else None
    return Answer("no_plan", "\n".join(text), complete, code=code)


def from_python(setup: Job, job: Job) -> Answer:
    """Do what a program might do to a shop or a plan."""
    if "array" in setup:
        return with_array(setup, job)
    plan = ENGINE.plan(aw.Shop.from_dict(job))
    if "set_attribute" in setup:
        return with_attribute_set(setup, plan)
    if "stored_plan" in setup:
        return with_stored_plan(setup, plan)
    if setup.get("concurrent") == "register-plugin":
        return while_registering(setup, job, plan)
    raise NotImplementedError(", ".join(setup))


def part_of(thing: Any, path: str) -> tuple[Any, str | int]:  # noqa: ANN401 - a walk through anything
    """Return what holds the last part of *path*, and that part."""
    *outer, last = (int(one) if one.isdigit() else one for one in re.findall(r"\w+", path))
    for one in outer:
        thing = (
            thing[one] if isinstance(one, int) or isinstance(thing, dict) else getattr(thing, one)
        )
    return thing, last


def with_attribute_set(setup: Job, plan: aw.Plan) -> Answer:
    """Assign to an attribute of a plan."""
    holder, name = part_of(plan, setup["set_attribute"])
    text = plan.to_json()
    try:
        setattr(holder, str(name), setup["value"])
    except AttributeError as error:
        kind, unchanged = type(error).__name__, plan.to_json() == text
        return Answer("reject", said(error), unchanged, error=kind)
    return Answer("accept", "", preserved=False)


def with_array(setup: Job, job: Job) -> Answer:
    """Put a quantity of an array where one of a number belongs."""
    import numpy as np  # noqa: PLC0415 - the other inputs are met without it
    import pint  # noqa: PLC0415 - likewise

    array = np.array(setup["array"])
    changed = copy.deepcopy(job)
    holder, name = part_of(changed, setup["path"])
    holder[name] = pint.UnitRegistry().Quantity(array, setup["unit"])
    return planned(lambda: aw.Shop.from_dict(changed), None)


def with_stored_plan(setup: Job, plan: aw.Plan) -> Answer:
    """Store a plan, change the branch device of the first machine in the text, load and verify."""
    data = json.loads(plan.to_json())
    best = next(one for one in data["options"] if one["id"] == data["chosen"])
    first = data["shop"]["machines"][0]["id"]
    last = [one for one in best["circuits"] if first in one["feeds"] and one["role"] != "service"][
        -1
    ]
    device = last["protective_device"]
    if setup["stored_plan"] == "older-minor":
        device.pop(setup["key"], None)
    else:
        device[setup["key"]] = setup["value"]
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    again = aw.Plan.from_json(text)
    objections = ENGINE.verify(again)
    if setup["stored_plan"] != "edited":
        whole = setup["stored_plan"] == "older-minor" or again.to_json() == text
        return Answer("accept", "", preserved=whole and not objections)
    # the first objection that quotes what was changed is the one that answers the change
    about = [one for one in objections if setup["key"] in text_of(again, one)] or list(objections)
    if not about:
        return Answer("accept", "", preserved=False)
    code = WORDS.get(about[0].code, about[0].code)
    kept = again.to_json() == text
    return Answer("accept_with_finding", text_of(again, about[0]), kept, code=code)


def while_registering(setup: Job, job: Job, plan: aw.Plan) -> Answer:
    """Plan many times while another thread makes engines with a region of its own."""
    stop, failures = threading.Event(), []

    def register() -> None:
        while not stop.is_set():
            engine = aw.Engine(plugins=[Borrowed(ENGINE.regions()["us"], "clumsy", {})])
            if "clumsy" not in engine.regions():
                failures.append("not registered")

    other = threading.Thread(target=register)
    other.start()
    try:
        text, shop = plan.to_json(), aw.Shop.from_dict(job)
        same = all(ENGINE.plan(shop).to_json() == text for _ in range(setup["jobs"]))
    finally:
        stop.set()
        other.join()
    return Answer("accept", "", preserved=same and not failures)


def with_plugin(plugin: Clumsy, job: Job) -> Answer:
    """Plan with a faulty plugin: everything must be as without it, and the plugin be named."""
    setup, shop = plugin.setup, aw.Shop.from_dict(job)
    plain = ENGINE.plan(shop)
    engine = aw.Engine(plugins=[plugin])
    known = set(engine.methods()), set(engine.regions())
    region = setup["plugin"] if setup["kind"] == "region" else None
    kind = None
    if region is not None and region in engine.regions():
        try:
            engine.plan(shop, region=region)
        except aw.PluginError:
            kind = "refused when asked for"
    plan = engine.plan(shop)
    problems = [one for one in engine.problems if setup["plugin"] in (one.path, str(one.value))]
    named = [one for one in plan.findings if setup["plugin"] in text_of(plan, one)]
    same = [attrs.evolve(one, refusals=()) for one in plan.options] == [
        attrs.evolve(one, refusals=()) for one in plain.options
    ]
    unchanged = known == (set(engine.methods()), set(engine.regions()))
    again = ENGINE.plan(shop).to_json() == plain.to_json()
    if not problems and not named and kind is None:
        return Answer("accept", "", preserved=same and unchanged and again)
    text = "\n".join([*map(str, problems), *(text_of(plan, one) for one in named)])
    error = type(problems[0]).__name__ if problems else None
    code = code_of(problems[0]) if problems else WORDS.get(named[0].code, named[0].code)
    kept = same and unchanged and again and bool(problems) and bool(named)
    return Answer("plugin_disabled", text, kept, error=error, code=code)
