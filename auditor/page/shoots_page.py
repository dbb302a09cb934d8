"""The page over all shoots as HTML: one text with its style inside."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.history.shoot import Shoot
from auditor.page.html import page_environment
from auditor.page.shoots_view import shoots_view

# Stands in the head of the page, so that it is never written over another one.
MARK = b'<meta name="generator" content="auditor shoots">'


def render_shoots(shoots: Sequence[Shoot], made_by: str) -> str:
    """Render the page.

    Parameters
    ----------
    shoots : sequence of Shoot
        All that are remembered, in the order of their days.
    made_by : str
        The version that makes it.
    """
    template = page_environment().get_template("all_shoots.html")
    return template.render(page=shoots_view(shoots), made_by=made_by)
