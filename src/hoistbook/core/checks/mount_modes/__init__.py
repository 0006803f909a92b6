"""Modes of a unit on its mounts."""

from hoistbook.core.checks.mount_modes.model import CHECK

__all__ = ["CHECK"]
