"""What a control is: a tag to be pressed, or a slider to be moved; each by mouse and by keys.

A click, its own key, and Return on the focused one all end in `press`; a drag, a click on the track and the
arrow keys all end in `put`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from simlab.window.session import Session

PAGE = 10  # stops of a slider that Page up and Page down move it by
SAMPLE = 3  # of its longest texts, that its tag is made for


@dataclass(frozen=True)
class Control:
    """One thing that the watcher can do.

    keys : what a keyboard sends for it, the first one being the one shown; key_words : its key on the
    control; told : what it does, for the card of keys; faces : every text that may stand on it, short : in
    fewer words; face : which of them stands there now; refuses : whether it cannot be pressed now, and
    `reason` why not, in a few words; repeats : whether a key that is held presses it again and again;
    drawer : the drawer it hangs in, "" for the row that is always there; is_on : whether its bead is lit
    """

    name: str
    keys: tuple[str, ...]
    key_words: str
    told: str
    faces: tuple[str, ...]
    act: Callable[[Session], None]
    face: Callable[[Session], int] | None = None
    refuses: Callable[[Session], bool] | None = None
    reason: str = ""
    repeats: bool = False
    drawer: str = ""
    is_on: Callable[[Session], bool] | None = None
    short: tuple[str, ...] = ()

    def words(self, session: Session, is_short: bool = False) -> str:
        """What stands on it now, in few words where there is little room."""
        faces = self.short if is_short and self.short else self.faces
        return faces[self.face(session) if self.face else 0]

    def refusal(self, session: Session) -> str:
        """Why it cannot be pressed now, or ""."""
        return self.reason if self.refuses and self.refuses(session) else ""

    def is_lit(self, session: Session) -> bool:
        """Whether what it turns on is on."""
        return self.is_on is not None and self.is_on(session)

    def press(self, session: Session) -> bool:
        """Do it, unless it refuses; whether it was done."""
        if self.refusal(session):
            return False
        self.act(session)
        return True


@dataclass(frozen=True)
class Slider:
    """Something that the watcher can put at one of several stops.

    stops : from the lowest to the highest; text : what stands on it at a stop; value : where it is now;
    put_to : puts it at a stop; key_words : the keys that move it, once it has the focus
    """

    name: str
    stops: Sequence[Fraction]
    text: Callable[[Fraction], str]
    value: Callable[[Session], Fraction]
    put_to: Callable[[Session, Fraction], None]
    drawer: str = ""
    told: str = ""
    key_words: str = "← →"

    @property
    def widest(self) -> tuple[str, ...]:
        """The texts that need most room."""
        return tuple(sorted(map(self.text, self.stops), key=len)[-SAMPLE:])

    def share(self, session: Session) -> float:
        """Where it is now, 0 (lowest) to 1 (highest)."""
        long = self.stops[-1] - self.stops[0]
        return float((self.value(session) - self.stops[0]) / long) if long else 0.0

    def put(self, session: Session, stop: int) -> None:
        """Put it at a stop, by number; at the first or last where there is none of that number."""
        wanted = self.stops[min(max(stop, 0), len(self.stops) - 1)]
        if wanted != self.value(session):
            self.put_to(session, wanted)

    def put_share(self, session: Session, share: float) -> None:
        """Put it at the stop nearest to a share of its way, 0 to 1."""
        wanted = float(self.stops[0]) + share * float(self.stops[-1] - self.stops[0])
        self.put(session, min(range(len(self.stops)), key=lambda i: abs(float(self.stops[i]) - wanted)))

    def key(self, session: Session, key: str) -> bool:
        """Answer a key; whether it was one for a slider."""
        now = bisect_left(self.stops, self.value(session))
        steps = {"left": -1, "down": -1, "right": 1, "up": 1, "page down": -PAGE, "page up": PAGE}
        if key in steps:
            self.put(session, now + steps[key])
        elif key in ("home", "end"):
            self.put(session, 0 if key == "home" else len(self.stops) - 1)
        else:
            return False
        return True


Item = Control | Slider
