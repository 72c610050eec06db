"""Many machines as a table: one a row in, one flat row out, each alone on the supply of a shop."""

import json
import re
from collections.abc import Iterable, Mapping
from functools import partial
from importlib import import_module
from os import PathLike
from typing import Any, BinaryIO, NamedTuple

import attrs

from ampwright import cells
from ampwright.batch import Mapper, planned
from ampwright.bounds import hint
from ampwright.engine import Engine
from ampwright.errors import AmpwrightError, ConsistencyError, InputError
from ampwright.record import Record
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.result import Plan

Cell = str | float | int | bool | None
#: What a key may end in, and the unit as a quantity is written.
UNITS = {
    "hp": "hp", "kw": "kW", "w": "W", "va": "VA", "kva": "kVA", "v": "V", "a": "A", "ka": "kA",
    "hz": "Hz", "rpm": "rpm", "m": "m", "ft": "ft", "h": "h", "s": "s", "ohm": "ohm", "c": "degC",
    "nm": "N m", "kgm2": "kg m2", "k": "K",
}  # fmt: skip
#: Records that a row states, by what leads their keys; those of the machine go first.
RECORDS = {"machine": Machine, "motor": Motor, "supply": Supply, "site": Site}
NOT_IN_A_ROW = ("motors", "loads", "route", "plug", "extra", "quantity", "needs", "fed_from")
#: What of a shop is about its own machines, and so not about those of a table.
OWN = ("machines", "together", "equipment", "extra", "name")
NUMBER = re.compile(r"-?[0-9]{1,15}(?:\.[0-9]{1,15})?")
WORDS = {"true": True, "yes": True, "false": False, "no": False}
#: Unit and meaning of each key that comes out.
KEYS: Mapping[str, tuple[str, str]] = {
    "row": ("", "place of the row, from 1"),
    "id": ("", "id of the machine, as it was given"),
    "name": ("", "its name"),
    "verdict": ("", "verdict on the machine"),
    "method": ("", "method that is advised; empty: none"),
    "next_method": ("", "method that comes second"),
    "rating_w": ("W", "rated power of the converter"),
    "rating_va": ("VA", "rated apparent power of the converter"),
    "input_current_a": ("A", "current from the supply with the machine at its rating"),
    "start_current_a": ("A", "largest current from the supply during its start"),
    "start_time_s": ("s", "run-up time"),
    "usable_fraction": ("", "power that it may give for long, over rated"),
    "device_rating_a": ("A", "protective device at the head of its first circuit"),
    "conductor_size": ("", "conductors of that circuit"),
    "conductor_area_mm2": ("mm2", "metal area of one of them"),
    "cost_low": ("", "lower edge of what is paid once, in the currency of the next key"),
    "cost_high": ("", "upper edge of it"),
    "currency": ("", "currency of both"),
    "blocks": ("", "codes of what stands in the way, separated by blanks"),
    "cautions": ("", "codes of what asks for action, separated by blanks"),
    "questions": ("", "codes of what has to be asked, separated by blanks"),
    "error": ("", "why the row could not be planned; empty: it could"),
}
NUMBERS = (
    "row", "rating_w", "rating_va", "input_current_a", "start_current_a", "start_time_s",
    "usable_fraction", "device_rating_a", "conductor_area_mm2", "cost_low", "cost_high",
)  # fmt: skip


