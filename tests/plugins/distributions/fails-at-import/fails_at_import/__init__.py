"""A plugin that raises when it is imported, as one does whose own dependency is gone."""

raise RuntimeError("the library this plugin was built on is gone")
