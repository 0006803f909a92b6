"""How much room text takes: widths of the widest face it may fall to, and the wrapping that follows from them."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

# Advance widths in em. computed: read from the hmtx tables of DejaVuSans.ttf and DejaVuSans-Bold.ttf, version 2.37, in
# classes of about the same width that take the widest of their letters. Other
# system faces are narrower, so text that fits here fits there.
_REGULAR = {
    0.2: "\u202f\u2009",
    0.278: "ijl'",
    0.318: "IJ ,.·’\u00a0",
    0.352: "/:;\\|f",
    0.392: "()[]-t",
    0.411: "!²³r",
    0.5: '*_`°–§◂▸"',
    0.525: "sz“”",
    0.557: "?cL",
    0.592: "Fkvxy",
    0.615: "PTYoaeθ",
    0.636: "ESbdghnpqu$0123456789{}µρηΣ\u2007",
    0.685: "KAVXZΔBφ",
    0.698: "RC",
    0.77: "UHNDGQOΩ◇&",
    0.838: "w#+<=>^~−±×≥≤→←✓",
    0.863: "M",
    0.95: "%",
    0.989: "mW½¼",
    1.0: "@…—",
}
_BOLD = {
    0.2: "\u202f\u2009",
    0.343: "ijl'",
    0.372: "IJ \u00a0/\\|",
    0.38: ",.·’",
    0.4: ":;",
    0.438: "-f²³",
    0.478: "()[]t!",
    0.502: "r_`°–§◂▸",
    0.582: '*"?z',
    0.595: "cs",
    0.652: "Lxvy“”",
    0.678: "kae",
    0.696: "TEFΣoθ$0123456789\u2007",
    0.716: "hnu{}ηbdgpqρ",
    0.736: "SYZPCµ",
    0.775: "BRXAVKΔ◇",
    0.85: "φUGDHNOQΩ#+<=>^~−±×≥≤→←✓",
    0.924: "&w",
    1.042: "M@…—%mW½¼",
}
_UNPRINTABLE = "□"
_HEAVIEST = 1.103  # bold W; also taken for what no table has
_WIDTHS: Mapping[bool, Mapping[str, float]] = {
    bold: {letter: width for width, letters in table.items() for letter in letters}
    for bold, table in ((False, _REGULAR), (True, _BOLD))
}


def printable(text: str) -> str:
    """Text as it may go to a terminal or a sheet: no sign in it that moves the cursor, colours, hides or turns others.

    Parameters
    ----------
    text : str
        Names and notes from workbooks come from anybody.

    Returns
    -------
    str
        Control and format characters, lone surrogates and private signs are shown as □, tabs as blanks; line breaks
        stay.
    """
    return "".join(map(_shown, text))


def _shown(letter: str) -> str:
    if letter == "\t":
        return " "
    # str.isprintable refuses every space but the plain one, and the no-break spaces hold numbers to their bands.
    is_space = letter == "\n" or unicodedata.category(letter) == "Zs"
    return letter if is_space or letter.isprintable() else _UNPRINTABLE


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text in the widest face it may be shown in. [px]

    Parameters
    ----------
    text : str
    size : float
        Size of the type. [px]
    bold : bool

    Returns
    -------
    float

    Notes
    -----
    A letter with an accent is as wide as without; a letter of another script counts as the widest of the table.
    """
    table = _WIDTHS[bold]
    total = 0.0
    for letter in unicodedata.normalize("NFD", text):
        if not unicodedata.combining(letter):
            total += table.get(letter, _HEAVIEST)
    return total * size


def wrapped(text: str, size: float, width: float, *, bold: bool = False) -> list[str]:
    """Break text into lines no wider than given.

    Parameters
    ----------
    text : str
        Breaks at blanks only; a no-break space holds. A single word that is too long is broken between letters.
    size, width : float
        [px]
    bold : bool

    Returns
    -------
    list of str
        At least one line.
    """
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        joined = f"{line} {word}" if line else word
        if text_width(joined, size, bold=bold) <= width:
            line = joined
            continue
        if line:
            lines.append(line)
        line = word
        while text_width(line, size, bold=bold) > width and len(line) > 1:
            cut = next(
                (n for n in range(len(line) - 1, 1, -1) if text_width(line[:n], size, bold=bold) <= width), 1
            )
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line]
