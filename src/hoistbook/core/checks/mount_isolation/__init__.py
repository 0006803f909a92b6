"""A unit on its own isolators, on an isolated carrier, or on both."""

from hoistbook.core.checks.mount_isolation.model import CHECK

__all__ = ["CHECK"]
