"""A bolted lap joint across its bolts: slip, shear, bearing and tear-out."""

from hoistbook.core.checks.joint_slip_shear.model import CHECK

__all__ = ["CHECK"]
