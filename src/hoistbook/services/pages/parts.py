"""The part tree as pages walk it: branches, the lines of an assembly, the way to a part, and finding one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hoistbook.core.compare.bars import Interval
from hoistbook.services.as_json.parts import Json

AT_ONCE = 200
"""project rule: branches or lines of one assembly that a page shows before it asks for more."""

MISSING, INSIDE, PARTS, UNALLOCATED, NOT_BROKEN_DOWN = (
    "missing",
    "inside a weighed assembly",
    "sum of its parts",
    "unallocated",
    "not broken down",
)


@dataclass(frozen=True, slots=True)
class Branch:
    """An assembly in the tree. `mass_kg` is of all its pieces in one piece of the assembly above; None: not known."""

    tag: str
    name: str
    depth: int
    has_branches: bool
    mass_kg: float | None
    weighed_frac: float | None
    unknown: int


@dataclass(frozen=True, slots=True)
class PartLine:
    """One line of an assembly: its pieces in one piece of the assembly.

    Attributes
    ----------
    tag, name, kind, joint, material, function, side, note : str
    pieces : float
        In one piece of the assembly.
    mass : Interval or None
        All these pieces together, in kg; None when it is not known by itself.
    basis : str
        How the mass was come by.
    origin : str
        Weakest origin of the figures in it.
    unknown : int
        Parts in it without a mass, itself included.
    held_by : str
        Tag of the assembly whose weighing holds its mass.
    is_assembly : bool
        Whether parts are listed below it.
    readings : tuple of str
        Ids of everything ever read of it.
    """

    tag: str
    name: str
    kind: str
    pieces: float
    joint: str
    material: str
    function: str
    side: str
    note: str
    mass: Interval | None
    basis: str
    origin: str
    unknown: int
    held_by: str
    is_assembly: bool
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AssemblyView:
    """The lines of one assembly.

    `whole` is one piece of it with everything below, `bare` its own mass where it has one beside that of its pieces,
    `rest` what is in none of them. `lines` begin at `first` of `count` in all. `pieces` counts all pieces below,
    `fasteners` those that are fasteners.
    """

    whole: PartLine
    bare: Interval | None
    bare_basis: str
    rest: Interval | None
    rest_basis: str
    lines: tuple[PartLine, ...]
    first: int
    count: int
    pieces: float
    fasteners: float
    total: Interval | None
    unknown: int


class PartsBook:
    """The part tree of one vehicle over its kept columns (`book.columns_of`)."""

    __slots__ = ("_branching", "_index", "columns")

    def __init__(self, columns: Json) -> None:
        self.columns = columns
        self._index = {tag: place for place, tag in enumerate(columns["tag"])}
        self._branching: list[bool] | None = None

    def __len__(self) -> int:
        return len(self._index)

    def __contains__(self, tag: object) -> bool:
        return tag in self._index

    @property
    def root(self) -> str:
        """Tag of the vehicle itself."""
        return str(self.columns["tag"][0])

    def place(self, tag: str) -> int:
        """Place of a tag in the tree.

        Raises
        ------
        LookupError
            There is no such part.
        """
        if tag not in self._index:
            msg = f"no part has the tag {tag!r}; look for it by name."
            raise LookupError(msg)
        return self._index[tag]

    def name(self, tag: str) -> str:
        """Name of a part."""
        return str(self.columns["name"][self.place(tag)])

    def is_assembly(self, tag: str) -> bool:
        """Whether parts are listed below."""
        place = self.place(tag)
        return bool(self.columns["end"][place] > place + 1)

    def assembly_of(self, tag: str) -> str:
        """The assembly a part is a line of; a part that is an assembly itself stands for itself."""
        if self.is_assembly(tag):
            return tag
        above = self.columns["parent"][self.place(tag)]
        return tag if above < 0 else str(self.columns["tag"][above])

    def path(self, tag: str) -> tuple[str, ...]:
        """Tags from the vehicle down to a part, itself included."""
        found: list[str] = []
        place = self.place(tag)
        while place >= 0:
            found.append(self.columns["tag"][place])
            place = self.columns["parent"][place]
        return tuple(reversed(found))

    def _below(self, place: int) -> Iterator[int]:
        below, end = place + 1, self.columns["end"][place]
        while below < end:
            yield below
            below = self.columns["end"][below]

    def branch(self, tag: str) -> Branch:
        """An assembly as the tree shows it."""
        place = self.place(tag)
        columns, count = self.columns, self.columns["count"][place]
        if self._branching is None:
            self._branching = self._have_branches()
        unknown = columns["unknown"][place]
        known = columns["weighed"][place] is not None or not unknown
        return Branch(
            tag,
            columns["name"][place],
            len(self.path(tag)) - 1,
            self._branching[place],
            (1.0 if columns["parent"][place] < 0 else count) * columns["whole"][place] if known else None,
            columns["weighed"][place],
            unknown,
        )

    def _have_branches(self) -> list[bool]:
        ends, parents = self.columns["end"], self.columns["parent"]
        found = [False] * len(ends)
        for place, end in enumerate(ends):
            if end > place + 1 and parents[place] >= 0:
                found[parents[place]] = True
        return found

    def branches(self, tag: str, first: int = 0, most: int = AT_ONCE) -> tuple[tuple[Branch, ...], int]:
        """Assemblies directly below one, from the first asked for, and how many there are."""
        ends = self.columns["end"]
        below = [place for place in self._below(self.place(tag)) if ends[place] > place + 1]
        tags = (self.columns["tag"][place] for place in below[first : first + most])
        return tuple(self.branch(one) for one in tags), len(below)

    def line(self, tag: str, *, alone: bool = False) -> PartLine:
        """A part as a line of its assembly; `alone`: one piece of it."""
        place = self.place(tag)
        columns = self.columns
        pieces = 1.0 if alone or columns["parent"][place] < 0 else float(columns["count"][place])
        basis = columns["basis"][place]
        unknown = columns["unknown"][place]
        nothing = basis in (MISSING, INSIDE) and columns["end"][place] == place + 1
        whole, half = columns["whole"][place], columns["whole_half"][place]
        # An assembly none of whose parts has a mass weighs nothing in the sums, and that is no finding.
        nothing = nothing or (unknown > 0 and columns["weighed"][place] is None)
        return PartLine(
            tag,
            columns["name"][place],
            columns["kind"][place],
            pieces,
            columns["joint"][place],
            columns["material"][place],
            columns["function"][place],
            columns["side"][place],
            columns["note"][place],
            None if nothing else _interval(pieces * whole, pieces * half),
            basis,
            columns["origin"][place],
            unknown,
            columns["held_by"][place],
            columns["end"][place] > place + 1,
            tuple(columns["readings"][place]),
        )

    def assembly(self, tag: str, first: int = 0, most: int = AT_ONCE) -> AssemblyView:
        """The lines of an assembly, from the first asked for."""
        place = self.place(tag)
        columns = self.columns
        below = list(self._below(place))
        shown = below[first : first + most]
        whole = self.line(tag, alone=True)
        own, own_half = columns["own"][place], columns["own_half"][place]
        rest = columns["rest"][place]
        pieces, fasteners = self._pieces(place)
        return AssemblyView(
            whole,
            None if own is None or not below else _interval(own, own_half or 0.0),
            columns["basis"][place],
            None if rest is None else _interval(rest, columns["rest_half"][place] or 0.0),
            columns["rest_basis"][place],
            tuple(self.line(columns["tag"][one]) for one in shown),
            first,
            len(below),
            pieces,
            fasteners,
            whole.mass,
            whole.unknown,
        )

    def _pieces(self, place: int) -> tuple[float, float]:
        """Pieces in one piece of an assembly, and those of them that are fasteners; assemblies are not counted."""
        columns, here = self.columns, self.columns["pieces"][place]
        leaves = [one for one in range(place + 1, columns["end"][place]) if columns["end"][one] == one + 1]
        counts = [(columns["pieces"][one] / here, columns["kind"][one] == "fastener") for one in leaves]
        return sum(n for n, _ in counts), sum(n for n, fastener in counts if fastener)

    def find(self, words: str, most: int = 50) -> tuple[tuple[str, ...], int]:
        """Parts whose tag or name holds all the words; tags that begin so first.

        Returns
        -------
        tags, count
            The first ones, and how many there are.
        """
        wanted = words.casefold().split()
        if not wanted:
            return (), 0
        first: list[str] = []
        others: list[str] = []
        for tag, name in zip(self.columns["tag"], self.columns["name"], strict=True):
            text = f"{tag} {name}".casefold()
            if all(word in text for word in wanted):
                (first if tag.casefold().startswith(wanted[0]) else others).append(tag)
        return tuple((first + others)[:most]), len(first) + len(others)

    def named(self, tags: Sequence[str]) -> tuple[tuple[str, str], ...]:
        """Tags with their names."""
        return tuple((tag, self.name(tag)) for tag in tags)


def _interval(value: float, half: float) -> Interval:
    return Interval(value, value - half, value + half)
