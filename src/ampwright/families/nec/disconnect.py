"""The disconnecting means at a motor, a converter or another load."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import reaches
from ampwright.step import Figure

HERE = "disconnect"


def disconnect(
    draft: Draft,
    least: Figure,
    rule: str,
    poles: int,
    voltage: Figure,
    horsepower: Figure | None = None,
) -> tuple[ProtectiveDevice, Figure] | None:
    """Return the smallest standard switch at or above *least*, and its rating [A].

    The steps stand below ``disconnect``.

    Args:
        draft: Sheet of the circuit.
        least: Smallest ampere rating that suffices [A].
        rule: Rule that asks for it.
        poles: Ungrounded conductors that it opens together.
        voltage: Nominal voltage between conductors [V].
        horsepower: Motor rating that the switch must have [hp]; ``None``: loads only.
    """
    listed = draft.book.column("disconnect_ratings", "rating_a")
    key = next((key for key, rating in listed.items() if reaches(rating, least.value)), None)
    if key is None:
        draft.find("disconnect.none-large-enough", "blocks", rule, "needed=A", needed=least)
        return None
    rating = draft.read(
        f"{HERE}/rating_a", "I_s", "A", table="disconnect_ratings", key=key, column="rating_a",
        rule=rule, inputs=[("I", least)],
    )  # fmt: skip
    draft.work(f"{HERE}/poles", "n", "", str(poles), rule)
    volts = draft.work(f"{HERE}/rating_v", "V", "V", "V", rule, V=voltage)
    power = None
    if horsepower is not None:
        power = draft.work(
            f"{HERE}/power_w", "P", "W", "745.6998715822702 * hp", "nec.430.110(A)", hp=horsepower
        )
    switch = ProtectiveDevice(
        kind="disconnect",
        rating_a=rating.value,
        poles=poles,
        rating_v=volts.value,
        power_w=power.value if power else None,
    )
    return switch, rating
