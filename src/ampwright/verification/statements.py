"""What the caller stated, found again from the path of a step that says it was given."""

from collections.abc import Iterable
from typing import Any, Final

import attrs

from ampwright.errors import AmpwrightError
from ampwright.nameplate.plate import Plate, read_plate
from ampwright.records.machine import Machine
from ampwright.records.shop import Shop

UNKNOWN: Final = ("?",)


def every_machine(shop: Shop) -> tuple[Machine, ...]:
    """Return the machines of *shop*, each as often as there are of it; copies have a number."""
    return tuple(
        one if n == 1 else attrs.evolve(one, id=f"{one.id}:{n}")
        for one in shop.machines
        for n in range(1, one.quantity + 1)
    )


class Statements:
    """The shop, asked by path; plates are read again."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._plates: dict[str, Plate | None] = {}

    def plate(self, machine: str) -> Plate | None:
        """Return the plate of *machine* as it reads, or ``None``."""
        if machine not in self._plates:
            found = next((one for one in every_machine(self.shop) if one.id == machine), None)
            read = None
            if found is not None and found.plate is not None:
                try:
                    read = read_plate(found.plate, locale=self.shop.locale)
                except AmpwrightError:
                    read = None
            self._plates[machine] = read
        return self._plates[machine]

    def at(self, path: str) -> tuple[Any, ...]:
        """Return the values that a step at *path* may state; `UNKNOWN` where no field is known."""
        parts = path.split("/")
        if parts[0] == "shop":
            return _walked(self.shop, parts[1:])
        if parts[0] == "machines" and len(parts) > 3 and parts[2] == "plate":
            return self._on_plate(parts[1], parts[3:])
        return self._elsewhere(parts)

    def _on_plate(self, machine: str, parts: list[str]) -> tuple[Any, ...]:
        plate = self.plate(machine)
        if plate is None:
            return ()
        if parts[0] in ("said", "asked"):
            number = int(parts[1])
            if parts[0] == "said":
                said = plate.findings[number].parameters
            else:
                said = plate.questions[number].parameters
            return tuple(one.value for one in said if one.name == parts[-1])
        return _walked(plate, parts)

    def _elsewhere(self, parts: list[str]) -> tuple[Any, ...]:
        shop, last = self.shop, parts[-1]
        site, supply = shop.site, shop.supply
        routes = [one.route for one in shop.machines if one.route is not None]
        if last == "ambient_c":
            place = site.converter_place
            apart = place.ambient_c if place is not None else None
            return (site.ambient_c, apart, *(one.ambient_c for one in routes))
        if last == "grouped_circuits":
            return (site.grouped_circuits, *(one.grouping for one in routes))
        if last == "terminals_c":
            panel = supply.panel
            return (site.terminals_c, panel.terminals_c if panel is not None else None)
        if "panel" in parts[-2:-1] and supply.panel is not None:
            return _walked(supply.panel, parts[-1:])
        if parts[2:3] == ["service"] or "service" in parts[-4:]:
            return self._of_service(last)
        return UNKNOWN

    def _of_service(self, last: str) -> tuple[Any, ...]:
        supply = self.shop.supply
        feeder = supply.feeder
        if last == "existing_stated_a":
            return (supply.existing_load_a,)
        if last == "rating_a":
            return (supply.rating_a,)
        if last == "length_m" and feeder is not None:
            return (feeder.length_m,)
        return UNKNOWN


def _walked(thing: object, parts: Iterable[str]) -> tuple[Any, ...]:
    for part in parts:
        if isinstance(thing, tuple):
            named = [one for one in thing if getattr(one, "id", None) == part]
            if named:
                thing = named[0]
            elif part.isdigit() and int(part) < len(thing):
                thing = thing[int(part)]
            else:
                return ()
        else:
            thing = getattr(thing, part, None)
    return (thing,)
