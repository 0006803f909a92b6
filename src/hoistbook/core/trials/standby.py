"""Power of a vehicle that stands: parked, or ready to drive."""

from __future__ import annotations

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.core.trials.power import accessory_power, pack_power, scatter, unmetered
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import mean

MOVING_M_PER_S = 0.1
"""project rule: slower than walking pace by a factor of ten is standing."""


def evaluate_standby(
    series: Series,
    meters: Meters,
    *,
    label: str,
    duty: str = "",
    usable_energy: Quantity | None = None,
) -> Outcome:
    """Evaluate the log of a vehicle standing still.

    Parameters
    ----------
    series : Series
        Pack power, or voltage and current of pack or of the 12 V side; state_of_charge_1 and speed_m_per_s if there.
    meters : Meters
    label : str
        Names the errors of this test alone.
    duty : str
        What the power is used for, e.g. "wltc3b" for a vehicle ready to drive; makes it a fact.
    usable_energy : Quantity, optional
        To hold the drift of the state of charge against the power. [J]

    Returns
    -------
    Outcome
        Mean power from the pack where it was recorded, else of the 12 V side.

    Raises
    ------
    LookupError
        Neither was recorded.
    ValueError
        The vehicle moved, or the mean power is negative: the sign of the current is the wrong way round.

    Notes
    -----
    The mean carries the errors of the instruments and the scatter of ten stretches of equal length. What the 12 V
    battery gave or took meanwhile is not in a power from the pack.
    """
    if series.has("speed_m_per_s"):
        times, speed = series.samples("speed_m_per_s")
        if (abs(speed) > MOVING_M_PER_S).any():
            moved_s = float(times[(abs(speed) > MOVING_M_PER_S).argmax()])
            msg = f"{series.name!r}: the vehicle moves at {moved_s:g} s; cut the log to where it stands."
            raise ValueError(msg)
    from_pack = series.has("pack_power_w") or series.has("pack_voltage_v", "pack_current_a")
    signal = pack_power(series, meters) if from_pack else accessory_power(series, meters)
    power = mean(signal, f"{label}, standing power")
    power = Quantity(
        power.value,
        power.unit,
        (*power.terms, *scatter(signal, f"{label}, scatter of standing power")),
        power.origin,
    )
    if power.value < 0.0:
        msg = (
            f"{series.name!r}: {power.value:.4g} W on the mean; a vehicle that stands draws power. Turn the sign "
            "of the current in the mapping: sign = -1."
        )
        raise ValueError(msg)
    if from_pack:
        used = ["pack_power_w"] if series.has("pack_power_w") else ["pack_voltage_v", "pack_current_a"]
        assumptions = ["what the 12 V battery gave or took meanwhile is not in it"]
    else:
        used = (
            ["accessory_power_w"]
            if series.has("accessory_power_w")
            else ["accessory_voltage_v", "accessory_current_a"]
        )
        assumptions = ["measured on the 12 V side: the loss of the converter is not in it"]
    figures = [
        Figure(
            "standing_power",
            f"mean power while standing, {'from the pack' if from_pack else '12 V side'}",
            power,
            "accessory_power" if duty else "",
            duty,
            "" if duty else "no duty was named, so it is no fact of the vehicle",
        )
    ]
    checks: list[str] = []
    if from_pack and series.has("state_of_charge_1"):
        at, charge = series.samples("state_of_charge_1")
        fall = float(charge[0] - charge[-1])
        if usable_energy is None:
            checks.append(
                f"state of charge fell by {100 * fall:.2f} %; no usable energy is known to compare with"
            )
        else:
            drift = fall * usable_energy.value / float(at[-1] - at[0])
            checks.append(
                f"state of charge fell by {100 * fall:.2f} %, {drift:.4g} W of the usable energy; "
                f"measured {power.value:.4g} W"
            )
    return Outcome(
        "standby",
        tuple(figures),
        tuple(checks),
        (*unmetered(meters, *used), *assumptions),
        (),
        (Curve("standing power", "time", "s", "power", "W", signal.time_s, signal.values),),
    )
