"""Foam as a material: stress, stretch and settling; nothing here knows of shape."""
