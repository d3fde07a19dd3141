"""The ways to hold, one module for each or for those that share their pieces."""