class Slot(NamedTuple):
    """Where one key leads.

    Attributes:
        record: One of `RECORDS`.
        field: The field, as the caller states it.
        kind: What it holds, as text.
        unit: Unit of plain numbers under this key; ``""``: the key names none.
    """

    record: str
    field: str
    kind: str
    unit: str


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Table(Record):
    """What became of a table of machines.

    Attributes:
        rows: One dict a row, in the order of what was handed over; ``None`` is not known. Numbers
            are in the unit that their key ends in.
        errors: What is wrong with the rows that could not be planned, with place and value.
    """

    rows: tuple[dict[str, Cell], ...]
    errors: tuple[AmpwrightError, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of a row, in order."""
        return tuple(KEYS)

    @property
    def units(self) -> Mapping[str, str]:
        """Unit of each key, ``""`` for none."""
        return {key: unit for key, (unit, _) in KEYS.items()}

    @property
    def columns(self) -> dict[str, Any]:
        """The same as numpy arrays by key: numbers as floats, nan where not known; else objects."""
        numpy = import_module("numpy")  # here: the one way out that needs it
        found = {}
        for key in KEYS:
            values = [one[key] for one in self.rows]
            if key in NUMBERS:
                plain = [float("nan") if one is None else float(one) for one in values]
                found[key] = numpy.array(plain, dtype=float)
            else:
                found[key] = numpy.array(values, dtype=object)
        return found

    def to_csv(self) -> str:
        """Return the rows as CSV text; a text that a spreadsheet would run is led by an apostrophe.

        It is for spreadsheets; programs take `rows`, where every text stands as it was given.
        """
        return cells.to_csv(self.rows, self.keys)


def plan_table(
    rows: Iterable[Mapping[str, object]]
    | Mapping[str, cells.Cells]
    | str
    | PathLike[str]
    | BinaryIO,
    *,
    shop: Shop | Mapping[str, Any] | None = None,
    region: str | None = None,
    map: Mapper = map,  # noqa: A002 - the public name, read like the built-in
    locale: str | None = None,
    engine: Engine | None = None,
) -> Table:
    """Plan one machine a row, each alone; a bad row costs only itself.

    Keys are fields of a machine and of its motor (``id``, ``power``, ``voltage``, ``length``,
    ``start``, ``plate``), and those of supply and site behind ``supply.`` and ``site.``. A cell is
    text with its unit, or a number where the key ends in one (``power_hp``, ``length_m``). What is
    blank, or not a number, is not stated. Rows alike but for id and name are planned once.

    Args:
        rows: Mappings, one a row; or a mapping of columns (lists, arrays); or a CSV file in UTF-8,
            by path or opened for reading bytes.
        shop: Whose supply, site, region and prices hold for every row; its machines do not count.
        region: Id of the region; before that of *shop*.
        map: Any callable like the built-in ``map``; a process pool's needs the default engine.
        locale: Locale of the decimal sign in the cells.
        engine: Engine to plan with; ``None``: the default one.

    Returns:
        The table.

    Raises:
        FormatError: The file as a whole cannot be read.
        InputError: A key means nothing.
        ConsistencyError: Columns differ in length, or two keys state the same.
        LimitError: The file is too large.
    """
    taken = cells.given(rows)
    slots = slots_of(taken)
    base = based(shop, locale)
    asked = {one.number: shop_of(one, slots, base) for one in taken if one.error is None}
    alike = {number: without_names(data) for number, data in asked.items()}
    first = {digest: number for number, digest in reversed(alike.items())}
    order = sorted(first.values())
    answers = map(partial(planned, region=region, engine=engine), [asked[n] for n in order])
    found = dict(zip((alike[n] for n in order), answers, strict=True))
    errors: list[AmpwrightError] = []
    out = []
    for one in taken:
        answer = one.error or found[alike[one.number]]
        if not isinstance(answer, Plan):
            answer = placed(answer, one)
            errors.append(answer)
        out.append(flat(one, answer))
    return Table(rows=tuple(out), errors=tuple(errors))


def slots_of(taken: Iterable[cells.Given]) -> dict[str, Slot]:
    """Return where each key of *taken* leads."""
    keys = dict.fromkeys(key for one in taken for key in one.cells)
    found: dict[str, Slot] = {}
    for key in keys:
        slot = slot_of(key)
        twice = next((one for one, other in found.items() if other[:2] == slot[:2]), None)
        if twice is not None:
            wanted = f"one key for this; {twice} states it too"
            raise ConsistencyError(key, wanted, key, code="table.same_field")
        found[key] = slot
    return found


def slot_of(key: str) -> Slot:
    """Return where *key* leads.

    Raises:
        InputError: Nowhere.
    """
    place, dot, rest = str(key).partition(".")
    records = (place,) if dot and place in RECORDS else ("machine", "motor")
    name = rest if dot and place in RECORDS else str(key)
    known: list[str] = []
    for record in records:
        for field in attrs.fields(RECORDS[record]):
            stated = field.alias or field.name
            if not field.init or stated in NOT_IN_A_ROW:
                continue
            known.append(stated)
            if name == stated:
                return Slot(record, stated, str(field.type), "")
            stem, _, unit = name.rpartition("_")
            if stem == stated != field.name and unit in UNITS:
                return Slot(record, stated, str(field.type), UNITS[unit])
    wanted = "a field of a machine or of its motor, or one behind supply. or site."
    raise InputError(key, wanted, str(key), code="table.unknown_column", remedy=hint(name, known))


def value_of(slot: Slot, cell: object) -> object:
    """Return a cell as a shop's mapping holds it."""
    if isinstance(cell, str):
        return from_text(slot, cell.strip())
    if isinstance(cell, bool) or not isinstance(cell, int | float):
        return cell
    if slot.unit:
        return f"{cell:.12g} {slot.unit}"
    if "str" in slot.kind:
        return f"{cell:.12g}"
    return int(cell) if float(cell).is_integer() and "float" not in slot.kind else cell


def from_text(slot: Slot, text: str) -> object:
    """Return a text as a shop's mapping holds it: a word, a number, several words, a quantity."""
    plain = NUMBER.fullmatch(text) is not None
    if slot.unit:
        return f"{text} {slot.unit}" if plain else text
    if slot.kind.startswith("tuple[") and "float" not in slot.kind:
        return text.split()
    if "bool" in slot.kind:
        return WORDS.get(text.lower(), text)
    if plain and "str" not in slot.kind and "Literal['" not in slot.kind:
        return float(text) if "." in text or "float" in slot.kind else int(text)
    return text


def based(shop: Shop | Mapping[str, Any] | None, locale: str | None) -> dict[str, Any]:
    """Return what holds for every row, as a shop's mapping."""
    data = shop.to_dict() if isinstance(shop, Shop) else dict(shop or {})
    found = {key: value for key, value in data.items() if key not in OWN}
    return found if locale is None else {**found, "locale": locale}


def shop_of(one: cells.Given, slots: Mapping[str, Slot], base: Mapping[str, Any]) -> dict[str, Any]:
    """Return the shop of one row as a mapping: its machine alone, on the supply of *base*."""
    parts: dict[str, dict[str, object]] = {name: {} for name in RECORDS}
    for key, cell in one.cells.items():
        slot = slots[key]
        parts[slot.record][slot.field] = value_of(slot, cell)
    machine = {"id": f"row-{one.number}", **parts["machine"]}
    if parts["motor"] or "plate" not in machine:
        machine["motors"] = [parts["motor"]]
    made: dict[str, Any] = {**base, "machines": [machine]}
    for name in ("supply", "site"):
        stated = base.get(name)
        if parts[name]:
            made[name] = {**(stated if isinstance(stated, Mapping) else {}), **parts[name]}
    return made


def without_names(data: Mapping[str, Any]) -> str:
    """Return a shop's mapping as text without what tells rows alike apart."""
    (machine,) = data["machines"]
    plain = {key: value for key, value in machine.items() if key not in ("id", "name")}
    return json.dumps({**data, "machines": [plain]}, sort_keys=True, default=str)


def placed(error: AmpwrightError, one: cells.Given) -> AmpwrightError:
    """Return *error* with the row, and the column where it is of one."""

    def moved(each: AmpwrightError) -> AmpwrightError:
        path = re.sub(r"^machines\[0\]\.(?:motors\[0\]\.?)?", "", each.path)
        where = one.place if not path or path.startswith("line ") else f"{one.place}: {path}"
        if path.startswith("line "):
            where = f"row {one.number}, {path}"
        return type(each)(each.value, each.expected, where, (), each.code, each.remedy)

    found = moved(error)
    return attrs.evolve(found, faults=tuple(map(moved, error.faults)))


def flat(one: cells.Given, answer: Plan | AmpwrightError) -> dict[str, Cell]:
    """Return the row that comes out."""
    said = {key: str(one.cells[key]) for key in ("id", "name") if key in one.cells}
    row: dict[str, Cell] = {**dict.fromkeys(KEYS), "row": one.number, **said}
    if isinstance(answer, Plan):
        return row | outcome(answer)
    return row | {"error": str(answer)}


def outcome(plan: Plan) -> dict[str, Cell]:
    """Return the flat answer of a plan of one machine."""
    best = plan.best
    options = [next(iter(one.assignment.values())) for one in plan.options]
    (machine,) = plan.rows("machines")
    found = [*plan.findings, *(best.findings if best is not None else ())]

    def codes(severity: str) -> str:
        return " ".join(dict.fromkeys(one.code for one in found if one.severity == severity))

    row: dict[str, Cell] = {
        "verdict": plan.verdict,
        "blocks": codes("blocks") or machine["reasons"],
        "cautions": codes("caution"),
        "questions": " ".join(dict.fromkeys(one.code for one in plan.questions)),
    }
    if best is None:
        return row
    once = [one for one in best.costs if one.kind in ("purchase", "installation")]
    drawn = [one.input_current_a for one in best.states if one.load == "full"]
    row |= {
        "method": machine["method"],
        "next_method": next((one for one in options if one != machine["method"]), None),
        "input_current_a": max(drawn, default=None),
        "start_current_a": machine["start_current_a"],
        "start_time_s": machine["start_time_s"],
        "usable_fraction": machine["usable_fraction"],
        "cost_low": sum(one.low for one in once) if once else None,
        "cost_high": sum(one.high for one in once) if once else None,
        "currency": once[0].currency if once else None,
    }
    for made in best.converters[:1]:
        row |= {"rating_w": made.rating_w, "rating_va": made.rating_va}
    for circuit in [each for each in best.circuits if each.role != "service"][:1]:
        row |= {
            "device_rating_a": circuit.protective_device.rating_a,
            "conductor_size": circuit.conductor.size,
            "conductor_area_mm2": circuit.conductor.area_mm2,
        }
    return row
