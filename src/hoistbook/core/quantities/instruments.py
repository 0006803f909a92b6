"""Readings of instruments: what the tool allows itself becomes the band of the number read on it."""

import math
from dataclasses import dataclass
from functools import lru_cache

from hoistbook.core.quantities import instrument_limits as limits
from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.quantity import Origin, Quantity, Shape, Source

_SLACK = 1.0 + 1e-9
_CLASSES: dict[str, tuple[str, ...]] = {
    "scale": tuple(limits.SCALE_CLASSES),
    "crane scale": tuple(limits.SCALE_CLASSES),
    "tape": tuple(limits.TAPE_CLASSES),
}


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument. Its id names its calibration error, which all its readings share.

    Parameters
    ----------
    id : str
        Short id, e.g. ``"B2"``; the same id is the same instrument everywhere.
    kind : str
        scale, crane scale, corner pad, tape, calliper, laser distance, spirit level, angle gauge, torque wrench or
        other (`instrument_limits.KINDS`, with other names such as "bench scale"). Stored under its first name.
    unit : str
        SI symbol of its readings. Empty: the unit of the kind; to be stated for ``other``.
    accuracy_class : str
        As marked: I, II, III, IIII for scales (OIML R 76); I, II, III for tapes (2014/32/EU).
    step_si : float, optional
        Reading step d, for a scale its verification interval e. Scales and ``other`` must state it; 0 means none.
    capacity_si : float, optional
        Largest reading; for a scale Max, for a torque wrench its maximum.
    limit_si, limit_frac : float, optional
        Limit of error, absolute or as share of the reading, in place of the table (both given: they add up).
    certificate_expanded_si, certificate_factor, certificate_dof : float
        U, k and degrees of freedom of a calibration certificate, in place of any limit.
    repeatability_si : float, optional
        Standard deviation of placing and reading once; empty: the default of the kind.
    minimum_si : float, optional
        Smallest reading allowed; empty: Min of the scale's class, or 20 % of maximum for a torque wrench judged by
        ISO 6789.
    in_service_factor : float
        Scales: how much wider the limit is in service than at verification.
    calibrated, due, note : str
        Carried along, not used.

    Raises
    ------
    ValueError
        Unknown kind or class, a figure that is negative or not finite, a size that the class does not allow, or nothing
        that gives a limit.

    Source
    ------
    `instrument_limits`, each figure with its source and mark.
    """

    id: str
    kind: str
    unit: str = ""
    accuracy_class: str = ""
    step_si: float | None = None
    capacity_si: float | None = None
    limit_si: float | None = None
    limit_frac: float | None = None
    certificate_expanded_si: float | None = None
    certificate_factor: float = 2.0
    certificate_dof: float = math.inf
    repeatability_si: float | None = None
    minimum_si: float | None = None
    in_service_factor: float = 2.0
    calibrated: str = ""
    due: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.id.strip():
            msg = "an instrument needs an id, e.g. 'B2': its readings share their calibration error by it."
            raise ValueError(msg)
        kind = limits.instrument_kind(self.kind)
        object.__setattr__(self, "kind", kind.key)
        object.__setattr__(self, "accuracy_class", limits.roman_class(self.accuracy_class))
        object.__setattr__(self, "unit", _unit(self, kind))
        _check_figures(self)
        if self.step_si is None:
            if kind.default_step_si is None:
                word = (
                    "reading step (a scale's e)" if kind.unit == "kg" else "reading step (0 if it has none)"
                )
                msg = f"instrument {self.id}: no step; give the {word} of this {kind.key}."
                raise ValueError(msg)
            object.__setattr__(self, "step_si", kind.default_step_si)
        if self.repeatability_si is None:
            object.__setattr__(self, "repeatability_si", kind.default_repeatability_si)
        _check_class(self)

    @property
    def has_own_limit(self) -> bool:
        """Whether a stated limit or a certificate replaces the table of its kind."""
        return (
            self.limit_si is not None
            or self.limit_frac is not None
            or self.certificate_expanded_si is not None
        )

    @property
    def calibration_source(self) -> Source:
        """The error that all readings of this instrument share."""
        if self.certificate_expanded_si is not None:
            return _source(f"instrument {self.id}/calibration", "normal", self.certificate_dof)
        shape: Shape = "normal" if self.kind == "laser distance" and not self.has_own_limit else "rectangular"
        return _source(f"instrument {self.id}/calibration", shape, math.inf)


@lru_cache(maxsize=1024)
def _source(name: str, shape: Shape, dof: float) -> Source:
    # One object per name: sums over thousands of readings then compare it by identity.
    return Source(name, shape, dof=dof)


def _unit(instrument: Instrument, kind: limits.Kind) -> str:
    if not instrument.unit:
        if not kind.unit:
            msg = f"instrument {instrument.id}: kind 'other' must state the unit of its readings, e.g. 'V'."
            raise ValueError(msg)
        return kind.unit
    if kind.unit and instrument.unit != kind.unit:
        msg = f"instrument {instrument.id}: a {kind.key} reads in {kind.unit}, not {instrument.unit}; convert them."
        raise ValueError(msg)
    dimension(instrument.unit)
    return instrument.unit


def _check_figures(instrument: Instrument) -> None:
    for name in (
        "step_si",
        "capacity_si",
        "limit_si",
        "limit_frac",
        "certificate_expanded_si",
        "certificate_factor",
        "repeatability_si",
        "minimum_si",
        "in_service_factor",
    ):
        figure = getattr(instrument, name)
        if figure is not None and not 0.0 <= figure < math.inf:
            msg = (
                f"instrument {instrument.id}: {name} = {figure!r}; give a finite figure that is not negative."
            )
            raise ValueError(msg)
    if instrument.certificate_factor == 0.0:
        msg = f"instrument {instrument.id}: certificate_factor = 0; give the k of the certificate, usually 2."
        raise ValueError(msg)


def _check_class(instrument: Instrument) -> None:
    known = _CLASSES.get(instrument.kind)
    given = instrument.accuracy_class
    if known is not None and given and given not in known:
        msg = f"instrument {instrument.id}: no {instrument.kind} class {given!r}; known classes: {', '.join(known)}."
        raise ValueError(msg)
    if instrument.has_own_limit:
        return
    if known is not None and not given:
        msg = (
            f"instrument {instrument.id}: its class is unknown; give the class marked on the {instrument.kind} "
            f"({', '.join(known)}), or its limit of error, or the U and k of its certificate."
        )
        raise ValueError(msg)
    if instrument.kind == "other":
        msg = f"instrument {instrument.id}: kind 'other' needs a limit of error, or the U and k of its certificate."
        raise ValueError(msg)
    if instrument.kind == "torque wrench" and instrument.capacity_si is None:
        msg = f"instrument {instrument.id}: give the maximum torque as capacity; its limit, 4 % or 6 %, depends on it."
        raise ValueError(msg)
    if instrument.kind in ("scale", "crane scale"):
        _check_scale_size(instrument)


def _check_scale_size(instrument: Instrument) -> None:
    interval = instrument.step_si
    if not interval:
        msg = f"instrument {instrument.id}: step 0; a scale of class {instrument.accuracy_class} has a step e above 0."
        raise ValueError(msg)
    if instrument.capacity_si is None:
        return
    fewest, most = limits.scale_interval_range(instrument.accuracy_class, interval)
    intervals = instrument.capacity_si / interval
    if not fewest / _SLACK <= intervals <= most * _SLACK:
        msg = (
            f"instrument {instrument.id}: capacity {instrument.capacity_si:g} kg over e = {interval:g} kg is "
            f"{intervals:.0f} steps; class {instrument.accuracy_class} has {fewest:.0f} to {most:g} (OIML R 76). Check "
            "class, step and their units, or give the limit of error instead of the class."
        )
        raise ValueError(msg)


def limit_si(instrument: Instrument, value_si: float, *, from_end: bool = True, depth: bool = False) -> float:
    """Limit of error of an instrument at a reading: its own, or that of the table of its kind.

    Parameters
    ----------
    instrument : Instrument
    value_si : float
        The reading, in the unit of the instrument.
    from_end : bool
        Tapes: the interval starts at the hook or another end surface.
    depth : bool
        Callipers: read with the depth rod.

    Returns
    -------
    float
        Half width, in the unit of the instrument. With a certificate, its expanded uncertainty U; for a laser distance
        meter by default likewise (k = 2).
    """
    size = abs(value_si)
    if instrument.certificate_expanded_si is not None:
        return instrument.certificate_expanded_si
    if instrument.limit_si is not None or instrument.limit_frac is not None:
        return (instrument.limit_si or 0.0) + (instrument.limit_frac or 0.0) * size
    match instrument.kind:
        case "scale" | "crane scale":
            interval = instrument.step_si or 0.0
            return limits.scale_limit_kg(
                instrument.accuracy_class, interval, size, instrument.in_service_factor
            )
        case "tape":
            return limits.tape_limit_m(instrument.accuracy_class, size, from_end=from_end)
        case "calliper":
            return limits.calliper_limit_m(instrument.step_si or 0.0, size, depth=depth)
        case "angle gauge":
            return limits.angle_gauge_limit_rad(value_si)
        case "torque wrench":
            small = (instrument.capacity_si or 0.0) <= 10.0 * _SLACK
            return size * (limits.TORQUE_FRAC_TO_10_N_M if small else limits.TORQUE_FRAC_ABOVE_10_N_M)
        case "corner pad":
            return limits.CORNER_PAD_FRAC * size
        case "spirit level":
            return limits.SPIRIT_LEVEL_RAD
        case _:
            return limits.LASER_EXPANDED_M


def smallest_reading_si(instrument: Instrument) -> float:
    """Smallest reading an instrument is meant for, 0 where none is known (Min of a scale, 20 % of a torque wrench)."""
    if instrument.minimum_si is not None:
        return instrument.minimum_si
    if instrument.kind in ("scale", "crane scale") and instrument.accuracy_class:
        return limits.scale_minimum_kg(instrument.accuracy_class, instrument.step_si or 0.0)
    if instrument.kind == "torque wrench" and not instrument.has_own_limit:
        return limits.TORQUE_SMALLEST_FRAC_OF_MAXIMUM * (instrument.capacity_si or 0.0)
    return 0.0


def _check_reading(instrument: Instrument, value_si: float, reading_id: str) -> None:
    place = f"reading {reading_id} of {instrument.kind} {instrument.id}"
    if not math.isfinite(value_si):
        msg = (
            f"{place}: value = {value_si!r} is not a finite number; a reading that was not taken is left out."
        )
        raise ValueError(msg)
    if value_si < 0.0 and not limits.KINDS[instrument.kind].signed:
        msg = f"{place}: {value_si:g} {instrument.unit} is negative; check the zero, or swap gross and tare."
        raise ValueError(msg)
    size = abs(value_si)
    capacity = instrument.capacity_si
    if capacity is not None and size > capacity * _SLACK:
        msg = (
            f"{place}: {value_si:g} {instrument.unit} is above its capacity of {capacity:g} {instrument.unit}; "
            "check the unit, or which instrument was used."
        )
        raise ValueError(msg)
    smallest = smallest_reading_si(instrument)
    if size * _SLACK < smallest:
        advice = (
            "weigh several pieces together and give their number"
            if instrument.unit == "kg"
            else "use a smaller one"
        )
        msg = (
            f"{place}: {value_si:g} {instrument.unit} is below the {smallest:g} {instrument.unit} it is meant for; "
            f"{advice}, or state its limit of error and smallest reading."
        )
        raise ValueError(msg)


def reading(
    instrument: Instrument,
    value_si: float,
    reading_id: str,
    difference: bool = False,
    *,
    from_end: bool = True,
    depth: bool = False,
    swing_si: float = 0.0,
) -> Quantity:
    """One reading with the band its instrument gives it.

    Parameters
    ----------
    instrument : Instrument
    value_si : float
        The reading, in the unit of the instrument.
    reading_id : str
        Id of the reading: names the errors that belong to it alone.
    difference : bool
        The value is the difference of two indications (gross − tare): the step and the repeatability enter twice. The
        limit is that of the difference, as R 76 asks it of the net load.
    from_end : bool
        Tapes: the interval starts at the hook or another end surface (the wider limit, hence the default).
    depth : bool
        Callipers: read with the depth rod.
    swing_si : float
        Hanging load: observed swing of the indication, peak to peak.

    Returns
    -------
    Quantity
        Terms: ``instrument <id>/calibration`` (limit/√3 rectangular, or U/k normal), shared by all readings of the
        instrument; ``reading <id>/resolution`` (d/√12, difference d/√6), ``reading <id>/repeatability`` and
        ``reading <id>/swing`` (half the swing/√3), its own.

    Raises
    ------
    ValueError
        The reading is not finite, negative where the instrument reads no negative values, above capacity, below the
        smallest load, or outside the table of its kind.

    Source
    ------
    from memory: GUM 4.3.3 (certificate), 4.3.7 (limits), F.2.2.1 (indication with a step). common practice: fully
    shared calibration error between readings of one instrument.

    Examples
    --------
    >>> scale = Instrument("B2", "scale", accuracy_class="III", step_si=0.001, capacity_si=6.0)
    >>> q = reading(scale, 2.5, "W17")
    >>> [(source.name, round(u, 7)) for source, u in q.terms]
    [('instrument B2/calibration', 0.0017321), ('reading W17/resolution', 0.0002887)]
    """
    if not reading_id:
        msg = f"a reading of instrument {instrument.id} has no id; its own errors are named by it."
        raise ValueError(msg)
    _check_reading(instrument, value_si, reading_id)
    if not 0.0 <= swing_si < math.inf:
        msg = f"reading {reading_id}: swing_si = {swing_si!r}; give the observed swing, peak to peak, 0 or more."
        raise ValueError(msg)
    half = limit_si(instrument, value_si, from_end=from_end, depth=depth)
    source = instrument.calibration_source
    if instrument.certificate_expanded_si is not None:
        divisor = instrument.certificate_factor
    else:
        divisor = 2.0 if source.shape == "normal" else math.sqrt(3.0)
    terms = [(source, half / divisor)]
    step = instrument.step_si or 0.0
    if step > 0.0:
        shape: Shape = "triangular" if difference else "rectangular"
        u_step = step / math.sqrt(6.0 if difference else 12.0)
        terms.append((Source(f"reading {reading_id}/resolution", shape), u_step))
    spread = (instrument.repeatability_si or 0.0) * (math.sqrt(2.0) if difference else 1.0)
    if spread > 0.0:
        terms.append((Source(f"reading {reading_id}/repeatability"), spread))
    if swing_si > 0.0:
        terms.append((Source(f"reading {reading_id}/swing", "rectangular"), 0.5 * swing_si / math.sqrt(3.0)))
    return Quantity(value_si, instrument.unit, tuple(t for t in terms if t[1] > 0.0), Origin.MEASURED)
