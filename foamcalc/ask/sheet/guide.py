"""Every key of a job sheet in one table, from what the checker itself goes by."""

from __future__ import annotations

from foamcalc.ask.sheet.keys import TABLES, WAYS


def keys_table() -> str:
    """Every table and key of a job sheet, as Markdown."""
    lines = []
    for table in TABLES.values():
        head = f"`{table.head}`" if table.head.startswith("[") else table.head
        lines += [f"### {head}: {table.what}", ""]
        lines += ["| key | what | unit | left out | example |", "|---|---|---|---|---|"]
        lines += [
            f"| `{key.name}` | {key.what} | {key.kind.unit} | {key.default} | `{key.example}` |"
            for key in table.known()
        ]
        lines.append("")
    ways = [" + ".join(f"`{key}`" for key in together) for together, _ in WAYS]
    lines += ["A curve is given in one of these ways:", "", *[f"- {way}" for way in ways], ""]
    lines += [
        'A bare number is mm; text with a unit works everywhere: `"3/8 in"`, `"4 cm"`. '
        "Angles always have a unit.",
    ]
    return "\n".join(lines) + "\n"
