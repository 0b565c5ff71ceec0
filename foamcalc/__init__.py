"""Gaps, stretch and cut lengths for curved shells glued from flat foam sheet.

foamcalc works out the lengths that disagree when flat foam is glued into curved shells. It is made
of one door and five rooms:

========================  ======================================================================
``foamcalc.units``        the door: what a maker writes, turned into mm, radians and tolerances
``foamcalc.tables``       numbers from outside, each with its unit, its source and its basis
``foamcalc.shape``        curves, flat patterns and solids: mm and radians, no foam
``foamcalc.foam``         the material: stress, stretch and what settles after gluing, no shape
``foamcalc.fit``          shape and foam joined: the answer for one joint
``foamcalc.ask``          a whole build: job sheet, plan, cut list
``foamcalc.draw``         charts, templates at true size and sliders
``foamcalc.guards``       the checks that every room makes on the numbers it is given
========================  ======================================================================

Behind the door every length is in mm, every angle in radians, every force in N and every stress in
MPa. At the bench, start with ``python -m foamcalc``: it lists what can be asked on one line.

Importing this package loads none of its rooms. Import the one you need, for example
``from foamcalc.fit import overlay``.
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
