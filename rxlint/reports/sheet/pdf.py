"""A page as PDF, by weasyprint, which is given nothing to fetch with."""

from __future__ import annotations

import importlib
from typing import Any


def pdf_of(page: str) -> bytes:
    """A page of ours as PDF. Raises ImportError without weasyprint, or OSError without a library that it stands on."""
    weasyprint: Any = importlib.import_module("weasyprint")
    urls: Any = importlib.import_module("weasyprint.urls")
    nothing = urls.URLFetcher(allowed_protocols=frozenset(), allow_redirects=False)
    made = weasyprint.HTML(string=page, url_fetcher=nothing).write_pdf(pdf_tags=True)
    assert isinstance(made, bytes)
    return made
