"""What the ordering checks share: a part that may be on no stack's bill may not lie on the shelf either."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from configurator.build import Bought, Build, Order
from configurator.catalog import Catalog
from configurator.rule import Breach
from configurator.setting import Ask, OrderAsk


def on_the_shelf(
    check: Callable[[Build, Ask, Catalog], Iterable[Breach]],
) -> Callable[[Order, OrderAsk, Catalog], Iterator[Breach]]:
    """A check of the order: each part bought as a spare could have been bought by one stack at least."""

    def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
        """Asks about each line of spares by itself."""
        built = {one.build.stack for one in order.stacks}
        for spare in order.spares:
            alone = Build(stack=spare.statement, units=(), bought=(Bought(part=spare.part, count=spare.count),))
            found = [list(check(alone, ask, catalog)) for ask in asked.asks if ask.stack.name in built]
            if found and all(found):
                yield Breach(f"{spare.statement}: {found[0][0].text}")

    return check_order
