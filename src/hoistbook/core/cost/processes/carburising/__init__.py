"""Case hardening in carbon."""

from hoistbook.core.cost.processes.carburising.model import PROCESS

__all__ = ["PROCESS"]
