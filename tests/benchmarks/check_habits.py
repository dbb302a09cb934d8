"""How often what repeats is said, and how often something that does not repeat.

Needs nothing. Invents histories of shoots (`tests/history/invented_shoots.py`): each picture is off
its plan by chance (standard deviation 0.6 tolerances), each shoot as a whole too, and with a habit
all shoots to one side. Prints by number of shoots the share of histories without a habit in which a
side is named, or a quantity as met less often, by how much shoots vary; and with each habit (shoots
vary by 0.25 tolerances) the share in which it is said, and in which anything else is.

Where shoots vary much, quantities with a side are met less often than those without one, of which
85% are met whatever the shoot: to say so is then no error. It is one in the first row.

    python tests/benchmarks/check_habits.py [--histories 200] [--shoots 3 5] [--only-none]
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from auditor.history.habits import find_habits, latest
from auditor.history.shoot import shoot_of
from tests.history.invented_shoots import BETWEEN, SCALARS, invented_shoot, rng_of

# By name: habits with a side (key, amount, quantity, axis), and quantities met less often (rate).
SIDES = {
    "camera 5° too high": ("camera_elevation", 5.0, "camera_elevation", "higher"),
    "camera 10° too high": ("camera_elevation", 10.0, "camera_elevation", "higher"),
    "camera 15° too high": ("camera_elevation", 15.0, "camera_elevation", "higher"),
    "light 1 h too far front": ("light", 1.0, "light", "front"),
    "light 1.5 h too far front": ("light", 1.5, "light", "front"),
    "subject 0.06 too far left": (("subject", "across"), -0.06, "subject", "across"),
    "subject 0.10 too far left": (("subject", "across"), -0.10, "subject", "across"),
    "20 mired too warm": ("colour_temperature", 20.0, "colour_temperature", "warmer"),
    "30 mired too warm": ("colour_temperature", 30.0, "colour_temperature", "warmer"),
}
RATES = {"palette met in 50%": ("palette", 0.5), "palette met in 20%": ("palette", 0.2)}
# How much shoots vary, in tolerances: a standard deviation.
UNEVEN = {
    **dict.fromkeys((*SCALARS, "light", ("subject", "across"), ("subject", "down")), 0.1),
    "camera_elevation": 1.2,
}
VARYING = {
    "by 0.25 tolerances": BETWEEN,
    "by 0.5": 0.5,
    "by 0.8": 0.8,
    "camera by 1.2, others by 0.1": UNEVEN,
}
NUMBERS = (3, 4, 5, 8)


def said_of(rng, n_shoots, habits, rates, arguments, between=BETWEEN):
    shoots = [
        shoot_of(
            invented_shoot(
                rng,
                habits,
                rates,
                n_pictures=arguments.pictures,
                between=between,
                day=f"2026-03-{place + 1:02d}",
            )
        )
        for place in range(n_shoots)
    ]
    found = find_habits(latest(shoots))
    sides = {
        (habit.share.quantity, trend.axis, trend.mean > 0)
        for habit in found
        for trend in habit.trends
    }
    return sides | {(habit.share.quantity, "", False) for habit in found if not habit.trends}


def tell(line):
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def share(n, of):
    return f"{n / of:6.1%}"


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--histories", type=int, default=200)
    parser.add_argument("--pictures", type=int, default=12)
    parser.add_argument("--shoots", type=int, nargs="+", default=NUMBERS)
    parser.add_argument("--only-none", action="store_true", help="only histories without a habit")
    arguments = parser.parse_args()
    of = arguments.histories
    tell(f"{of} histories each, {arguments.pictures} pictures a shoot")
    tell(f"{'':28}" + "".join(f"{n:>11} shoots" for n in arguments.shoots))
    rng = rng_of(20260301)
    tell("no habit, shoots vary: a side named, a quantity named as met less often")
    for name, between in VARYING.items():
        row = []
        for n in arguments.shoots:
            found = [said_of(rng, n, (), (), arguments, between) for _ in range(of)]
            sides = sum(any(axis for _, axis, _ in one) for one in found)
            rare = sum(any(not axis for _, axis, _ in one) for one in found)
            row.append(f"{share(sides, of):>10}, {share(rare, of)}")
        tell(f"{name:28}" + "".join(row))
    if arguments.only_none:
        return
    tell("with a habit: said, anything else said")
    for name, (key, amount, quantity, axis) in SIDES.items():
        report(name, rng, {key: amount}, {}, (quantity, axis, amount > 0), arguments)
    for name, (quantity, rate) in RATES.items():
        report(name, rng, {}, {quantity: rate}, (quantity, "", False), arguments)


def report(name, rng, habits, rates, wanted, arguments):
    row = []
    for n in arguments.shoots:
        found = [said_of(rng, n, habits, rates, arguments) for _ in range(arguments.histories)]
        right = sum(wanted in one for one in found)
        wrong = sum(bool(one - {wanted}) for one in found)
        row.append(f"{share(right, len(found)):>10}, {share(wrong, len(found))}")
    tell(f"{name:28}" + "".join(row))


if __name__ == "__main__":
    main()
