"""The invented delivery vans of the demo: their true parts and properties, and how they are weighed and measured."""
