"""How the pages are built."""

import sys
from importlib.metadata import version as installed
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))  # so that docs.making is found

project = "ampwright"
author = "The ampwright founders"
copyright = "2026, the ampwright founders"
version = release = installed("ampwright")
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon", "docs.making"]
source_suffix = {".md": "markdown"}
exclude_patterns = [
    "_build",
    "examples",
    "making",
    "changelog/*",
    "caution.md",
    "reference/generated/*",
]
html_theme = "furo"
html_title = "ampwright"
html_static_path = ["static"]
html_css_files = ["pages.css"]
html_show_sphinx = False
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 3
autodoc_typehints = "signature"
autodoc_typehints_format = "short"
autodoc_member_order = "bysource"
autodoc_preserve_defaults = True
napoleon_google_docstring = True
python_maximum_signature_line_length = 88
toc_object_entries_show_parents = "hide"
nitpicky = False
