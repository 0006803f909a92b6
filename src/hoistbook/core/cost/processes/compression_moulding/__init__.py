"""Compression moulding of fibre mat and of sheet moulding compound."""

from hoistbook.core.cost.processes.compression_moulding.model import PROCESS

__all__ = ["PROCESS"]
