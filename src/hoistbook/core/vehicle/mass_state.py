"""From one state of mass to another by stated allowances: never assumed, always said.

dry ── fluids ── curb ── driver ── running order ── WLTP load ── test
as weighed ── what was on board ── curb ── 300 lb ── test (US)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Fact, MassState

POUND_KG = 0.45359237  # exact by definition


class LoadRule(StrEnum):
    """What a test mass adds: WLTP for passenger cars (category 1) or goods vans (category 2), or US loaded weight."""

    WLTP_CATEGORY_1 = "WLTP category 1"
    WLTP_CATEGORY_2 = "WLTP category 2"
    US_LOADED = "US loaded vehicle weight"


# from memory: UN GTR No. 15 annex 4, 4.2.1.3.1: 15 % of the maximum vehicle load for category 1, 28 % for category 2.
_WLTP_LOAD_SHARES = {LoadRule.WLTP_CATEGORY_1: 0.15, LoadRule.WLTP_CATEGORY_2: 0.28}
_GOODS_VAN_FROM = 0.20  # between the two published shares


@dataclass(frozen=True, slots=True)
class Allowances:
    """The figures a conversion may use. Every default is a definition and can be replaced; the rest must be stated.

    Attributes
    ----------
    driver_kg : float
        Driver in the mass in running order. [kg]
        published: Regulation (EU) 1230/2012 Art. 2(4) includes the driver; the 75 kg are second hand.
    test_extra_kg : float
        Added by WLTP to the running order. [kg] from memory: UN GTR No. 15 annex 4, 4.2.1.3.1.
    load_share_frac : mapping of LoadRule to float
        Share of the maximum vehicle load in the WLTP test mass. [1] from memory: as above.
    us_load_kg : float
        Added to the curb mass by the US loaded vehicle weight, 300 lb. [kg] from memory: 40 CFR 86.1803.
    test_rule : LoadRule, optional
        Which test mass is meant; without it nothing is converted to or from "test".
    vehicle_load : Quantity, optional
        Maximum vehicle load of WLTP: technically permissible laden mass less running order, 25 kg and options. [kg]
    fluids : Quantity, optional
        All fluids of the vehicle, between dry and curb. [kg]
    on_board : Quantity, optional
        What stood in or on the vehicle when it was weighed, beyond curb (people, tools; negative if parts were
        missing). [kg] An exact 0 says that it was weighed at curb.
    fuel_above_90_percent : Quantity, optional
        Vehicles with a tank: fuel beyond 90 % full, in the US curb mass but not in the EU running order. [kg]
    """

    driver_kg: float = 75.0
    test_extra_kg: float = 25.0
    load_share_frac: Mapping[LoadRule, float] = field(
        default_factory=lambda: MappingProxyType(_WLTP_LOAD_SHARES)
    )
    us_load_kg: float = 300.0 * POUND_KG
    test_rule: LoadRule | None = None
    vehicle_load: Quantity | None = None
    fluids: Quantity | None = None
    on_board: Quantity | None = None
    fuel_above_90_percent: Quantity | None = None


def stated_allowances(facts: Iterable[Fact], test_rule: LoadRule | None = None) -> Allowances:
    """Allowances as far as the facts of a configuration state them.

    Parameters
    ----------
    facts : iterable of Fact
        Of one configuration: on_board_mass, vehicle_load and wltp_load_share are used.
    test_rule : LoadRule, optional
        Rule of the duty, where it has one; a stated WLTP share of the vehicle load decides otherwise.

    Returns
    -------
    Allowances

    Raises
    ------
    ValueError
        The share of the vehicle load is not between 0 and 1.

    Notes
    -----
    A share of 20 % or more is a goods van's (category 2), less a passenger car's; the share itself is used as stated.
    """
    found = {fact.quantity: fact.value for fact in facts}
    shares = _WLTP_LOAD_SHARES
    share = found.get("wltp_load_share")
    if share is not None:
        if not 0.0 <= share.value <= 1.0:
            msg = f"share of the vehicle load = {share.value!r}: a share is between 0 and 1; give 28 %."
            raise ValueError(msg)
        rule = LoadRule.WLTP_CATEGORY_2 if share.value >= _GOODS_VAN_FROM else LoadRule.WLTP_CATEGORY_1
        test_rule = test_rule or rule
        shares = {**shares, rule: share.value}
    return Allowances(
        load_share_frac=MappingProxyType(shares),
        test_rule=test_rule,
        vehicle_load=found.get("vehicle_load"),
        on_board=found.get("on_board_mass"),
    )


@dataclass(frozen=True, slots=True)
class Converted:
    """A mass in the state asked for, and the sentence that says what was assumed (empty when nothing was)."""

    mass: Quantity
    state: MassState
    assumed: str


_OPPOSITE = {"+": "−", "−": "+"}


@dataclass(frozen=True, slots=True)
class _Step:
    """One link of the chain away from curb: what is added, and the words for it without their sign."""

    added: Quantity
    words: str
    sign: str = "+"


def convert(
    mass: Quantity, have: MassState, want: MassState, allowances: Allowances | None = None
) -> Converted:
    """Convert a mass from the state it is in to the state wanted.

    Parameters
    ----------
    mass : Quantity
        The mass as stated. [kg]
    have, want : MassState
    allowances : Allowances, optional
        The defaults know the driver and the US load only.

    Returns
    -------
    Converted
        Value, state and the sentence to print. The definitions (driver, 25 kg, 300 lb) are exact and weaken no origin;
        stated quantities bring their own band and origin.

    Raises
    ------
    ValueError
        The unit is no mass, or a figure that is needed was not stated; the message names it.

    Notes
    -----
    running order = curb + driver − fuel beyond 90 %; WLTP test = running order + 25 kg + share · maximum vehicle load;
    US test = curb + 300 lb; curb = dry + fluids = as weighed − on board. Chains go through curb.

    Source
    ------
    As marked in `Allowances`.

    Examples
    --------
    >>> convert(Quantity(1800.0, "kg"), MassState.CURB, MassState.RUNNING_ORDER).mass.value
    1875.0
    """
    if mass.unit != "kg":
        msg = f"{mass.value!r} {mass.unit} is no mass; convert it to kg first."
        raise ValueError(msg)
    if have is want:
        return Converted(mass, want, "")
    given = allowances or Allowances()
    if have is MassState.TEST and given.test_rule is None:
        msg = (
            "what a test mass adds is not one thing; give the mass at curb too, or what was on board: this mass in the "
            "state 'as weighed', and how much of it stood in the vehicle in the facts row 'on board mass'."
        )
        raise ValueError(msg)
    up, down = _above_curb(want, given), _above_curb(have, given)
    # Steps that both states share need no figure and no sentence.
    while up and down and up[0] == down[0]:
        up, down = up[1:], down[1:]
    words: list[str] = []
    result = mass
    for name in reversed(down):
        step = _step(name, given)
        result = result - step.added
        words.append(f"{_OPPOSITE[step.sign]} {step.words}")
    for name in up:
        step = _step(name, given)
        result = result + step.added
        words.append(f"{step.sign} {step.words}")
    sentence = f"{want.value} {result.value:.6g} kg = {have.value} {mass.value:.6g} kg {' '.join(words)}."
    return Converted(result, want, sentence)


def _above_curb(state: MassState, given: Allowances) -> tuple[str, ...]:
    """Name the steps from curb to a state."""
    match state:
        case MassState.CURB:
            return ()
        case MassState.DRY:
            return ("dry",)
        case MassState.AS_WEIGHED:
            return ("as weighed",)
        case MassState.RUNNING_ORDER:
            return ("running order",)
        case MassState.TEST:
            if given.test_rule is None:
                msg = (
                    "a test mass is not one thing; state a mass in the state 'test', or for WLTP the maximum vehicle "
                    "load (facts row 'vehicle load') and the share of the vehicle load in the test mass (facts row "
                    "'WLTP load share': 15 % for passenger cars, 28 % for goods vans)."
                )
                raise ValueError(msg)
            return ("US load",) if given.test_rule is LoadRule.US_LOADED else ("running order", "WLTP load")


def _step(name: str, given: Allowances) -> _Step:
    match name:
        case "dry":
            fluids = _stated(given.fluids, "the mass of all fluids, between dry and curb,")
            return _Step(-fluids, f"fluids {fluids.value:.6g} kg (stated)", "−")
        case "as weighed":
            load = _stated(
                given.on_board,
                "what stood in or on the vehicle when it was weighed (facts row 'on board mass'; 0 if nothing)",
            )
            return _Step(load, f"on board when weighed {load.value:.6g} kg (stated)")
        case "running order":
            return _running_order(given)
        case "US load":
            return _Step(
                Quantity(given.us_load_kg, "kg"),
                f"US load {given.us_load_kg:.6g} kg (40 CFR 86.1803, from memory)",
            )
        case _:
            return _wltp_load(given)


def _running_order(given: Allowances) -> _Step:
    added = Quantity(given.driver_kg, "kg")
    words = f"driver {given.driver_kg:.6g} kg (EU 1230/2012)"
    fuel = given.fuel_above_90_percent
    if fuel is not None:
        added = added - fuel
        words += f" less fuel beyond 90 % {fuel.value:.6g} kg (stated)"
    return _Step(added, words)


def _wltp_load(given: Allowances) -> _Step:
    rule = given.test_rule
    if rule is None or rule not in given.load_share_frac:
        msg = f"no share of the vehicle load in the test mass is stated for {rule}; state it."
        raise ValueError(msg)
    load = _stated(given.vehicle_load, "the maximum vehicle load of WLTP (facts row 'vehicle load')")
    share = given.load_share_frac[rule]
    return _Step(
        share * load + given.test_extra_kg,
        f"{given.test_extra_kg:.6g} kg and {100.0 * share:.6g} % of the vehicle load {load.value:.6g} kg "
        f"({rule.value}, UN GTR 15, from memory)",
    )


def _stated(quantity: Quantity | None, words: str) -> Quantity:
    if quantity is None:
        msg = f"{words} is not stated; without it this mass cannot be converted."
        raise ValueError(msg)
    if quantity.unit != "kg":
        msg = f"{words} = {quantity.value!r} {quantity.unit} is no mass; give kg."
        raise ValueError(msg)
    return quantity
