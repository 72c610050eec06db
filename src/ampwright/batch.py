"""Many shops: one after the other or through any ``map``, resumable where it was cut."""

import json
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from importlib import import_module
from os import PathLike
from pathlib import Path
from typing import Any, Protocol

import attrs

from ampwright.engine import Engine, default
from ampwright.errors import AmpwrightError, ConsistencyError, InternalError
from ampwright.record import Record
from ampwright.records.shop import Shop
from ampwright.result import Plan

SCHEMA = "ampwright.journal/1"


class Mapper(Protocol):
    """Anything that maps like the built-in: of a process pool, of a distributed client."""

    def __call__(self, function: Callable[[Any], Any], items: Iterable[Any], /) -> Iterable[Any]:
        """Return the results in the order of *items*."""


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Outcome(Record):
    """What became of one shop.

    Attributes:
        row: Its place in what was handed over, from 1.
        plan: The plan; ``None`` where the shop could not be read.
        error: Why not; ``None`` where it was planned.
    """

    row: int
    plan: Plan | None = None
    error: AmpwrightError | None = None


def planned(
    shop: Shop | dict[str, object], *, region: str | None, engine: Engine | None
) -> Plan | AmpwrightError:
    """Return the plan of one shop, or the error of its row; what else goes wrong is ours."""
    try:
        stated = shop if isinstance(shop, Shop) else Shop.from_dict(shop)
        return (engine or default()).plan(stated, region=region)
    except AmpwrightError as error:
        return error
    except Exception as error:  # one row must not take the others with it
        return InternalError(f"{type(error).__name__}: {error}", "a plan or an error of its row")


def plan_many(
    shops: Iterable[Shop | dict[str, object]],
    *,
    region: str | None = None,
    map: Mapper = map,  # noqa: A002 - the public name, read like the built-in
    journal: str | PathLike[str] | None = None,
    engine: Engine | None = None,
) -> Iterator[Outcome]:
    """Plan many shops, in order; a bad one costs only its own row.

    Args:
        shops: Shops, or mappings as `Shop.from_dict` takes them. They are taken once.
        region: Id of the region for those that state none.
        map: Any callable like the built-in ``map``; with that of a process pool the shops go
            through the pool. A pool needs the default engine.
        journal: File that keeps what was done; a run that was cut goes on where it stopped.
        engine: Engine to plan with; ``None``: the default one.

    Yields:
        An outcome a shop.

    Raises:
        ConsistencyError: The journal belongs to other shops, another region or another version.
    """
    ask = partial(planned, region=region, engine=engine)
    if journal is None:
        for row, answer in enumerate(map(ask, shops), 1):
            yield _outcome(row, answer)
        return
    rows = list(shops)
    kept = _Journal(Path(journal), _digest(rows, region))
    done = kept.done()
    yield from done
    with kept.opened() as write:
        for row, answer in enumerate(map(ask, rows[len(done) :]), len(done) + 1):
            outcome = _outcome(row, answer)
            write(outcome)
            yield outcome


def _outcome(row: int, answer: Plan | AmpwrightError) -> Outcome:
    if isinstance(answer, Plan):
        return Outcome(row=row, plan=answer)
    return Outcome(row=row, error=answer)


def _digest(rows: list[Shop | dict[str, object]], region: str | None) -> str:
    from_records = [one.to_dict() if isinstance(one, Shop) else one for one in rows]
    text = json.dumps([from_records, region], sort_keys=True, default=str)
    digest = import_module("hashlib").sha256(text.encode())  # here: slow to load, for journals only
    return str(digest.hexdigest())


class _Journal:
    """One line an outcome, below a line that says whose outcomes they are."""

    def __init__(self, path: Path, digest: str) -> None:
        self.path = path
        self.head = {"schema": SCHEMA, "shops": digest}

    def lines(self) -> list[str]:
        """Return the whole lines; a last one that was cut is dropped."""
        if not self.path.exists():
            return []
        text = self.path.read_text(encoding="utf-8")
        return text[: text.rfind("\n") + 1].splitlines()

    def done(self) -> list[Outcome]:
        """Return the outcomes kept so far, up to the first error: what failed is tried again."""
        lines = self.lines()
        if not lines:
            return []
        head = json.loads(lines[0])
        if head != self.head:
            wanted = f"a journal of the shops with the digest {self.head['shops'][:12]}"
            given = str(head.get("shops", head))[:12]
            raise ConsistencyError(given, wanted, self.path.name, code="resume.mismatch")
        found = []
        for row, line in enumerate(lines[1:], 1):
            kept = json.loads(line)
            if "plan" not in kept:
                break
            found.append(Outcome(row=row, plan=Plan.from_dict(kept["plan"])))
        return found

    def opened(self) -> "_Writer":
        """Return the file to go on writing, what stood behind the last good line cut off."""
        return _Writer(self.path, self.head, len(self.done()))


class _Writer:
    """The journal while it is written: each outcome is on disk before it is yielded."""

    def __init__(self, path: Path, head: dict[str, str], good: int) -> None:
        lines = path.read_text(encoding="utf-8").splitlines()[: good + 1] if path.exists() else []
        kept = lines or [json.dumps(head, sort_keys=True)]
        path.write_text("".join(f"{line}\n" for line in kept), encoding="utf-8")
        self._file = path.open("a", encoding="utf-8")

    def __enter__(self) -> Callable[[Outcome], None]:
        """Return the function that keeps an outcome."""
        return self._keep

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def _keep(self, outcome: Outcome) -> None:
        if outcome.plan is not None:
            kept: dict[str, object] = {"plan": outcome.plan.to_dict()}
        else:
            kept = {"error": str(outcome.error)}
        self._file.write(json.dumps(kept, sort_keys=True, allow_nan=False) + "\n")
        self._file.flush()
