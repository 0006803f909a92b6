"""MTM-1: codes of motions to TMU, from tables that `reference` opens."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

TMU_S = 0.036  # 1 TMU = 1e-5 h, exact (published: MTM-1 data card 2019)
_POUND_KG = 0.45359237  # exact

_REACH_OR_MOVE = re.compile(r"(?P<what>[RM])(?P<size>\d+(?:\.\d+)?)(?P<case>[A-E])(?P<lb>\d+(?:\.\d+)?)?$")
_TURN = re.compile(r"T(?P<size>\d+)(?P<case>[SML])$")
_LEG = re.compile(r"LM(?P<size>\d+(?:\.\d+)?)$")
_SIDE_STEP = re.compile(r"SS(?P<size>\d+(?:\.\d+)?)(?P<case>C[12])$")
_PACES = re.compile(r"W(?P<size>\d+)(?P<case>PO?)$")
_PLAIN = re.compile(r"(?P<element>RL|AP|G|P|D)(?P<case>[0-9A-Z]+)$")


@dataclass(frozen=True, slots=True)
class Element:
    """One row of the tables: `size` in the unit of its table, None where a motion has none, -1 for "each one more"."""

    element: str
    case: str
    size: float | None
    tmu: float
    mark: str
    source: str


@dataclass(frozen=True, slots=True)
class Motion:
    """One motion with its time at normal performance, without allowance.

    `mark` is the weakest of the table rows it rests on.
    """

    code: str
    tmu: float
    words: str
    mark: str

    @property
    def seconds(self) -> float:
        """Time. [s]"""
        return TMU_S * self.tmu


class MtmTables:
    """The MTM-1 tables, looked up by motion code.

    Parameters
    ----------
    elements : sequence of Element

    Notes
    -----
    Codes: R and M with the distance in inches (R16C, M20C; a move with a weight in pounds M20C12.5), T with degrees and
    resistance (T90S), LM, SS with centimetres (SS45C1), W with paces (W3P), and G, P, RL, D, AP, EF and body motions as
    printed on the card. Distances between two rows are interpolated; those beyond 30 in are added up by the inch.

    Source
    ------
    published: MTM-1 inch tables (reach, move), data card 2019 (turn, body), Groover table 14.4 (grasp); from memory:
    position, release, disengage, apply pressure. The mark of each row goes with its motions.
    """

    __slots__ = ("_by_case", "_kept", "_weights")

    def __init__(self, elements: Sequence[Element]) -> None:
        self._by_case: dict[tuple[str, str], list[Element]] = {}
        self._kept: dict[tuple[str, str], Motion] = {}
        for row in elements:
            self._by_case.setdefault((row.element, row.case), []).append(row)
        factors = self._by_case.pop(("MW", ""), [])
        constants = {row.size: row for row in self._by_case.pop(("MK", ""), [])}
        self._weights = sorted(
            ((row.size or 0.0, row.tmu, constants[row.size].tmu, row.mark) for row in factors),
        )
        for rows in self._by_case.values():
            rows.sort(key=lambda row: -1.0 if row.size is None else row.size)

    def motion(self, code: str, words: str = "", mass_kg: float = 0.0, hand_count: int = 1) -> Motion:
        """Time of one motion.

        Parameters
        ----------
        code : str
            As in the class notes.
        words : str
            What it does, for the reader.
        mass_kg : float
            Mass moved, for M; shared by the hands. [kg]
        hand_count : int
            1 or 2. [1]

        Raises
        ------
        ValueError
            An unknown code, a mass that is negative or beyond the table.

        Notes
        -----
        A move with mass takes M × factor + constant, by the weight class up to that many pounds per hand.
        """
        if mass_kg:
            return self._motion(code, words, mass_kg, hand_count)
        if (code, words) not in self._kept:
            self._kept[code, words] = self._motion(code, words, 0.0, 1)
        return self._kept[code, words]

    def _motion(self, code: str, words: str, mass_kg: float, hand_count: int) -> Motion:
        if (found := _REACH_OR_MOVE.match(code)) is not None:
            pounds = float(found["lb"] or 0.0)
            if found["what"] == "M" and mass_kg:
                pounds += mass_kg / _POUND_KG / hand_count
            plain = self._at(found["what"], found["case"], float(found["size"]), code)
            return (
                self._weighed(code, plain, pounds, words) if found["what"] == "M" else _worded(plain, words)
            )
        if (found := _TURN.match(code)) is not None:
            return _worded(self._at("T", found["case"], float(found["size"]), code), words)
        if (found := _LEG.match(code)) is not None:
            return _worded(self._stepped("LM", float(found["size"]), 15.0, code), words)
        if (found := _SIDE_STEP.match(code)) is not None:
            return _worded(self._stepped(f"SS{found['case']}", float(found["size"]), 30.0, code), words)
        if (found := _PACES.match(code)) is not None:
            pace = self._row("body", f"W{found['case']}", code)
            return Motion(code, float(found["size"]) * pace.tmu, words, pace.mark)
        found = _PLAIN.match(code)
        element, case = (found["element"], found["case"]) if found else ("body", code)
        if (element, case) not in self._by_case:
            element, case = ("eye" if code == "EF" else "body"), code
        row = self._row(element, case, code)
        return Motion(code, row.tmu, words, row.mark)

    def _row(self, element: str, case: str, code: str) -> Element:
        rows = self._by_case.get((element, case))
        if rows is None:
            known = ", ".join(
                sorted({f"{e}{c}" for e, c in self._by_case if e not in ("R", "M", "T", "body")})
            )
            msg = (
                f"no MTM-1 motion {code!r}; write R, M with inches and case (R16C), T with degrees (T90S), "
                f"W with paces (W3P), or one of {known} and the body motions."
            )
            raise ValueError(msg)
        return rows[0]

    def _at(self, element: str, case: str, size: float, code: str) -> Motion:
        self._row(element, case, code)
        rows = self._by_case[(element, case)]
        more = next((row for row in rows if row.size == -1.0), None)
        table = [row for row in rows if row.size is not None and row.size >= 0.0]
        below = [row for row in table if (row.size or 0.0) <= size]
        if not below:
            if element == "T":
                msg = f"motion {code!r}: turns are listed from {table[0].size:g} degrees."
                raise ValueError(msg)
            return Motion(code, table[0].tmu, "", table[0].mark)
        last = below[-1]
        if last is table[-1]:
            over = size - (last.size or 0.0)
            if over > 0.0 and more is None:
                msg = f"motion {code!r}: turns are listed up to {last.size:g} degrees; make two of it."
                raise ValueError(msg)
            return Motion(code, last.tmu + over * (more.tmu if more else 0.0), "", last.mark)
        after = table[len(below)]
        share = (size - (last.size or 0.0)) / ((after.size or 0.0) - (last.size or 0.0))
        return Motion(code, last.tmu + share * (after.tmu - last.tmu), "", last.mark)

    def _stepped(self, case: str, size: float, base: float, code: str) -> Motion:
        self._row("body", case, code)
        rows = {row.size: row for row in self._by_case[("body", case)]}
        first, each = rows[None], rows[-1.0]
        return Motion(code, first.tmu + max(0.0, size - base) * each.tmu, "", first.mark)

    def _weighed(self, code: str, plain: Motion, pounds: float, words: str) -> Motion:
        if pounds < 0.0:
            msg = f"motion {code!r}: a moved mass cannot be negative."
            raise ValueError(msg)
        for limit, factor, constant, mark in self._weights:
            if pounds <= limit:
                shown = f"{code}{pounds:.3g}" if pounds > self._weights[0][0] and code[-1].isalpha() else code
                return Motion(shown, plain.tmu * factor + constant, words, _weaker(plain.mark, mark))
        limit_kg = self._weights[-1][0] * _POUND_KG
        msg = (
            f"motion {code!r}: {pounds * _POUND_KG:.1f} kg per hand is beyond the table ({limit_kg:.1f} kg); use both "
            "hands, or a lifting aid."
        )
        raise ValueError(msg)


def _worded(motion: Motion, words: str) -> Motion:
    """The same motion with its words."""
    return Motion(motion.code, motion.tmu, words, motion.mark)


def _weaker(a: str, b: str) -> str:
    return "from memory" if "from memory" in (a, b) else a
