"""The commands of ``python -m meshcore``, one module for each concern."""
