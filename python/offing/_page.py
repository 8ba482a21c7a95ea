"""A table for a notebook."""

from __future__ import annotations

from html import escape
from typing import Any


def notebook_table(
    heading: str,
    columns: tuple[tuple[str, tuple[str, ...]], ...],
    rows: list[tuple[str, dict[str, Any]]],
    cautions: list[str],
) -> str:
    """HTML of a table with a row for each of ``rows``, which are a name and nested dicts, under columns
    whose values lie at paths of keys; ``cautions`` below it."""
    heads = "".join(f"<th scope='col'>{escape(name)}</th>" for name, _ in columns)
    body = "".join(
        f"<tr><th scope='row'>{escape(name)}</th>"
        + "".join(f"<td>{escape(_written(_at(row, path)))}</td>" for _, path in columns)
        + "</tr>"
        for name, row in rows
    )
    said = "".join(f"<li>{escape(caution)}</li>" for caution in cautions)
    return (
        f"<table><caption>{escape(heading)}</caption><thead><tr><th></th>{heads}</tr></thead>"
        f"<tbody>{body}</tbody></table><details><summary>Cautions: averages, not a forecast</summary>"
        f"<ul>{said}</ul></details>"
    )


def _at(row: Any, path: tuple[str, ...]) -> Any:
    for key in path:
        row = row.get(key) if isinstance(row, dict) else None
    return row


def _written(value: Any) -> str:
    if value is None:
        return "–"
    return f"{value:,.1f}" if isinstance(value, float) else str(value)
