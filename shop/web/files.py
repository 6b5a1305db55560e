"""Answers that are a file."""

from collections.abc import Iterator

from django.http import HttpResponse, StreamingHttpResponse
from django.utils.http import content_disposition_header


def shown_pdf(content: bytes, name: str) -> HttpResponse:
    """A paper that the browser shows; `name` is what it is called when it is kept."""
    return _file(content, name, "application/pdf", as_attachment=False)


def download(content: bytes | str, name: str, content_type: str) -> HttpResponse:
    """A file that the browser keeps."""
    return _file(content, name, content_type, as_attachment=True)


def streamed(parts: Iterator[bytes], name: str, content_type: str) -> StreamingHttpResponse:
    """A file that the browser keeps, sent as it is made: it may be longer than fits into memory."""
    headers = {"Content-Disposition": _disposition(name, as_attachment=True)}
    return StreamingHttpResponse(parts, content_type=content_type, headers=headers)


def _file(content: bytes | str, name: str, content_type: str, *, as_attachment: bool) -> HttpResponse:
    headers = {"Content-Disposition": _disposition(name, as_attachment=as_attachment)}
    return HttpResponse(content, content_type=content_type, headers=headers)


def _disposition(name: str, *, as_attachment: bool) -> str:
    disposition = content_disposition_header(as_attachment=as_attachment, filename=name)
    assert disposition is not None, "a file has a name"
    return disposition
