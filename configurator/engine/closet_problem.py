"""What stacks can't have together: a smallest set of their closets' limits, and which of them would have to go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.engine.order_model import Shared
from configurator.engine.solver import solve

if TYPE_CHECKING:
    from configurator.engine.order import Together

NOT_TOGETHER = "Each stack can be met, but not together with the others of its closet:"
NO_SPARES = "Cold spares are asked of parts that can't be bought: they come only in the boxes of others, or not at all."


def apart_by(together: Together) -> str:
    """Why stacks that can be met each by itself can't be ordered together."""
    apart = together.apart
    left = list(apart.shared)
    for limit in apart.shared:
        fewer = [other for other in left if other != limit]
        if solve(together.model(fewer).model).status == "impossible":
            left = fewer
    if not left:
        return NO_SPARES
    texts = [f"{_said(together, limit)}: {apart.book.by_id[limit[1]].sentence} ({limit[1]})" for limit in left]
    ways = [_said(together, limit) for limit in left if _helps(together, limit)]
    helps = f" All can be met without this limit: {'; or '.join(ways)}." if ways else ""
    return f"{NOT_TOGETHER} {'; '.join(texts)}{helps}"


def _said(together: Together, limit: Shared) -> str:
    """A closet's limit as the customer said it."""
    closet, rule = limit
    apart = together.apart
    about = apart.book.by_id[rule].about[0]
    said = next(ask.statements.get(about) for ask in apart.asks if ask.stack.closet == closet)
    return f"in {closet}, {about if said is None else f'{said.text} ({said.where})'}"


def _helps(together: Together, limit: Shared) -> bool:
    """Whether all can be met, and placed, where a closet's limit is each stack's own; not where time runs out."""
    rest = [other for other in together.apart.shared if other != limit]
    while not together.late():
        joint = together.model(rest)
        outcome = solve(joint.model, seconds=together.left())
        if outcome.status in ("impossible", "unknown"):
            return False
        if together.placed(joint, outcome.values) is not None:
            return True
    return False
