"""What is asked over the fleet, on paper; what things are called is told by the shipped checklists."""

from __future__ import annotations

from inspect_app.report.fleet_page import Answers, fleet_page
from inspect_app.tables import load_shipped


def fleet_pdf(answers: Answers, most: int, system: str, page_size: str = "A4") -> bytes:
    """The answers over the fleet as PDF.

    Args:
        answers: what every question comes to.
        most: at most so many rows of each.
        system: "metric" or "inch".
        page_size: "A4" or "letter".
    """
    from inspect_app.paper.pdf import pdf

    return pdf(fleet_page(answers, most, load_shipped(), system), _no_photographs, page_size=page_size)


def _no_photographs(sha256: str) -> bytes:
    raise ValueError(f"What the fleet says has no photographs, and {sha256} was asked for.")
