"""Plane and surface geometry in mm and radians; nothing here knows of foam."""
