"""The try-on record: what was predicted, what happened, and which assumed number was off."""

from foamcalc.ask.record.findings import (
    Finding,
    blank_record,
    read_record,
    record_lines,
    record_path,
)
from foamcalc.ask.record.overlay import Judgement
from foamcalc.ask.record.rows import RecordFault

__all__ = [
    "Finding",
    "Judgement",
    "RecordFault",
    "blank_record",
    "read_record",
    "record_lines",
    "record_path",
]
