"""How the site is built: `make docs`. Nothing is fetched, neither to build it nor to read it."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from making import docstrings, pages  # the folder beside this file, found by the line above

import meshcore

project = "meshcore"
release = meshcore.__version__
version = release
html_title = f"meshcore {release}"
language = "en_GB"

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
exclude_patterns = ["making", "screenshots/*.py", "weaves/*.py", "uses/*.py"]
default_role = "py:obj"

myst_heading_anchors = 3
myst_enable_extensions = ["attrs_inline"]

napoleon_google_docstring = False
napoleon_use_param = False
#: Shown as the prose that it is, whose first line would else be taken for a type.
napoleon_custom_sections = ["Returns"]
napoleon_use_ivar = False
autodoc_typehints_format = "short"
autodoc_member_order = "bysource"
python_use_unqualified_type_names = True
maximum_signature_line_length = 76

html_theme = "furo"
html_static_path = ["_static"]
html_css_files = ["site.css"]
templates_path = ["_templates"]
html_copy_source = False
html_show_sourcelink = False
html_show_copyright = False
#: Pygments styles whose comments can be read on both backgrounds.
pygments_style = "default"
pygments_dark_style = "github-dark"


def setup(app: object) -> dict[str, bool]:
    """Have the pages' generated parts made, and docstrings brought into the site's form."""
    app.connect("source-read", pages.fill)  # type: ignore[attr-defined]
    app.connect("autodoc-process-docstring", docstrings.shown, priority=400)  # type: ignore[attr-defined]
    app.connect("autodoc-process-signature", docstrings.shown_signature)  # type: ignore[attr-defined]
    return {"parallel_read_safe": True}
