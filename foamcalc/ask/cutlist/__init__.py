"""The cut list: strips and panels of a build out of the sheets that can be had."""

from foamcalc.ask.cutlist.build import Progress, cut_list
from foamcalc.ask.cutlist.items import Grain, Item, Panel, SheetGrain, Stock, Strip
from foamcalc.ask.cutlist.layout import CutSheet, Placed, Row
from foamcalc.ask.cutlist.proof import WrongLayout, layout_faults, prove
from foamcalc.ask.cutlist.result import CutList, Material

__all__ = [
    "CutList",
    "CutSheet",
    "Grain",
    "Item",
    "Material",
    "Panel",
    "Placed",
    "Progress",
    "Row",
    "SheetGrain",
    "Stock",
    "Strip",
    "WrongLayout",
    "cut_list",
    "layout_faults",
    "prove",
]
