"""House rules that look at a finished plan."""

from collections.abc import Sequence
from typing import Protocol

from ampwright.decision import Decision
from ampwright.finding import Finding


class Review(Protocol):
    """A house rule: it sees the finished decision and may add findings, nothing else."""

    @property
    def id(self) -> str:
        """Stable name, lower case, hyphens."""

    def review(self, decision: Decision) -> Sequence[Finding]:
        """Return findings to add; never raise for a plan that it dislikes."""
