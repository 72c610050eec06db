"""What the pages take from the code, so that it cannot drift; Sphinx loads this as an extension."""

from pathlib import Path
from typing import Any

from docs.making import (
    changes,
    commands,
    failures,
    fields,
    messages,
    models,
    numbers,
    outputs,
    thumb,
    traits,
    trust,
    wire,
)

MADE = Path(__file__).parents[1] / "reference" / "generated"
PAGES = {
    "findings.md": messages.findings_page,
    "assumptions.md": messages.assumptions_page,
    "questions.md": messages.questions_page,
    "errors.md": failures.page,
    "tables.md": numbers.tables_page,
    "limits.md": numbers.limits_page,
    "planning-values.md": numbers.planning_page,
    "symbols.md": numbers.glossary_page,
    "models.md": models.page,
    "rows.md": wire.rows_page,
    "schemas.md": wire.schemas_page,
    "rules-of-thumb.md": thumb.page,
    "traits.md": traits.page,
    "hooks.md": wire.hooks_page,
    "commands.md": commands.page,
    "changes.md": changes.page,
    "checks.md": trust.checks_page,
    "check-summary.md": trust.summary_page,
    "independent.md": trust.independent_page,
}


def write(*_: object) -> None:
    """Write every page that is made from the code; an unchanged one is left alone."""
    MADE.mkdir(parents=True, exist_ok=True)
    for name, page in PAGES.items():
        path, text = MADE / name, page()
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")


def _all_pages(app: Any, *_: object) -> list[str]:  # noqa: ANN401 - as Sphinx calls it
    return sorted(app.env.found_docs)  # made from the code, so none can be known to be up to date


def setup(app: Any) -> dict[str, bool]:  # noqa: ANN401 - tests import this without Sphinx
    """Tell Sphinx when to call what."""
    app.connect("builder-inited", write)
    app.connect("env-get-outdated", _all_pages)
    app.connect("source-read", outputs.source_read)
    app.connect("autodoc-process-docstring", fields.docstring, priority=400)
    app.connect("autodoc-process-docstring", fields.property_text, priority=600)
    app.connect("autodoc-process-signature", fields.signature)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
