"""From the keys of quantities to the words a person chooses from the lists of the template."""

from __future__ import annotations

from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from van_data.workshop import Row


def in_words(rows: list[Row]) -> list[Row]:
    """Rows with every quantity written in words; sheets without that column come back as they are."""
    return [
        {**row, "quantity": QUANTITY_KINDS[str(row["quantity"])].words} if "quantity" in row else row
        for row in rows
    ]
