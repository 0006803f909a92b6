"""Self-piercing rivets and flow-drill screws."""

from hoistbook.core.cost.processes.riveting.model import PROCESS

__all__ = ["PROCESS"]
