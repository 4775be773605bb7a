"""Letters that a watcher moves and lanterns that are hung on: what the frame then carries."""

from __future__ import annotations

from fractions import Fraction
from math import cos, pi, radians, sin, tan
from pathlib import Path

import pytest
from scenes_at_rest import AT_REST
from small_frames import frame, rhombus

from simlab.errors import BadInput
from simlab.frame.change import showing, with_weight
from simlab.frame.numbers import Numbers
from simlab.frame.quantity import FORCE, LENGTH, Quantity
from simlab.frame.scene import parse_scene, read_scene
from simlab.statics.solution import solve
from simlab.window.letters import clean, steps_of
from simlab.window.player import Player
from simlab.window.run import LETTING_ON

SCENES = Path(__file__).parent.parent / "scenes"
KITE = read_scene(SCENES / "kite_lantern.toml")
WEIGHT = 10.0  # [N]
RIGHT = 1e-5  # of a force: what a frame lacks that came to rest a tenth of a second ago


def loaded(made) -> Player:
    """A player with all of gravity on at once, and the frame at rest."""
    player = Player(made)
    player.run.do("begin", LETTING_ON, 0.0, 300)
    return player


def thrust(player: Player) -> float:
    """In the brace, now [N]."""
    return -player.now().forces.tensions[player.frame.brace or ""]


def kite_thrust(theta: float, alpha: float, hung: float = 0.0) -> float:
    """The thrust in the kite's spreader [N], angles in degrees, `hung` [N] below B.

    Source: virtual work by hand, W = 2 N, a = 0.5 m. B stays below K: with upper canes a at theta, lower
    ones b at alpha, b sin(alpha) = a sin(theta); the spreader, at 2/3 of the lower canes, is as long as a
    third of 2 a sin(theta). Differentiated in numbers, b held fixed.
    """
    a, b = 0.5, 0.5 * sin(radians(theta)) / sin(radians(alpha))

    def at(t: float) -> tuple[float, float]:
        low = (b * b - (a * sin(t)) ** 2) ** 0.5  # height of the lower canes
        fall = 2 * 2.0 * (a * cos(t) / 2) + 2 * 4.0 * (a * cos(t) + low / 2) + hung * (a * cos(t) + low)
        return 2 * a * sin(t) / 3, fall

    step = 1e-5
    (short, high), (long, deep) = at(radians(theta) - step), at(radians(theta) + step)
    return (high - deep) / (long - short)


@pytest.mark.parametrize(("letter", "value"), [("alpha", 35), ("theta", 30), ("alpha", 12)])
def test_another_angle_has_the_thrust_of_virtual_work(letter: str, value: int):
    """The kite's spreader at an angle that a slider put."""
    angles = {"theta": 40, "alpha": 20} | {letter: value}
    player = loaded(KITE)
    assert thrust(player) == pytest.approx(kite_thrust(40, 20), rel=RIGHT)
    player.put(letter, Fraction(value))

    assert thrust(player) == pytest.approx(kite_thrust(**angles), rel=RIGHT)
    assert player.is_braced
    assert player.share == 1.0
    assert player.edition == 1
    assert {item.name: item.value for item in player.letters}[letter] == value


@pytest.mark.parametrize(
    ("letter", "value"),
    [("s", Fraction(1, 4)), ("k", Fraction(3)), ("theta", Fraction(50)), ("a", Fraction(1))],
)
def test_where_the_brace_sits_and_the_ratio_of_weights_are_letters(letter: str, value: Fraction):
    """The sliding spreader: T = (1 + 3 k) W tan(theta) / (2 s), exactly and simulated, at every value put.

    Source: virtual work by hand. The spreader is 2 s a sin(theta) long, the sum of weight times depth is
    (1 + 3 k) W a cos(theta), so T 2 s a cos(theta) = (1 + 3 k) W a sin(theta).
    """
    player = loaded(read_scene(SCENES / "to_handle" / "sliding_spreader.toml"))
    player.put(letter, value)
    values = {name: float(value) for name, value in {"s": 0.6, "k": 2, "theta": 35}.items()}
    values |= {letter: float(value)}
    wanted = (1 + 3 * values["k"]) * 3.0 * tan(radians(values["theta"])) / (2 * values["s"])
    exact = solve(player.asked).answers["thrust in spreader"]

    assert exact.names == {"W", "k", "theta", "s"}
    assert exact.number(player.values) == pytest.approx(wanted, rel=1e-12)
    assert thrust(player) == pytest.approx(wanted, rel=RIGHT)


