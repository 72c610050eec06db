"""How the pages are built."""

from importlib.metadata import version as installed

project = "ampwright"
author = "The ampwright founders"
copyright = "2026, the ampwright founders"
version = release = installed("ampwright")
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["_build", "examples", "changelog/*"]
html_theme = "furo"
html_title = "ampwright"
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 3
autodoc_typehints = "description"
autodoc_member_order = "bysource"
autodoc_preserve_defaults = True
napoleon_google_docstring = True
nitpicky = False
