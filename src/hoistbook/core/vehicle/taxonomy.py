"""Systems and subsystems of an electric vehicle: what belongs where, so that nothing is counted twice."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Subsystem:
    """One subsystem: code, what it includes, the rule at its boundary, what its mass is divided by to compare."""

    code: str
    name: str
    system: str
    includes: str
    boundary_rule: str
    normalisers: tuple[str, ...]
    mark: str
    source: str


@dataclass(frozen=True, slots=True)
class System:
    """One system: its code, its name and its subsystems."""

    code: str
    name: str
    subsystems: tuple[Subsystem, ...]


class Taxonomy:
    """The list of systems, looked up by code.

    Raises
    ------
    ValueError
        A code used twice, or a subsystem whose code does not begin with that of its system.
    """

    __slots__ = ("_subsystems", "_systems", "systems")

    def __init__(self, systems: Sequence[System]) -> None:
        self.systems: tuple[System, ...] = tuple(systems)
        self._systems = {system.code: system for system in systems}
        self._subsystems = {sub.code: sub for system in systems for sub in system.subsystems}
        if len(self._systems) != len(systems) or len(self._subsystems) != sum(
            len(s.subsystems) for s in systems
        ):
            msg = "a system or subsystem code stands twice in the taxonomy; every code names one."
            raise ValueError(msg)
        for sub in self._subsystems.values():
            if (
                sub.system not in self._systems
                or not sub.code.startswith(sub.system)
                or sub.code == sub.system
            ):
                msg = f"subsystem {sub.code}: its code must begin with that of its system {sub.system!r}."
                raise ValueError(msg)

    @property
    def subsystems(self) -> tuple[Subsystem, ...]:
        """All subsystems, system by system."""
        return tuple(self._subsystems.values())

    @property
    def codes(self) -> tuple[str, ...]:
        """Every code a node may carry: systems and subsystems."""
        return (*self._systems, *self._subsystems)

    def __contains__(self, code: object) -> bool:
        return code in self._systems or code in self._subsystems

    def system(self, code: str) -> System:
        """Return the system a code belongs to; the code may be that of a subsystem.

        Raises
        ------
        LookupError
            No such code; the closest ones are listed.
        """
        found = self._systems.get(code)
        if found is None and code in self._subsystems:
            found = self._systems[self._subsystems[code].system]
        if found is None:
            raise self._unknown(code)
        return found

    def subsystem(self, code: str) -> Subsystem:
        """Return a subsystem by its code.

        Raises
        ------
        LookupError
            No such subsystem; the closest ones are listed.
        """
        if code not in self._subsystems:
            raise self._unknown(code)
        return self._subsystems[code]

    def _unknown(self, code: str) -> LookupError:
        close = difflib.get_close_matches(code.upper(), self.codes, n=3, cutoff=0.5)
        hint = f"did you mean {', '.join(close)}?" if close else f"systems: {', '.join(self._systems)}."
        return LookupError(f"no system or subsystem with the code {code!r}; {hint}")