def test_a_frame_that_was_put_is_the_frame_that_is_written_so():
    """The same points, bit for bit, as of the scene with that value; exact statics is asked about it."""
    player = loaded(KITE)
    player.put("alpha", Fraction(25))
    player.put("W", Fraction(5, 2))
    written = Player(showing(KITE, {"alpha": "25 deg", "W": "2.5 N"}))

    assert player.stage.drawn.points == written.stage.drawn.points
    assert player.stage.drawn.weights == written.stage.drawn.weights
    assert player.asked.shown == written.frame.shown
    exact = solve(player.asked).answers["thrust in spreader"]
    assert exact == solve(KITE).answers["thrust in spreader"]
    assert thrust(player) == pytest.approx(exact.number(player.values), rel=RIGHT)


def test_a_value_out_of_range_gives_a_sentence_and_changes_nothing():
    """An angle above its author's bound, an unknown letter: both say what is allowed."""
    player = loaded(KITE)
    run = player.run
    with pytest.raises(BadInput, match="α goes from 5° to 80°, so it cannot be 85°"):
        player.put("alpha", Fraction(85))
    with pytest.raises(BadInput, match="Letters: W, a, theta, alpha"):
        player.put("beta", Fraction(1))

    assert player.run is run
    assert player.edition == 0


def test_a_value_at_which_there_is_no_frame_gives_a_sentence_and_the_old_value_stays():
    """Where the ends of a rod fall together, and where a length would be no real number."""
    scene = """title = "x"
question = "x"
source = "our own"
[symbols]
h = {{ meaning = "height", shown = "2 m", low = "0 m", high = "3 m" }}
[points]
A = ["0", "0"]
B = [{x}, "-1 m"]
C = ["0", "-h"]
[rods]
AC = {{ ends = ["A", "C"], weight = "2 N" }}
AB = {{ ends = ["A", "B"], weight = "2 N" }}
[supports]
hook = {{ kind = "hook", at = "A" }}
"""
    player = Player(parse_scene(scene.format(x='"1 m"')))
    with pytest.raises(BadInput, match="h = 0 m makes no frame: AC: its two ends are at the same place"):
        player.put("h", Fraction(0))
    assert player.letters[0].value == 2
    player = Player(parse_scene(scene.format(x='"sqrt(h^2 - 1 m^2)"')))
    with pytest.raises(BadInput, match=r"h = 0.5 m makes no frame: there is no such shape"):
        player.put("h", Fraction(1, 2))
    assert player.letters[0].value == 2


@pytest.mark.parametrize("name", AT_REST)
def test_numbers_of_a_frame_are_those_of_its_quantities(name: str):
    """Worked out all at once or one by one: the same nearest doubles, in every scene."""
    made = AT_REST[name]
    for expr, number in Numbers(made).at(made.shown).items():
        assert Quantity(expr).number(made.shown) == number


def test_sliders_go_through_whole_degrees_and_clean_figures():
    """From end to end; about fortieths of the range, rounded to 1, 2 or 5; the value shown is there."""
    letters = {letter.name: letter for letter in Player(KITE).letters}
    degrees, lengths = steps_of(letters["alpha"]), steps_of(letters["a"])

    assert degrees == tuple(Fraction(k) for k in range(5, 81))
    assert letters["alpha"].symbol == "α"
    assert letters["a"].unit == "m"
    assert 30 <= len(lengths) <= 90
    assert Fraction(1, 2) in lengths
    assert clean(Fraction(34, 1000)) == Fraction(2, 100)
    assert clean(Fraction(1)) == 1


def test_gravity_that_is_let_on_stays_at_its_share():
    """A slider moved while gravity is half on: the frame stands under half; the rest comes on in time."""
    player = Player(KITE)
    for _ in range(120):
        player.advance(1 / 60)
    share, time = player.share, player.time
    player.put("alpha", Fraction(30))

    assert player.share == share
    assert player.time == pytest.approx(time)
    assert thrust(player) == pytest.approx(share * kite_thrust(40, 30), rel=RIGHT)


