"""Set-up lists that are kept, of some examples on both invented ventilators.

`python -m tests.setup_lists --write` makes them anew; look at the difference before it is committed.
"""

import os
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

from rxlint.library.discover import find_inputs
from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_inputs
from rxlint.library.setup_list import SetUpList, list_for
from rxlint.reports.setup_text import report
from rxlint.reports.style import Style
from tests.documents import DAY

ROOT: Final = Path(__file__).resolve().parent.parent
KEPT: Final = ROOT / "tests" / "cases" / "setup"
SOUND: Final = ROOT / "examples" / "sound"
ORDERS: Final = (
    "TM-0417-tracheostomy-night",
    "TM-0505-adolescent-mouthpiece-day-mask-night",
    "TM-0508-adult-lung-protective",
    "TM-0513-adult-neuromuscular-night",
    "TM-0514-adolescent-tube-spontaneous",
)
VENTILATORS: Final = ("Fell", "Holm")


@cache
def rulings() -> Rulings:
    return Rulings()


def list_of(order: str, ventilator: str, period: str | None = None) -> SetUpList:
    """The set-up list of an example, as its folder's settings have it."""
    path = SOUND / f"{order}.vrx"
    screened = next(iter(screen_inputs(find_inputs([str(path)]), rulings(), DAY)))
    return list_for(screened, rulings().of_settings(screened.settings), ventilator, period)


def kept() -> Iterator[tuple[str, str, Path]]:
    """Each example and ventilator with the file that its list is kept in."""
    for order in ORDERS:
        for ventilator in VENTILATORS:
            yield order, ventilator, KEPT / f"{order}-{ventilator.lower()}.txt"


def text_of(order: str, ventilator: str) -> str:
    return "".join(f"{line}\n" for line in report(list_of(order, ventilator), Style()))


if __name__ == "__main__" and "--write" in sys.argv:
    os.chdir(ROOT)
    for each_order, each_ventilator, path in kept():
        path.write_text(text_of(each_order, each_ventilator), encoding="utf-8")
