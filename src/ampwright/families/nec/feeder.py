"""An existing feeder: what it carries as it lies, against its device and what is to be added."""

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor
from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.ampacity import area, carried, device_allows, sizes
from ampwright.families.nec.book import size_key, size_name
from ampwright.families.nec.conditions import Conditions, feeder_conditions
from ampwright.families.nec.corrections import Corrections, corrections
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.drop import columns, formula
from ampwright.families.nec.grounding import by_device
from ampwright.families.nec.ratings import reaches
from ampwright.records.site import Site
from ampwright.records.supply import Feeder, Supply
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

#: Power factor by which the drop of a feeder with mixed motor load is reckoned.
POWER_FACTOR = 0.85
PRACTICE = Source(document="common practice, no source", known="practice")


def check_feeder(
    draft: Draft, load: Figure, voltage: Figure, site: Site, supply: Supply
) -> Circuit | None:
    """Check a feeder that is there already; its steps stand below ``circuits/service``.

    Args:
        draft: Sheet of the service.
        load: Calculated load, existing load included [A].
        voltage: Nominal voltage [V].
        site: Where it lies.
        supply: What is known of it.

    Returns:
        The feeder with what it carries; ``None`` where size, length or main device are not known.
    """
    feeder = supply.feeder
    if feeder is None or supply.rating_a is None:
        return None
    key = size_key(feeder.size) if feeder.size else ""
    if draft.book.tables["conductor_impedance"].row(key) is None or feeder.length_m is None:
        field = "length" if feeder.length_m is None else "size"
        draft.ask_everywhere("plan.data-needed", f"supply.feeder.{field}", "size")
        return None
    place = f"{draft.sheet.prefix.rpartition('/')[0]}/circuits/service"
    own = Draft(draft.book, Worksheet(place), ("service",))
    installed = feeder_conditions(own, site, supply, feeder)
    rating = own.sheet.given("protective_device/rating_a", "I_n", supply.rating_a, "A")
    pair = own.work("conductor/pair", "n", "", "2", "nec.310.15(C)(1)")
    corrected = corrections(own, installed, {"I_b": load, "I_r": rating}, pair)
    circuit = None
    if corrected is not None and key not in sizes(own.book, corrected):
        own.ask_everywhere("plan.data-needed", "supply.feeder.size", "size")
    elif corrected is not None:
        length = own.sheet.given("conductor/length_m", "L", feeder.length_m, "m")
        circuit = _as_it_lies(own, installed, corrected, feeder, key, load, voltage, rating, length)
    draft.findings += own.findings
    draft.assumptions += [*own.assumptions, *own.remembered()]
    draft.questions += own.questions
    return circuit


def _too_small(
    own: Draft,
    corrected: Corrections,
    key: str,
    sets: int,
    *,
    ampacity: Figure,
    load: Figure,
    device: Figure,
) -> None:
    """Say that the feeder does not carry its load, or that only its terminals decide on it.

    Unmarked terminals count as the code lets them; what they are marked for can be read on a
    feeder that is there, and may prove it large enough.
    """
    said = {"ampacity": ampacity, "load": load, "device": device}
    column = min(own.book.factor("terminal_above_c"), corrected.most_c)
    name = f"{corrected.metal}_{column:.0f}c"
    listed = own.book.column("ampacity", name)[key]
    reach = sets * min(listed, corrected.corrected(own.book, key))
    carries = reaches(reach, load.value) and device_allows(
        own.book, reach, device.value, "protected"
    )
    if not corrected.unmarked or not carries:
        own.find(
            "feeder.undersized", "blocks", "nec.215.2(A)", "ampacity=A load=A device=A", **said
        )
        return
    read = own.read("conductor/marked_ampacity_a", "I_t", "A", table="ampacity", key=key,
                    column=name, rule="nec.110.14(C)")  # fmt: skip
    own.find(
        "feeder.terminals-decide", "caution", "nec.110.14(C)",
        "ampacity=A load=A device=A marked=A marking=degC", marked=read, marking=f"{column:.0f}",
        **said,
    )  # fmt: skip
    own.ask_everywhere("plan.data-needed", "site.terminals", "size", ("60 degC", "75 degC"))


