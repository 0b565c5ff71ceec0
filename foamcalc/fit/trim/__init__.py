"""Strips along an edge: bands, rims, bindings, slit and toothed strips."""
