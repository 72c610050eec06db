"""All ways to run the shop, ranked, with what there is to say."""

import attrs

from ampwright.finding import Assumption, Finding, Question
from ampwright.option import VERDICTS, Option
from ampwright.record import Record
from ampwright.records.shop import Shop
from ampwright.step import Step

SCHEMA = "ampwright.plan/1"


@attrs.frozen(kw_only=True, eq=False, repr=False)
class RegionUsed(Record):
    """The wiring code that a plan was made under.

    Attributes:
        id: Id of the region.
        edition: Edition in force.
        family: Family of codes.
        title: Name of code and edition, as a report prints it.
        terms: The code's own words for what a report names.
    """

    id: str
    edition: str
    family: str
    title: str
    terms: tuple[tuple[str, str], ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class PluginUsed(Record):
    """One plugin that had a part in a plan.

    Attributes:
        name: Name of the plugin.
        version: Version of its distribution.
        texts: Texts that it brings for reports: area, code and text of each. They stand in the
            plan, so that it can be read where the plugin is not installed.
    """

    name: str
    version: str
    texts: tuple[tuple[str, str, str], ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Decision(Record):
    """The answer to a shop.

    Attributes:
        schema: Form of the stored plan.
        id: From the canonical input, the plugins' versions and the tables: equal input, equal id.
        version: Version of ampwright that made it.
        shop: What the caller stated.
        region: The wiring code.
        plugins: What took part.
        verdict: That of the best option, or of the worst required machine.
        options: Every option, best first, those that cannot be done at the end.
        chosen: Id of the best option; ``None`` where none can be advised.
        findings: What there is to say about the shop.
        questions: What has to be asked.
        assumptions: What everything rests on.
        checks: What the independent check said; ``None`` if it was not asked.
        steps: How the numbers that all options share came about.
    """

    schema: str = SCHEMA
    id: str
    version: str
    shop: Shop
    region: RegionUsed
    plugins: tuple[PluginUsed, ...] = ()
    verdict: str = attrs.field(validator=attrs.validators.in_(VERDICTS))
    options: tuple[Option, ...] = ()
    chosen: str | None = None
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    checks: tuple[Finding, ...] | None = None
    steps: tuple[Step, ...] = ()

    @property
    def best(self) -> Option | None:
        """The option to take, or ``None``."""
        return next((one for one in self.options if one.id == self.chosen), None)
