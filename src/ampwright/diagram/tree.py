"""Which circuit feeds what, from the panel outwards, read from the plan's own records."""

from collections.abc import Iterator

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.equipment.transformer import Transformer
from ampwright.option import Option


@attrs.frozen(kw_only=True)
class Branch:
    """A circuit, what stands at its end, and what goes on from there.

    Attributes:
        circuit: The circuit; ``None`` where what stands here is fed by none of the plan's.
        converters: Converters at its end.
        transformers: Transformers at its end.
        idler: Converter whose idler it feeds.
        machines: Ids of machines that it feeds and no circuit behind it.
        behind: What goes on from its end.
    """

    circuit: Circuit | None
    converters: tuple[Converter, ...] = ()
    transformers: tuple[Transformer, ...] = ()
    idler: Converter | None = None
    machines: tuple[str, ...] = ()
    behind: tuple["Branch", ...] = ()

    @property
    def ends(self) -> bool:
        """Nothing goes on from its end but what it feeds."""
        return not (self.behind or self.converters or self.transformers)

    def reached(self) -> Iterator[str]:
        """Yield the ids of machines that it feeds, those of the circuits behind it included."""
        yield from self.machines
        for one in self.behind:
            yield from one.reached()

    def walked(self) -> Iterator["Branch"]:
        """Yield it and everything behind it."""
        yield self
        for one in self.behind:
            yield from one.walked()


def service(option: Option) -> Circuit | None:
    """Return the circuit ahead of the panel, where the plan has one."""
    return next((one for one in option.circuits if one.role == "service"), None)


def branches(option: Option) -> tuple[Branch, ...]:
    """Return what goes on from the panel.

    Whatever no circuit of the plan feeds, of circuits, converters and transformers, hangs on the
    panel as well: nothing of a plan is left out, whichever method it comes from.
    """
    return _Growth(option).branches()


class _Growth:
    """The way from the records of an option to its branches."""

    def __init__(self, option: Option) -> None:
        self.converters = {one.id: one for one in option.converters}
        self.joining = {one.id for one in option.converters if one.joins is not None}
        self.transformers = {one.id: one for one in option.transformers}
        self.circuits = [one for one in option.circuits if one.role != "service"]
        self.equipment = self.converters.keys() | self.transformers.keys()
        self.fed = {name for one in self.circuits for name in one.feeds}
        # of two circuits that claim to feed one thing the first is taken
        self.head: dict[str, str] = {}
        # an idler's circuit leads to what turns it, but where that has no other circuit, as a set
        # of motor and generator, it is what feeds it
        for one in sorted(self.circuits, key=lambda circuit: circuit.role == "idler"):
            for name in one.feeds:
                if name in self.equipment and name not in self.joining:
                    self.head.setdefault(name, one.id)
        self.drawn: set[int] = set()

    def branches(self) -> tuple[Branch, ...]:
        equipment = (*self.converters, *self.transformers)
        loose = [name for name in equipment if name not in (*self.head, *self.joining)]
        known = {one.id for one in self.circuits} | set(loose)
        roots = [one for one in self.circuits if self._ahead(one) not in known]
        made = [self._grown(one) for one in roots]
        made += [self._branch(None, (name,), self._behind(name)) for name in loose]
        # circuits that feed each other in a ring
        made += [self._grown(one) for one in self.circuits if id(one) not in self.drawn]
        return tuple(made)

    def _ahead(self, one: Circuit) -> str:
        """Return the id of the circuit ahead, or of the equipment that no circuit feeds."""
        return self.head.get(one.fed_from, one.fed_from)

    def _behind(self, name: str) -> tuple[Branch, ...]:
        fitting = [one for one in self.circuits if self._ahead(one) == name]
        return tuple(self._grown(one) for one in fitting if id(one) not in self.drawn)

    def _grown(self, one: Circuit) -> Branch:
        self.drawn.add(id(one))
        at_end = tuple(name for name in one.feeds if self.head.get(name) == one.id)
        return self._branch(one, at_end, self._behind(one.id))

    def _branch(
        self, circuit: Circuit | None, at_end: tuple[str, ...], behind: tuple[Branch, ...]
    ) -> Branch:
        further = {name for branch in behind for name in branch.reached()}
        idler = circuit if circuit is not None and circuit.role == "idler" else None
        served = () if circuit is None or idler else circuit.feeds
        for name in at_end:  # what it serves without a circuit of its own
            part = self.converters.get(name) or self.transformers[name]
            served += tuple(one for one in part.machines if one not in self.fed)
        own = dict.fromkeys(served)
        return Branch(
            circuit=circuit,
            converters=tuple(self.converters[one] for one in at_end if one in self.converters),
            transformers=tuple(
                self.transformers[one] for one in at_end if one in self.transformers
            ),
            idler=next((self.converters.get(one) for one in idler.feeds), None)
            if idler and not at_end
            else None,
            machines=tuple(one for one in own if one not in further | self.equipment),
            behind=behind,
        )