def test_lanterns_at_the_lowest_corner_add_their_weight_times_the_tangent():
    """T = (2 W + P) tan(theta): P = W/2 for each lantern, as half a rod weighs; taken off, 2 W tan(theta).

    Source: virtual work by hand, T 2 L cos(theta) = (4 W + 2 P) L sin(theta).
    """
    player = loaded(rhombus(2**-0.5, WEIGHT))
    assert player.joints == ("B", "C", "D")
    for count in (1, 2, 3):
        player.hang_on("C")
        assert player.lanterns == {"C": count}
        wanted = (2 * WEIGHT + count * WEIGHT / 2) * tan(pi / 4)
        assert thrust(player) == pytest.approx(wanted, rel=RIGHT)
    player.hang_on("C", -1)
    assert player.lanterns == {"C": 2}
    player.take_off()
    assert player.lanterns == {}
    assert thrust(player) == pytest.approx(2 * WEIGHT * tan(pi / 4), rel=RIGHT)


def test_exact_statics_is_asked_about_the_lanterns_in_letters():
    """Two of half the heaviest cane below the kite: the answer is exact, and what the simulation reads."""
    player = loaded(KITE)
    assert player.lantern == Quantity.symbol("W", FORCE)
    player.hang_on("B", 2)
    exact = solve(player.asked).answers["thrust in spreader"]

    assert exact.names == {"W", "theta", "alpha"}
    assert exact.number(player.values) == pytest.approx(kite_thrust(40, 20, hung=4.0), rel=1e-8)
    assert thrust(player) == pytest.approx(exact.number(player.values), rel=RIGHT)


def test_lanterns_stay_when_a_letter_is_moved_and_weigh_by_the_letters():
    """With twice the weight of the canes a lantern weighs twice as much."""
    player = loaded(KITE)
    player.hang_on("B")
    before = thrust(player)
    player.put("W", Fraction(4))

    assert player.lanterns == {"B": 1}
    assert thrust(player) == pytest.approx(2 * before, rel=RIGHT)


def test_a_lantern_hung_on_a_frame_that_fell_puts_it_together_again():
    """A class asks what the frame carries: it stands again, braced, with the lantern on."""
    player = loaded(KITE)
    player.release_or_restore()
    for _ in range(30):
        player.advance(1 / 60)
    player.hang_on("B")

    assert player.is_braced
    assert not player.is_released
    assert thrust(player) == pytest.approx(kite_thrust(40, 20, hung=2.0), rel=RIGHT)


def test_there_is_nothing_to_hang_a_lantern_on_at_the_hook():
    """The message names the points that there are; a negative count is none."""
    player = loaded(KITE)
    with pytest.raises(BadInput, match=r'at "K"\. Points for lanterns: L, R, B'):
        player.hang_on("K")
    player.hang_on("L", -1)
    assert player.lanterns == {}


def test_a_weight_is_hung_on_the_pin_or_on_the_rod():
    """A pure edit: the old frame is as it was; names and kinds are checked."""
    made = rhombus(0.8)
    more = with_weight(made, "extra", "C", Quantity.of(3, FORCE))

    assert not made.loads
    assert more.loads["extra"].place.body == "C"
    assert more.loads["extra"].kind == "weight"
    with pytest.raises(BadInput, match='"extra" is taken'):
        with_weight(more, "extra", "B", Quantity.of(3, FORCE))
    with pytest.raises(BadInput, match=r'at "A"\. Points to hang it at: B, C, D'):
        with_weight(made, "extra", "A", Quantity.of(3, FORCE))
    with pytest.raises(BadInput, match="here goes a force"):
        with_weight(made, "extra", "C", Quantity.of(3, LENGTH))
    alone = frame({"A": (0.0, 0.0), "B": (1.0, 0.0)}, {"AB": ("AB", WEIGHT)}, hooks="A")
    assert with_weight(alone, "extra", "B", Quantity.of(1, FORCE)).loads["extra"].place.body == "AB"
