"""What goes over the wire and through the door: flat tables, stored schemas, hooks."""

import inspect

from docs.making.markup import section, table

from ampwright import hookspecs
from ampwright.decision import SCHEMA
from ampwright.records.shop import Shop
from ampwright.tabulation import TABLES


def rows_page() -> str:
    """Return every table of `Plan.rows` with its keys."""
    return "\n".join(
        section(
            f"`{name}`",
            table(
                ("Key", "Unit", "Meaning"),
                [(f"`{key}`", unit or "–", meaning) for key, (unit, meaning) in keys.items()],
            ),
        )
        for name, keys in TABLES.items()
    )


def schemas_page() -> str:
    """Return the schemas that this version writes."""
    rows = [(f"`{Shop.SCHEMA}`", "shop files", "`Shop.to_dict`, `load_shop`"),
            (f"`{SCHEMA}`", "plans", "`Plan.to_json`, `Plan.from_json`")]  # fmt: skip
    return table(("Schema", "Of", "Written and read by"), rows)


def hooks() -> dict[str, str]:
    """Return the exact signature of each hook, by name."""
    named = {
        name: one
        for name, one in vars(hookspecs).items()
        if inspect.isfunction(one) and name.startswith("ampwright_")
    }
    return {name: f"{name}{_short(inspect.signature(one))}" for name, one in named.items()}


def _short(signature: inspect.Signature) -> str:
    """Return a signature with the names of types as `ampwright.plugin` has them."""
    return (
        str(signature)
        .replace("collections.abc.", "")
        .replace("typing.", "")
        .replace("ampwright.method.", "")
        .replace("ampwright.region.", "")
        .replace("ampwright.review.", "")
    )


def hooks_page() -> str:
    """Return every hook with its exact signature."""
    return "\n".join(
        section(f"`{signature}`", inspect.getdoc(getattr(hookspecs, name)) or "", level=3)
        for name, signature in hooks().items()
    )