def _beside(own: Draft, installed: Conditions, feeder: Feeder, rating: Figure) -> None:
    """Say where neutral or protective conductor are smaller than the device ahead asks for.

    Of parallel sets the neutrals count together; each protective conductor has the full size,
    250.122(F), as it has to stand a fault by itself.
    """
    found = by_device(own.book, rating.value, installed.metal)
    if found is None:
        return
    areas = own.book.column("conductor_properties", "circular_mils")
    for code, rule, size, together in (
        ("feeder.protective-undersized", "nec.250.122(A)", feeder.protective_size, 1),
        ("feeder.neutral-undersized", "nec.215.2(A)", feeder.neutral_size, feeder.parallel_sets),
    ):
        key = size_key(size or "")
        if key in areas and areas[key] * together < areas[found[1]]:
            own.find(code, "caution", rule, "device=A", size=str(size), device=rating,
                     wanted=size_name(found[1]))  # fmt: skip


def _as_it_lies(
    own: Draft,
    installed: Conditions,
    corrected: Corrections,
    feeder: Feeder,
    key: str,
    load: Figure,
    voltage: Figure,
    rating: Figure,
    length: Figure,
) -> Circuit:
    book, sets = own.book, feeder.parallel_sets
    _, single = carried(own, "conductor/one", corrected, key)
    ampacity = own.work(
        "conductor/ampacity_a", "I_z", "A", f"{sets} * I", "nec.310.10(G)", I=single
    )
    needed = own.work("design_current_a", "I_b", "A", "I_load", "nec.215.2(A)", I_load=load)
    fits = device_allows(book, ampacity.value, rating.value, "protected")
    if not reaches(ampacity.value, needed.value) or not fits:
        _too_small(own, corrected, key, sets, ampacity=ampacity, load=needed, device=rating)
    _beside(own, installed, feeder, rating)
    resistance, reactance = columns(book, installed)
    ohms = {
        name: own.read(
            f"impedance/{name.lower()}_ohm_per_kft", name, "ohm", table="conductor_impedance",
            key=key, column=column, rule="nec.9.9",
        )
        for name, column in (("R", resistance), ("X", reactance))
    }  # fmt: skip
    factor = own.sheet.assumed("power_factor", "pf", POWER_FACTOR, "", source=PRACTICE)
    hertz = own.work("frequency_hz", "f", "Hz", "60", "nec.9.9")
    drop = own.work(
        "voltage_drop_fraction", "u", "", f"({formula(1)}) / {sets}", "nec.9.9",
        I=needed, L=length, V=voltage, pf=factor, f=hertz, **ohms,
    )  # fmt: skip
    recommended = own.factor("drop/recommended", "u", "drop_recommended")
    if not reaches(recommended.value, drop.value):
        own.find(
            "feeder.voltage-drop", "caution", "nec.215.2(A)", drop=drop, recommended=recommended
        )
    own.work("phases", "n", "", "1")
    own.work("voltage_v", "V", "V", "V", V=voltage)
    own.work("protective_device/poles", "n", "", "2", "nec.240.15(B)")
    own.work("conductor/count", "n", "", f"2 * {sets}", "nec.310.10(G)")
    metal = area(own, "conductor/area_mm2", key)
    return Circuit(
        id="service",
        role="service",
        feeds=(),
        phases=1,
        voltage_v=voltage.value,
        design_current_a=needed.value,
        conductor=Conductor(
            size=size_name(key),
            area_mm2=metal.value,
            material=installed.material,
            insulation=installed.insulation,
            count=2 * sets,
            ampacity_a=ampacity.value,
            length_m=length.value,
        ),
        protective_conductor=None,
        protective_device=ProtectiveDevice(
            kind="breaker", rating_a=rating.value, curve="inverse-time", poles=2
        ),
        voltage_drop_fraction=drop.value,
        steps=own.sheet.steps,
    )
