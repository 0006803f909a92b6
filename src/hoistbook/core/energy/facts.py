"""Choosing among the facts of one configuration: the wanted basis first, then the strongest origin."""

from __future__ import annotations

from collections.abc import Iterable

from hoistbook.core.energy.duty import Duty
from hoistbook.core.quantities.assumption import Assumption, aside
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.core.vehicle.records import Basis, Fact, MassState

_KEY_OF_FIELD = {kind.field: key for key, kind in QUANTITY_KINDS.items() if kind.field and key != "mass"}

USED_BESIDE_FIELDS = frozenset({"road_load_a", "road_load_b", "road_load_c", "drag_torque", "wall_energy"})
"""Quantities that set no field by themselves but are worked into one."""


class FactSheet:
    """The facts of one configuration that speak of the energy model, one per quantity.

    Parameters
    ----------
    facts : iterable of Fact
        Of one configuration.
    duty : Duty
        Facts of another duty are kept aside.
    basis : Basis
        Preferred before the other one.
    owner : str
        Named in messages.
    """

    def __init__(self, facts: Iterable[Fact], duty: Duty, basis: Basis, owner: str) -> None:
        self._basis = basis
        self._owner = owner
        self._aside: list[Assumption] = []
        self._groups: dict[tuple[str, MassState | None], list[Fact]] = {}
        names = [duty.name, *(cycle.name for cycle in duty.cycles), *(cycle.title for cycle in duty.cycles)]
        duties = {name.lower() for name in names}
        for fact in facts:
            kind = QUANTITY_KINDS[fact.quantity]
            if not kind.field and fact.quantity not in USED_BESIDE_FIELDS:
                continue
            # A test mass belongs to the duty it names; without a name it is taken for any.
            of_a_duty = "duty" in kind.needs or (fact.mass_state is MassState.TEST and fact.duty)
            if of_a_duty and fact.duty.strip().lower() not in duties:
                self._aside.append(
                    aside(
                        f"{kind.words}, stated for duty {fact.duty!r}, is kept aside: the duty here is {duty.name!r}"
                    )
                )
                continue
            self._groups.setdefault((fact.quantity, fact.mass_state), []).append(fact)
        self._chosen = {key: self._choose(key[0], group) for key, group in self._groups.items()}

    def _choose(self, quantity: str, group: list[Fact]) -> Fact:
        def rank(fact: Fact) -> tuple[bool, int]:
            return (fact.basis is not self._basis, fact.value.origin.rank)

        best = min(map(rank, group))
        alike = [fact for fact in group if rank(fact) == best]
        if len(alike) > 1:
            figures = " and ".join(f"{fact.value.value:g} {fact.value.unit}" for fact in alike)
            msg = (
                f"{self._owner}: {len(alike)} facts of {QUANTITY_KINDS[quantity].words} rank alike ({figures}, all "
                f"{alike[0].value.origin.value}); keep one, or state another origin or basis."
            )
            raise ValueError(msg)
        return alike[0]

    def quantity(self, key: str) -> Quantity | None:
        """Return the chosen fact of a quantity that has no mass state, or None."""
        fact = self._chosen.get((key, None))
        return None if fact is None else fact.value

    def field(self, name: str) -> Quantity | None:
        """Return the chosen fact of the quantity that sets a field, or None."""
        key = _KEY_OF_FIELD.get(name)
        return None if key is None else self.quantity(key)

    def has_field(self, name: str) -> bool:
        """Whether a fact sets this field."""
        return self.field(name) is not None

    def masses(self) -> dict[MassState, Quantity]:
        """Return the chosen mass of every mass state stated."""
        return {
            state: fact.value
            for (key, state), fact in self._chosen.items()
            if key == "mass" and state is not None
        }

    def test_mass_has_duty(self) -> bool:
        """Whether the chosen test mass says which duty it belongs to."""
        fact = self._chosen.get(("mass", MassState.TEST))
        return fact is not None and bool(fact.duty)

    def kept_aside(self) -> list[Assumption]:
        """One record for every fact that another one outranked or that speaks of another duty."""
        found = list(self._aside)
        for (quantity, _), group in self._groups.items():
            chosen = self._chosen[quantity, group[0].mass_state]
            words = QUANTITY_KINDS[quantity].words
            kept = f"{chosen.value.value:g} ({chosen.value.origin.value}, {chosen.basis.value})"
            found.extend(
                aside(
                    f"{words} {fact.value.value:g} {unit_text(fact.value.unit)} ({fact.value.origin.value}, "
                    f"{fact.basis.value}) is kept aside: {kept} is used"
                )
                for fact in group
                if fact is not chosen
            )
        return found
