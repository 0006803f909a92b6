"""What a material is worth per mass for a duty: tie, beam or panel, stiff or strong."""

from hoistbook.core.checks.material_index.model import CHECK

__all__ = ["CHECK"]
