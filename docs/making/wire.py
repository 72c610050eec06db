"""What goes over the wire: flat tables and stored schemas."""

from docs.making.markup import section, table

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
