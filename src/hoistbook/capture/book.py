"""What the sheets of an XLSX workbook share: their list, the text table, and which styles show days or percentages."""

from __future__ import annotations

import posixpath
import re
from dataclasses import dataclass, field

from hoistbook.capture.archive import Archive
from hoistbook.capture.markup import local, parse
from hoistbook.capture.number_formats import oddity_of
from hoistbook.capture.tables import Oddity

_OFFICE_DOCUMENT = "/officeDocument"
_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """A sheet as the workbook lists it."""

    name: str
    path: str
    hidden: bool


@dataclass(slots=True)
class Book:
    """What the sheets of a workbook share."""

    sheets: list[SheetEntry] = field(default_factory=list)
    strings: list[str] = field(default_factory=list)
    styles: list[Oddity | None] = field(default_factory=list)
    from_1904: bool = False
    results_pending: bool = False
    cells: int = 0  # filled, read so far in all sheets


def open_book(archive: Archive) -> Book:
    """Read what the sheets of a workbook share.

    Raises
    ------
    LookupError
        An entry the workbook points at is missing.
    markup.MarkupRefused, zipfile.BadZipFile, zlib.error
        An entry is damaged or carries what a spreadsheet never carries.
    """
    book = Book()
    main = "xl/workbook.xml"
    for kind, target in _relations(archive, "_rels/.rels").values():
        if kind.endswith(_OFFICE_DOCUMENT):
            main = _resolved("", target)
    folder = posixpath.dirname(main)
    relations = _relations(archive, f"{folder}/_rels/{posixpath.basename(main)}.rels")
    listed: list[tuple[str, str, bool]] = []

    def start(name: str, attributes: dict[str, str]) -> None:
        match local(name):
            case "sheet":
                relation = next(
                    (value for key, value in attributes.items() if local(key) == "id" and ":" in key), ""
                )
                listed.append(
                    (attributes.get("name", ""), relation, attributes.get("state", "visible") != "visible")
                )
            case "workbookPr":
                book.from_1904 = attributes.get("date1904", "0") in ("1", "true")
            case "calcPr":
                book.results_pending = attributes.get("fullCalcOnLoad", "0") in ("1", "true")

    parse(archive.chunks(main), start)
    for name, relation, hidden in listed:
        if relation not in relations:
            msg = f"sheet {name!r} points at nothing"
            raise LookupError(msg)
        kind, target = relations[relation]
        if kind.endswith("/worksheet"):  # the others are charts and dialogs, which hold no cells
            book.sheets.append(SheetEntry(name, _resolved(folder, target), hidden))
    for kind, target in relations.values():
        path = _resolved(folder, target)
        if kind.endswith("/sharedStrings") and path in archive.sizes:
            book.strings = _shared_strings(archive, path)
        elif kind.endswith("/styles") and path in archive.sizes:
            book.styles = _styles(archive, path)
    return book


def _resolved(folder: str, target: str) -> str:
    # A target may not lead out of the archive: what is not an entry is reported as missing when it is opened.
    return (
        target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
    )


def _relations(archive: Archive, path: str) -> dict[str, tuple[str, str]]:
    found: dict[str, tuple[str, str]] = {}

    def start(name: str, attributes: dict[str, str]) -> None:
        if local(name) == "Relationship" and attributes.get("TargetMode") != "External":
            found[attributes.get("Id", "")] = (attributes.get("Type", ""), attributes.get("Target", ""))

    if path in archive.sizes:
        parse(archive.chunks(path), start)
    return found


class Texts:
    """Collects the text of <t> elements, leaving out phonetic runs."""

    def __init__(self) -> None:
        self.pieces: list[str] = []
        self.collecting = False
        self._phonetic = 0

    def start(self, name: str) -> None:
        """Take note of an element that begins."""
        if name == "t":
            self.collecting = not self._phonetic
        elif name == "rPh":
            self._phonetic += 1

    def end(self, name: str) -> None:
        """Take note of an element that ends."""
        if name == "t":
            self.collecting = False
        elif name == "rPh":
            self._phonetic -= 1

    def take(self) -> str:
        """Return the text collected so far and start anew."""
        text = "".join(self.pieces)
        self.pieces.clear()
        return unescaped(text)


def unescaped(text: str) -> str:
    """Undo the _xHHHH_ escapes that the format uses for characters XML cannot hold."""
    if "_x" not in text:
        return text
    plain = _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)
    # An escaped half of a surrogate pair is no character; it may not travel on.
    return plain.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def _shared_strings(archive: Archive, path: str) -> list[str]:
    strings: list[str] = []
    texts = Texts()

    def start(name: str, attributes: dict[str, str]) -> None:
        texts.start(local(name))

    def end(name: str) -> None:
        name = local(name)
        texts.end(name)
        if name == "si":
            strings.append(texts.take())

    def text(data: str) -> None:
        if texts.collecting:
            texts.pieces.append(data)

    parse(archive.chunks(path), start, end, text)
    return strings


def _styles(archive: Archive, path: str) -> list[Oddity | None]:
    codes: dict[str, str] = {}
    styles: list[Oddity | None] = []
    inside = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal inside
        match local(name):
            case "numFmt":
                codes[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")
            case "cellXfs":
                inside = True
            case "xf" if inside:
                number = attributes.get("numFmtId", "0")
                styles.append(oddity_of(int(number), codes.get(number, "")))

    def end(name: str) -> None:
        nonlocal inside
        if local(name) == "cellXfs":
            inside = False

    parse(archive.chunks(path), start, end)
    return styles
