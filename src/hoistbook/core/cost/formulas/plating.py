"""Films: electroplating, anodising, paint."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array

FARADAY_C_PER_MOL = 96_485.33212
"""Charge of a mole of electrons; exact since 2019."""
AMPERE_PER_FT2 = 1.0 / 0.3048**2
"""A/m^2 in one A/ft^2."""
MIL_M = 25.4e-6


def plating_constant_m3_per_c(molar_kg_per_mol: Array, valence: Array, density_kg_per_m3: Array) -> Array:
    """Volume of metal that a charge lays down: M/(z F rho). [m^3/C]

    Source
    ------
    first principles: Faraday's law.
    """
    return molar_kg_per_mol / (valence * FARADAY_C_PER_MOL * density_kg_per_m3)


def plated_volume_m3(
    efficiency_frac: Array, constant_m3_per_c: Array, current_a: Array, time_s: Array
) -> Array:
    """Volume that a bath has laid down: E C I t. [m^3]

    Source
    ------
    published: M. P. Groover, eq. 27.1 and 27.2.
    """
    return efficiency_frac * constant_m3_per_c * current_a * time_s


def plating_s(
    film_m: Array, efficiency_frac: Array, constant_m3_per_c: Array, current_a_per_m2: Array
) -> Array:
    """Time in the bath for a film: d/(E C i), the bath's equation solved for time with d = V/A. [s]

    Source
    ------
    published: M. P. Groover, eq. 27.2 and 27.3.
    """
    return film_m / (efficiency_frac * constant_m3_per_c * current_a_per_m2)


def anodising_s(film_m: Array, current_a_per_m2: Array) -> Array:
    """Time in the bath for an oxide film: 720 min x mils over A/ft^2. [s]

    Source
    ------
    from memory: plating practice ("720 rule"), sulfuric acid anodising.
    """
    return 60.0 * 720.0 * (film_m / MIL_M) / (current_a_per_m2 / AMPERE_PER_FT2)


def film_kg(area_m2: Array, film_m: Array, density_kg_per_m3: Array, transfer_frac: Array | float) -> Array:
    """Coating bought for a film: A d rho over the share that stays on the part. [kg]

    Source
    ------
    first principles.
    """
    return area_m2 * film_m * density_kg_per_m3 / transfer_frac


def carriers_s(bath_s: Array, stations: Array, hoist_s: Array) -> Array:
    """Time between two carriers of a line: the bath's over its stations, but no faster than the hoist. [s]

    Source
    ------
    first principles.
    """
    found: Array = np.maximum(bath_s / stations, hoist_s)
    return found
