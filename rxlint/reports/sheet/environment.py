"""The templates of the sheet, with every text escaped."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from jinja2 import Environment

_FOLDER: Final = Path(__file__).parent / "templates"


@cache
def environment() -> Environment:
    """The environment that every template of the sheet is rendered in. Raises ImportError without jinja2.

    Autoescape is on for every template, whatever its name; a name that is not given to a template is an error.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(_FOLDER, encoding="utf-8"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
