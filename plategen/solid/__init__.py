"""The solid model: the only files that load the solid kernel."""
