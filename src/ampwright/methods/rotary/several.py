"""More than one idler: a second one for one big machine, and several in parallel."""

from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.sizing import Sizing, meets_the_rest, quick_enough
from ampwright.methods.rotary.trial import Trial, balanced_alone
from ampwright.plugin import Figure, Finding, MachineCase, Parameter, Source, Worksheet, parameters

MODEL = Source(document="network of idler and motors, symmetrical components", known="model")
SECOND = "rotary.second-idler"
BUILT = 3  # idlers in parallel that are planned
MOST = 4  # idlers in parallel that are looked at
APART = 2.0  # largest motor over the next one from which a second idler is looked at


def biggest(tries: Sizing) -> MachineCase | None:
    """Return the one machine whose largest motor is at least twice that of every other."""
    by_power = sorted(
        ((motor.demand.power.value, one.id, one) for one, motor in tries.setup.starters),
        reverse=True,
    )
    (most, _, big), (next_most, _, _) = by_power[:2]
    return big if most >= APART * next_most else None


def without(tries: Sizing, big: MachineCase, chosen: int) -> int:
    """Return the place of the idler that would do for all but *big*."""
    rest = tuple(one for one in tries.setup.machines if one.id != big.id)
    others = Sizing(set_up(tries.setup.case, rest))
    least = others.first(meets_the_rest, 0, chosen)
    return others.first(quick_enough, least, chosen, least)


def second(tries: Sizing, chosen: int, name: str, sheet: Worksheet) -> Finding | None:
    """Return what a second idler for the one machine that asks for the size would save.

    It is switched in with that machine only, so that the others run on a smaller one that idles
    with less.
    """
    if len(tries.setup.starters) < 2 or (big := biggest(tries)) is None:
        return None
    rest = without(tries, big, chosen)
    whole, small = tries.sizes[chosen].power_w, tries.sizes[rest].power_w
    if small > whole / 2.0:
        return None
    part = sheet.under(f"second/{name}")
    inputs = [("U", tries.setup.case.supply.voltage)]

    def put(field: str, symbol: str, value: float, unit: str) -> Figure:
        return part.solved(field, symbol, value, unit, model="smallest usual idler for the others",
                           source=MODEL, residual=0.0, inputs=inputs)  # fmt: skip

    first = put("first", "P", small, "W")
    more = put("second", "P", next(one.power_w for one in tries.sizes
                                   if one.power_w >= whole - small), "W")  # fmt: skip
    idle = [tries.trial(place).idle for place in (chosen, rest)]
    saved = put("saved", "P_0", max(idle[0].loss_w - idle[1].loss_w, 0.0), "W")
    return Finding(
        code=SECOND, severity="info", where=(name, big.id),
        parameters=parameters("first=W second=W saved=W", first=first, second=more, saved=saved),
    )  # fmt: skip


def side_by_side(tries: Sizing) -> tuple[Sizing, int, Trial] | None:
    """Return the fewest and smallest equal idlers in parallel that do what no single one does.

    Returns:
        The question with those sizes behind the single ones, place and trial of the smallest;
        ``None`` where up to `BUILT` of the largest are not enough.
    """
    for count in range(2, BUILT + 1):
        more = tries.side_by_side(count)
        if not enough(more.trial(len(more.sizes) - 1)):
            continue
        found = more.smallest()
        if found is not None:
            return (more, *found)
    return None


def enough(trial: Trial) -> bool:
    """Tell whether a trial meets what capacitors change little."""
    return meets_the_rest(trial) and quick_enough(trial)


def in_parallel(tries: Sizing) -> tuple[Parameter, ...]:
    """Return how many of the largest idler in parallel would do, as parameters; none: no number.

    They are more than are planned.
    """
    for count in range(BUILT + 1, MOST + 1):
        if enough(balanced_alone(tries.setup, tries.sizes[-1].of(count))):
            return parameters(count=str(count))
    return ()


def about(idler: Idler, name: str, place: str) -> Finding:
    """Return what there is to say about idlers side by side."""
    each = Figure(idler.of(1).power_w, f"{place}/converters/{name}/each_idler_w")
    return Finding(
        code="rotary.parallel-idlers", severity="caution", where=(name,),
        parameters=parameters("power=W", count=str(idler.abreast), power=each),
    )  # fmt: skip
