"""PDF from a template. The same template and facts give the same bytes."""

from collections.abc import Mapping
from types import ModuleType
from typing import Any

from django.template.loader import render_to_string

from shop.documents.refusals import PdfNotInstalled


def require_pdf() -> None:
    """Raise `PdfNotInstalled` if `render_pdf` would."""
    _weasyprint()


def render_pdf(template: str, context: Mapping[str, Any]) -> bytes:
    """The template with its context as PDF, in the system's fonts and without looking anywhere else.

    Raises `PdfNotInstalled`.
    """
    weasyprint = _weasyprint()
    nothing_outside = weasyprint.urls.URLFetcher(allowed_protocols=(), fail_on_errors=True)
    page = weasyprint.HTML(string=render_to_string(template, dict(context)), url_fetcher=nothing_outside)
    pdf: bytes = page.write_pdf()
    return pdf


def _weasyprint() -> ModuleType:
    """Imported here and not above, so that all but papers works on a machine without Pango."""
    try:
        import weasyprint
    except (ImportError, OSError) as error:
        missing = str(error).partition("\n")[0].rstrip(".")
        raise PdfNotInstalled(missing=missing) from error
    module: ModuleType = weasyprint
    return module
