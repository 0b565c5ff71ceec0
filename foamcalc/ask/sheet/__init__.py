"""The job sheet: a whole build in one TOML file, read and checked in one go."""

from foamcalc.ask.faults import SheetFault
from foamcalc.ask.sheet.guide import keys_table
from foamcalc.ask.sheet.joints import Joint
from foamcalc.ask.sheet.reader import Sheet, demo_sheet_path, parse_sheet, read_sheet
from foamcalc.ask.sheet.shells import ShellJob

__all__ = [
    "Joint",
    "Sheet",
    "SheetFault",
    "ShellJob",
    "demo_sheet_path",
    "keys_table",
    "parse_sheet",
    "read_sheet",
]
