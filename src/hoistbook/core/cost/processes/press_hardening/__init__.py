"""Hot stamping: heated blanks formed and quenched between cooled dies."""

from hoistbook.core.cost.processes.press_hardening.model import PROCESS

__all__ = ["PROCESS"]
