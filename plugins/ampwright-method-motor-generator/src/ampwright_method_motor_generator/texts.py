"""What reports print for the codes of this method."""

import tomllib
from collections.abc import Mapping
from pathlib import Path

TEXTS: Mapping[str, Mapping[str, str]] = tomllib.loads(
    Path(__file__).with_name("texts.toml").read_text(encoding="utf-8")
)
