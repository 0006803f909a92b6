"""Heat treatment in charges: hardening, annealing, ageing, sintering."""

from hoistbook.core.cost.processes.heat_treatment.model import PROCESS

__all__ = ["PROCESS"]
