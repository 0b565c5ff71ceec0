"""The job sheet: a whole build in one TOML file, read and checked in one go."""

from foamcalc.job.faults import SheetFault
from foamcalc.job.sheet.guide import keys_table
from foamcalc.job.sheet.joints import Joint
from foamcalc.job.sheet.reader import Sheet, demo_sheet_path, parse_sheet, read_sheet
from foamcalc.job.sheet.shells import ShellJob

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
