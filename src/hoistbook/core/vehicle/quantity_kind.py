"""What a quantity of the record is: its key, its words, its unit."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QuantityKind:
    """One quantity: its key, the words people see, its SI unit, and what goes with it.

    `field` is the energy parameter it sets (empty when none). `needs` names what a fact of it must state besides
    (mass_state, duty). `signed` is False where a negative value is a fault. `usual` is the reach of sound values of a
    whole road vehicle in `unit`, from a light quadricycle to a heavy van; None where no reach would show a slip.

    Source
    ------
    `usual`: common practice, no source. It catches slips of a unit and refuses nothing by itself.
    """

    key: str
    words: str
    unit: str
    field: str = ""
    needs: tuple[str, ...] = ()
    signed: bool = False
    example_units: tuple[str, ...] = ()
    usual: tuple[float, float] | None = None
