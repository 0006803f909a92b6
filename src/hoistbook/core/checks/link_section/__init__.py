"""A link's section: folded open, closed or forged; what each gram of it buys."""

from hoistbook.core.checks.link_section.model import CHECK

__all__ = ["CHECK"]
