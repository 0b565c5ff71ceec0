"""The swatch test as a maker meets it: how to do it, the record, and what it says."""
