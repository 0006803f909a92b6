"""Read XML as a stream of events; document types, and with them entities, are refused."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from xml.parsers import expat

Start = Callable[[str, dict[str, str]], None]
End = Callable[[str], None]
Text = Callable[[str], None]


class MarkupRefused(ValueError):
    """The XML is broken or carries what a spreadsheet never carries."""


class Enough(Exception):
    """Raised by a handler that has seen enough; `parse` then stops quietly."""


def _no_doctype(*_: object) -> None:
    msg = (
        "it declares a document type, the way to entity-expansion attacks; no spreadsheet program writes one"
    )
    raise MarkupRefused(msg)


def parse(chunks: Iterable[bytes], start: Start, end: End | None = None, text: Text | None = None) -> None:
    """Parse XML from pieces of bytes.

    Parameters
    ----------
    chunks : iterable of bytes
    start, end, text : callable
        Called with element name and attributes, element name, and character data (joined per element).

    Raises
    ------
    MarkupRefused
        Not well-formed, or with a document type declaration.

    Notes
    -----
    Element names arrive as written, prefix included (see `local`). No tree is built, so nesting costs no stack; without
    a document type there are no entities beyond the five of XML, so nothing expands.
    """
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.buffer_size = 1 << 16
    parser.StartDoctypeDeclHandler = _no_doctype
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    try:
        for chunk in chunks:
            parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except Enough:
        return
    except expat.ExpatError as error:
        raise MarkupRefused(str(error)) from error


def local(name: str) -> str:
    """Return an element or attribute name without its prefix."""
    return name.rpartition(":")[2]
