"""Drawings in SVG: from the bytes of a file to shapes at true size."""
