"""hoistbook: from two torn-down vehicles to a reconciled gap."""

__version__ = "0.3.0"
