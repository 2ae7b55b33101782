"""The demo shops that ship with the package, one folder each. Everything in them is invented."""

from mouldwright.scenario.demo.shipped import demo_names, demo_path, open_demo

__all__ = ["demo_names", "demo_path", "open_demo"]
