"""Small-batch production planning and costing for a bench that works in moulds."""

__version__ = "0.1.0"
