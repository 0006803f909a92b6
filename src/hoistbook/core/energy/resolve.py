"""From what is known of one configuration to the parameters of the energy model, with everything assumed in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hoistbook.core.energy.defaults import Default, EnergyDefaults
from hoistbook.core.energy.duty import Duty
from hoistbook.core.energy.facts import FactSheet
from hoistbook.core.energy.parameters import FIELD_NAMES, UP_TO_ONE
from hoistbook.core.energy.resolved import Resolved
from hoistbook.core.energy.worked_out import Input, worked_out
from hoistbook.core.quantities.assumption import Assumption, aside, definition
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words
from hoistbook.core.vehicle.mass_state import Allowances, LoadRule, convert, stated_allowances
from hoistbook.core.vehicle.records import Basis, Fact, MassState

DRIVE_UNIT_FIELDS = (
    "gear_efficiency_frac",
    "gear_efficiency_back_frac",
    "loss_c0_w",
    "loss_k1",
    "loss_k2",
    "loss_k3",
)
SPIN_FIELDS = ("loss_k2", "loss_k3")
GENERIC = "generic"
LOSS_MAP = "loss_map_example"
US = "us"
"""Reference state whose test mass is the loaded vehicle weight, curb + 300 lb."""

# Which state to convert from when no test mass is stated: the fewest allowances first.
_MASS_ORDER = (MassState.RUNNING_ORDER, MassState.CURB, MassState.AS_WEIGHED, MassState.DRY)


def resolve(
    facts: Iterable[Fact],
    defaults: EnergyDefaults,
    duty: Duty,
    *,
    owner: str,
    surroundings: str,
    basis: Basis = Basis.SPECIMEN,
    allowances: Allowances | None = None,
    driveline: str | None = None,
    spin_loss_inside: bool | None = None,
) -> Resolved:
    """Bring the facts of one configuration and the defaults together.

    Parameters
    ----------
    facts : iterable of Fact
        Of one configuration. Of several facts of one quantity the one of the wanted basis is taken, then the strongest
        origin; the others are listed.
    defaults : EnergyDefaults
    duty : Duty
        Facts that hold for a duty (accessory power) are used when they name this duty or one of its cycles.
    owner : str
        Vehicle and configuration, e.g. "whimbrel/W-15"; names the errors of assumed figures.
    surroundings : str
        Reference state of the duty, "us" or "eu" in the packaged defaults.
    basis : Basis
        Specimen: the label factor is 1 unless a fact says otherwise. Label: the reference state's factor.
    allowances : Allowances, optional
        For converting a mass that is not a test mass; those the facts state when left out.
    driveline : str, optional
        Set of defaults for the drive unit. Left out: "generic", or the illustrative loss map as soon as a fact of gear
        efficiency or loss is there, since the generic efficiency already holds every loss of the drive unit.
    spin_loss_inside : bool, optional
        Whether road load holds the spin loss of the driveline; loss_k2 and loss_k3 are then 0. Left out: yes for a road
        load given by coefficients (an electric drive cannot be uncoupled on the coast-down), no for one given by parts.

    Returns
    -------
    Resolved

    Raises
    ------
    ValueError
        Mass or usable energy is missing, a road load is incomplete, two facts rank alike, or a value is impossible.
    LookupError
        No such driveline or reference state.

    Notes
    -----
    Coefficients: drag force F_0 = A − m g c_r with the same m and c_r, so tyres and drag force stay anticorrelated draw
    by draw; where the drag of the wheels is stated and the tyres are not, c_r = (A − F_0)/(m g) instead. Drag area
    2 C/ρ, or as stated, and then F_2 = C − ½ρ C_d A; F_1 = B.
    Parts: F_0 = drag force, or drag torque/wheel radius.
    Usable energy, when only the wall energy of a charge is known: wall energy · charging efficiency.

    Source
    ------
    first principles; that spin loss is inside a coast-down: common practice.
    """
    facts = list(facts)
    sheet = FactSheet(facts, duty, basis, owner)
    known = defaults.joined(driveline or GENERIC, surroundings)
    notes: list[Assumption] = []
    if driveline is None and any(sheet.has_field(name) for name in DRIVE_UNIT_FIELDS):
        known |= {name: defaults.drivelines[LOSS_MAP][name] for name in DRIVE_UNIT_FIELDS}
        missing = [name for name in DRIVE_UNIT_FIELDS if not sheet.has_field(name)]
        if missing:
            words = ", ".join(field_words(name) for name in missing)
            notes.append(
                definition(
                    f"the drive unit is described by its own figures; {words} are taken from an illustrative loss map, "
                    "not from the generic efficiency, which already holds every loss"
                )
            )
    if basis is Basis.SPECIMEN and not sheet.has_field("label_factor_frac"):
        known["label_factor_frac"] = Default(
            "label_factor_frac",
            1.0,
            "1",
            0.0,
            "exact",
            "first principles",
            "a measured range is not adjusted",
        )
    build = _Builder(sheet, known, owner, notes)
    us_rule = LoadRule.US_LOADED if surroundings == US else None
    _mass(build, allowances or stated_allowances(facts, us_rule), defaults)
    from_coefficients = _road_load(build)
    inside = from_coefficients if spin_loss_inside is None else spin_loss_inside
    if inside:
        _leave_spin_loss_out(build)
    from_wall = _usable_energy(build, defaults)
    for name in FIELD_NAMES:
        if name not in build.values:
            build.take(name)
    build.notes.extend(sheet.kept_aside())
    _warn_of_tails(build)
    values = {name: build.values[name] for name in FIELD_NAMES}
    resolved = Resolved(
        owner,
        MappingProxyType(values),
        tuple(build.notes),
        from_coefficients,
        from_wall,
        MappingProxyType(build.inputs),
    )
    try:
        resolved.central()
    except ValueError as error:
        msg = f"{owner}: {error}"
        raise ValueError(msg) from error
    return resolved


@dataclass(slots=True)
class _Builder:
    """What has been found so far."""

    sheet: FactSheet
    known: Mapping[str, Default]
    owner: str
    notes: list[Assumption]
    values: dict[str, Quantity]
    inputs: dict[str, tuple[Input, ...]]

    def __init__(
        self, sheet: FactSheet, known: Mapping[str, Default], owner: str, notes: list[Assumption]
    ) -> None:
        self.sheet, self.known, self.owner, self.notes = sheet, known, owner, notes
        self.values, self.inputs = {}, {}

    def work_out(self, name: str, quantity: Quantity, unit: str, *of: tuple[str, Quantity, float]) -> None:
        """Set a field from other figures; each with its name and what one unit of it does to the field."""
        self.values[name], self.inputs[name] = worked_out(quantity, unit, of)

    def take(self, name: str) -> Quantity:
        """Set a field from its fact, else from its default."""
        if name in self.values:
            return self.values[name]
        found = self.sheet.field(name)
        if found is None:
            default = self.known[name]
            found = default.quantity(self.owner)
            self.notes.append(default.assumption(self.owner))
        self.values[name] = found
        return found


def _mass(build: _Builder, allowances: Allowances, defaults: EnergyDefaults) -> None:
    stated = build.sheet.masses()
    if MassState.TEST in stated:
        build.values["test_mass_kg"] = stated[MassState.TEST]
        if not build.sheet.test_mass_has_duty():
            build.notes.append(definition("the test mass names no duty; it is taken as that of this one"))
        return
    hindrances = []
    for state in _MASS_ORDER:
        if state not in stated:
            continue
        try:
            converted = convert(stated[state], state, MassState.TEST, allowances)
        except ValueError as error:
            hindrances.append(f"{state.value}: {error}")
            continue
        build.values["test_mass_kg"] = converted.mass
        build.notes.append(definition(f"test mass: {converted.assumed}"))
        return
    why = " ".join(hindrances) or defaults.required.get("test_mass_kg", "state one") + "."
    msg = f"{build.owner}: no test mass; {why}"
    raise ValueError(msg)


def _road_load(build: _Builder) -> bool:
    """Set tyres, drag area and drag force; True when they came from coefficients."""
    a, b, c = (build.sheet.quantity(f"road_load_{letter}") for letter in "abc")
    if a is None and b is None and c is None:
        _road_load_from_parts(build)
        return False
    if a is None or c is None:
        missing = "road load A" if a is None else "road load C"
        msg = f"{build.owner}: a road load by coefficients needs A and C; {missing} is not stated."
        raise ValueError(msg)
    if b is None:
        b = Quantity(0.0, "N.s/m", origin=Origin.ASSUMED)
        build.notes.append(definition("road load B = 0: A and C are stated, B is not"))
    split_by_drag = _split_by_drag(build, a)
    if not split_by_drag:
        tyres, mass = build.take("tyre_coefficient"), build.values["test_mass_kg"]
        rolling = mass * build.take("gravity_m_per_s2") * tyres
        gravity = build.take("gravity_m_per_s2").value
        build.work_out(
            "drag_force_n",
            a - rolling.in_unit("N"),
            "N",
            ("road_load_a", a, 1.0),
            ("test_mass_kg", mass, -gravity * tyres.value),
            ("tyre_coefficient", tyres, -gravity * mass.value),
        )
        build.notes.append(
            definition(
                "drag force = A − m·g·c: road load is stated by its coefficients, and the tyre coefficient c "
                f"({tyres.origin.value}) splits A between tyres and drag force"
            )
        )
    build.values["drag_force_b_n_s_per_m"] = b
    half_density = 0.5 * build.take("air_density_kg_per_m3")
    if build.sheet.has_field("drag_area_m2"):
        area = build.take("drag_area_m2")
        rest = c - (half_density * area).in_unit(c.unit)
        build.work_out(
            "drag_force_c_n_s2_per_m2",
            rest,
            "N.s2/m2",
            ("road_load_c", c, 1.0),
            ("drag_area_m2", area, -half_density.value),
        )
    else:
        build.work_out(
            "drag_area_m2",
            c.in_unit("kg/m") / half_density,
            "m2",
            ("road_load_c", c, 1.0 / half_density.value),
        )
        build.notes.append(definition("drag area = 2 C/ρ: all of road load C is taken as air"))
        build.take("drag_force_c_n_s2_per_m2")
    used = ("drag_force", "drag_torque") if split_by_drag else ()
    for key in ("drag_force", "drag_torque", "drag_force_b"):
        if key in used:
            continue
        if build.sheet.quantity(key) is not None:
            build.notes.append(
                aside(f"{QUANTITY_KINDS[key].words} is kept aside: road load A and B already hold it")
            )
    return True


def _split_by_drag(build: _Builder, a: Quantity) -> bool:
    """Split A by the drag of the wheels where that is known and the tyres are not; False where it is not so."""
    if build.sheet.has_field("tyre_coefficient"):
        return False
    force = _wheel_drag(build)
    if force is None:
        return False
    mass = build.values["test_mass_kg"]
    weight = mass * build.take("gravity_m_per_s2")
    tyres = (a - force) / weight
    build.values["drag_force_n"] = force
    build.work_out(
        "tyre_coefficient",
        tyres,
        "1",
        ("road_load_a", a, 1.0 / weight.value),
        ("drag_force_n", force, -1.0 / weight.value),
        ("test_mass_kg", mass, -tyres.value / mass.value),
    )
    build.notes.append(
        definition(
            "tyre coefficient = (A − drag force)/(m·g): road load is stated by its coefficients, and the drag force of "
            f"the wheels ({force.origin.value}) splits A between tyres and drag force"
        )
    )
    return True


def _wheel_drag(build: _Builder) -> Quantity | None:
    """Drag force of brakes, bearings and gears as stated, by force or by torque; None where neither is."""
    force, torque = build.sheet.quantity("drag_force"), build.sheet.quantity("drag_torque")
    if force is not None and torque is not None:
        msg = f"{build.owner}: drag force and drag torque are both stated and mean the same; keep one."
        raise ValueError(msg)
    if torque is None:
        return force
    radius = build.take("wheel_radius_m")
    build.notes.append(definition("drag force = drag torque/wheel radius, the same at every speed"))
    force, build.inputs["drag_force_n"] = worked_out(
        torque / radius,
        "N",
        (
            ("drag_torque", torque, 1.0 / radius.value),
            ("wheel_radius_m", radius, -torque.value / radius.value**2),
        ),
    )
    return force


def _road_load_from_parts(build: _Builder) -> None:
    force = _wheel_drag(build)
    if force is not None:
        build.values["drag_force_n"] = force
    for name in ("tyre_coefficient", "drag_area_m2", "drag_force_n"):
        build.take(name)


def _leave_spin_loss_out(build: _Builder) -> None:
    given = [name for name in SPIN_FIELDS if build.sheet.has_field(name)]
    for name in SPIN_FIELDS:
        build.values[name] = Quantity(0.0, build.known[name].unit, origin=Origin.INFERRED)
    told = "the loss map is taken without spin losses: road load holds them"
    build.notes.append(
        aside(f"{told}; those stated for the drive unit are kept aside") if given else definition(told)
    )


def _usable_energy(build: _Builder, defaults: EnergyDefaults) -> bool:
    if build.sheet.has_field("usable_energy_j"):
        build.take("usable_energy_j")
        return False
    wall = build.sheet.quantity("wall_energy")
    if wall is None:
        reason = defaults.required.get("usable_energy_j", "state usable_energy")
        msg = f"{build.owner}: usable energy is missing; {reason}."
        raise ValueError(msg)
    efficiency = build.take("charging_efficiency_frac")
    build.work_out(
        "usable_energy_j",
        wall * efficiency,
        "J",
        ("wall_energy", wall, efficiency.value),
        ("charging_efficiency_frac", efficiency, wall.value),
    )
    build.notes.append(definition("usable energy = wall energy of a charge · charging efficiency"))
    return True


def _warn_of_tails(build: _Builder) -> None:
    """Say where the 95 % band of a share leaves what is possible; one bounded error is left alone, its limits hold."""
    for name in sorted(UP_TO_ONE):
        quantity = build.values[name]
        bounded = [source.shape in ("rectangular", "triangular") for source, _ in quantity.terms]
        high = quantity.band()[1]
        if high > 1.0 >= quantity.value and bounded not in ([], [True]):
            build.notes.append(
                definition(f"{field_words(name)}: its 95 % band reaches {high:.3g}, above 1; draws follow it")
            )
