"""Why no forces are read of a frame with members to spare, shown by building it twice."""

from __future__ import annotations

from simlab.frame.model import Frame, Values
from simlab.results.redundancy import TwoOrders
from simlab.results.wording import figures, in_words, spaced


def built_twice(frame: Frame, values: Values) -> str:
    """What two orders of its joints gave, in a sentence; nothing where that shows nothing."""
    from simlab.simulation.redundancy import two_orders

    found = two_orders(frame, values)
    return "" if found is None else said(frame, found)


def said(frame: Frame, found: TwoOrders) -> str:
    """Where the two differ most, and why that is no fault."""
    name, apart = found.apart
    if isinstance(name, str):
        one, other = (_carries(forces.tensions[name]) for forces in (found.first, found.second))
        gave = f"in {spaced(name)} {one}, then {other}"
    else:
        gave = f"{in_words(frame, name)}, forces that are {figures(apart)} N apart"
    return (
        f"Built twice, its joints in another order, the simulation gave {gave}; both times in balance, to "
        f"{found.left_over:.0e} of the largest force. The two differ by a state of self-stress."
    )


def _carries(tension: float) -> str:
    return f"a {'tension' if tension > 0 else 'thrust'} of {figures(abs(tension))} N"
